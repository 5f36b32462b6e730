"""The table of contents of `redstave`: what it can do, in the order in which one needs it.

A command is loaded when it is called, because each loads what it works with: the help need not
wait for the engraver, nor a review for the database.
"""

from collections.abc import Mapping
from importlib import import_module

import click

#: Under each heading the commands, each with what it does in a few words.
CONTENTS: Mapping[str, Mapping[str, str]] = {
    "First of all": {
        "demo": "Review a short score of ours and lay out a season to try.",
        "checks": "List what is looked for, or tell all about one check.",
    },
    "One score": {
        "facts": "What the file holds, who plays it, what it leaves open.",
        "review": "Find what deserves a remark; write it up as a letter.",
        "hear": "What the hall hears of each line, bar by bar.",
        "tune": "Who has the tune, from bar to bar.",
        "origin": "What became of the piano piece.",
        "stand": "The page from one player's chair.",
        "try": "Try a change, and hear before and after.",
        "write": "Write the page as MusicXML, or the players as MIDI.",
    },
    "A season of many scores": {
        "season": "Make one, add entries, review them all, compare versions.",
        "desk": "Open the pages on which you read, judge and write.",
        "remark": "Decide on findings; write remarks of your own.",
        "phrases": "Keep wordings that you use again.",
        "grade": "Grade an entry on the criteria.",
        "letter": "Write the letter that goes out, in your name.",
    },
}


class Contents(click.Group):
    """The commands of Redstave, each loaded from the module of its name when it is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - asked for by click
        """Return the names of all commands, in the order of the contents."""
        return [name for some in CONTENTS.values() for name in some]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Load a command; None where there is none of that name."""
        if cmd_name not in self.list_commands(ctx):
            return None
        name = "try_" if cmd_name == "try" else cmd_name  # a word of the language itself
        command: click.Command = getattr(import_module(f"redstave.cli.{name}"), name)
        return command

    def format_commands(
        self,
        ctx: click.Context,  # noqa: ARG002 - asked for by click
        formatter: click.HelpFormatter,
    ) -> None:
        """Write the contents under their headings."""
        for heading, some in CONTENTS.items():
            with formatter.section(heading):
                formatter.write_dl(list(some.items()))
