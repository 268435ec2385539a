"""Where the program begins: ctrl-C is heeded from here on, while the rest is still being loaded."""

from __future__ import annotations

from typing import NoReturn

from tutor.status import INTERRUPTED


def main() -> NoReturn:
    """Run the command line; an interrupt before it is ready ends as one does later."""
    try:
        from tutor.commands import main as run

        run()
    except KeyboardInterrupt:
        import sys

        from tutor.words import say

        print(say("command.interrupted"), file=sys.stderr)
        raise SystemExit(INTERRUPTED) from None


if __name__ == "__main__":
    main()
