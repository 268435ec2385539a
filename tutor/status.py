"""Exit statuses that click does not know."""

INTERRUPTED = 130
"""After ctrl-C, as shells count it."""
