"""What a case is: the bytes of a file, and the outcome that the reader owes it."""

from typing import NamedTuple

from tests.reading.inline import ATTRIBUTES, NOTE, xml_of_bars

WHOLE = NOTE.format("")
PLAIN = xml_of_bars(WHOLE)


class Case(NamedTuple):
    """One file. `refused` is a word of the one-line error, "" where a score must come out of it.

    `problem` is a code that the score must report ("" for none in particular) and `notes` how many
    notes it must hold (None where nothing can be said).
    """

    name: str
    data: bytes
    refused: str = ""
    problem: str = ""
    notes: int | None = None
    file: str = "entry.musicxml"


def refused(name: str, data: bytes, word: str, file: str = "entry.musicxml") -> Case:
    """Return a file that must be refused in one line with this word in it."""
    return Case(name, data, refused=word, file=file)


def repaired(name: str, data: bytes, problem: str, notes: int | None = 1) -> Case:
    """Return a file that must be read, with a problem of this code."""
    return Case(name, data, problem=problem, notes=notes)


def sound(name: str, data: bytes, notes: int | None = 1, file: str = "entry.musicxml") -> Case:
    """Return a file that must be read, whatever is odd about it."""
    return Case(name, data, notes=notes, file=file)


def changed(old: str, new: str) -> bytes:
    """Return the plain file with one piece of it replaced."""
    text = PLAIN.decode()
    assert old in text, old
    return text.replace(old, new, 1).encode()


def with_bar(music: str, attributes: str = ATTRIBUTES) -> bytes:
    """Return a file of one bar that holds this."""
    return xml_of_bars(music, attributes=attributes)
