"""Running the commands of a season in this process, as a teacher types them."""

import json
from typing import Any

from click.testing import CliRunner, Result

from redstave.base.errors import RedstaveError
from redstave.cli.commands import commands

# One flute below its compass, over a louder trombone.
ENTRY = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Flute
p C3/1 | C5/1 | D5/1 | E5/1 |.
part Trombone | clef=bass
ff C3/1 | C3/1 | D3/1 | E3/1 |.
"""
#: The same with a bar put in before the second, and the first note mended.
AGAIN = """\
title: Two Players
meter: 4/4
tempo: 96 "Andante"
part Flute
p C5/1 | G5/1 | C5/1 | D5/1 | E5/1 |.
part Trombone | clef=bass
ff C3/1 | G3/1 | C3/1 | D3/1 | E3/1 |.
"""


def run(*words: object, typed: str = "") -> Result:
    """Run a command; what cannot be used is raised as `main` would tell it."""
    result = CliRunner().invoke(
        commands, [str(word) for word in words], input=typed, standalone_mode=False
    )
    if result.exception is not None and not isinstance(result.exception, RedstaveError):
        raise result.exception
    return result


def data(*words: object) -> Any:
    """Return what a command prints with --json; a refusal is an error here."""
    result = run(*words, "--json")
    assert result.exception is None, result.exception
    return json.loads(result.stdout)
