"""The command line: one file per command, loaded only when that command runs."""

from tutor.commands.group import main

__all__ = ["main"]
