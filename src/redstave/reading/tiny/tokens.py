"""From the text of a tiny score to its header lines, its parts and their tokens."""

import re
from collections.abc import Iterator
from typing import NamedTuple

from redstave.base.errors import InputError

VALUE = r"(?:/\d+\.*)?"
SUFFIXES = r"(?:[~()]|:[a-z][a-z0-9-]*)*"
PITCH = r"[A-G](?:\#\#|\#|bb|b)?\d"
TOKEN = re.compile(
    rf"""\s*(?:
      (?P<barline>:\|:|:\||\|:|\|\||\|\.|\|)
    | (?P<words>[_!]?"[^"]*")
    | (?P<chord>\^?\[[^\]]*\]{VALUE}{SUFFIXES})
    | (?P<note>\^?{PITCH}{VALUE}{SUFFIXES})
    | (?P<whole_bar>R(?:\*\d+)?{SUFFIXES})
    | (?P<rest>[rs](?![a-z]){VALUE}{SUFFIXES})
    | (?P<change>(?:clef|key|meter):[\w/+-]+)
    | (?P<level>[a-z]+)
    | (?P<tuplet>\{{\d+:\d+)
    | (?P<tuplet_end>\}})
    | (?P<stave>//)
    | (?P<voice>&)
    | (?P<hairpin>[<>=])
    | (?P<tempo>%\d+(?:\.\d+)?)
    | (?P<rehearsal>@\w+)
    )""",
    re.VERBOSE,
)
COMMENT = re.compile(r'^;.*|((?:[^";]|"[^"]*")*?)\s;.*')


class Token(NamedTuple):
    """One sign of the notation with the line of the text it stands in."""

    kind: str
    text: str
    line: int


class Heading(NamedTuple):
    """A header line or a part's heading: the word before the colon or bar, and what follows."""

    line: int
    name: str
    text: str


class PartText(NamedTuple):
    """A part as text: its heading and the lines below it."""

    heading: Heading
    lines: list[tuple[int, str]]


def split(text: str) -> tuple[list[Heading], list[PartText]]:
    """Return the header lines and the parts of a tiny score."""
    headers: list[Heading] = []
    parts: list[PartText] = []
    for number, raw in enumerate(text.splitlines(), start=1):
        line = COMMENT.sub(lambda match: match[1] or "", raw).strip()
        if not line:
            continue
        if re.match(r"part\b", line):
            parts.append(PartText(Heading(number, "part", line[4:].strip()), []))
        elif parts:
            parts[-1].lines.append((number, line))
        else:
            headers.append(_header(number, line))
    return headers, parts


def _header(number: int, line: str) -> Heading:
    name, colon, rest = line.partition(":")
    if not colon:
        raise error(number, f"expected 'name: value' or 'part NAME', found {line!r}")
    return Heading(number, name.strip(), rest.strip())


def tokens(lines: list[tuple[int, str]]) -> Iterator[Token]:
    """Yield the signs of a part's music."""
    for number, line in lines:
        position = 0
        while position < len(line):
            match = TOKEN.match(line, position)
            if match is None or match.lastgroup is None:
                found = line[position:].split()[0]
                raise error(number, f"{found!r} is not a sign of the tiny notation")
            yield Token(match.lastgroup, match[match.lastgroup], number)
            position = match.end()


def error(line: int, text: str) -> InputError:
    """Return the error for a line of the text."""
    return InputError(f"Tiny notation, line {line}: {text}.")
