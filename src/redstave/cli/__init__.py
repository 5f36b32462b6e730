"""The command line: parse, call app, hand to render. One file a command."""

import sys
from importlib import import_module


def main() -> None:
    """Run the command; stopping it early, even while it is being loaded, gives one line and 2."""
    try:
        import_module("redstave.cli.commands").main()
    except KeyboardInterrupt:
        sys.stderr.write("stopped\n")
        sys.exit(2)


__all__ = ["main"]
