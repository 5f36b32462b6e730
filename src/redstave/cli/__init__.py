"""The command line: parse, call app, hand to render. One file a command."""

from redstave.cli.main import main

__all__ = ["main"]
