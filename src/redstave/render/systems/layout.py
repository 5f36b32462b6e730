"""What the reader wants to see of the score: pitch, size of the notes, which staves."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from redstave.base.errors import InputError

Word = TypeVar("Word", bound=StrEnum)


class Pitch(StrEnum):
    """Which pitch the staves show."""

    WRITTEN = "written"  # as the players read it
    SOUNDING = "sounding"  # as it sounds


class Notes(StrEnum):
    """How large the notes are, told by how many bars share a line."""

    SMALL = "small"
    MEDIUM = "medium"
    LARGE = "large"


#: The width of a system in page coordinates, ten to a unit; a stave is 720 high.
WIDTHS = {Notes.SMALL: 41000, Notes.MEDIUM: 32000, Notes.LARGE: 23000}


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to set the whole score.

    `silent` shows staves also in systems in which they rest throughout; `families` keeps to the
    parts of some families (as `Line.family` names them), all where it is empty.
    """

    pitch: Pitch = Pitch.WRITTEN
    notes: Notes = Notes.MEDIUM
    silent: bool = False
    families: tuple[str, ...] = ()

    @property
    def width(self) -> int:
        """How wide every system is, in page coordinates."""
        return WIDTHS[self.notes]

    @property
    def key(self) -> str:
        """A word for this layout that can stand in an address and in the name of a file."""
        silent = "silent" if self.silent else "sounding"
        return "-".join([self.pitch, self.notes, silent, *self.families])


def layout_of(asked: Mapping[str, str], families: tuple[str, ...]) -> Layout:
    """Return the layout asked for by `pitch`, `notes`, `silent` and `families` ("brass,strings").

    InputError for a word that means nothing; `families` are those the score has.
    """
    wanted = tuple(word for word in asked.get("families", "").split(",") if word)
    strange = [word for word in wanted if word not in families]
    if strange:
        raise InputError(f'no "{strange[0]}" plays here; there are {", ".join(families)}')
    return Layout(
        _word(Pitch, asked.get("pitch", ""), Pitch.WRITTEN),
        _word(Notes, asked.get("notes", ""), Notes.MEDIUM),
        asked.get("silent", "") == "show",
        tuple(family for family in families if family in wanted),
    )


def _word(kind: type[Word], text: str, otherwise: Word) -> Word:
    try:
        return kind(text) if text else otherwise
    except ValueError:
        raise InputError(f'"{text}" is none of {", ".join(kind)}') from None
