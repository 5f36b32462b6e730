"""What a letter shows, gathered into frozen values before any of it becomes HTML.

::

    ReviewView
    ├── remarks, credits   RemarkView: one finding with its words, place, excerpts and sources
    ├── whole              WholePiece: hearing rows and level rows over the bars
    ├── origin             OriginView: carrier strips and sections, where there is an original
    ├── not_assessed       checks that could not judge, and why
    ├── problems, themes   what the file left open, and what the page leaves open for the players
    └── provenance         what this review was made from
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from redstave.base.citation import Source
from redstave.model.finding import Claim, Evidence, NotAssessed
from redstave.model.score import Problem
from redstave.render.excerpt import ExcerptRequest
from redstave.render.open_questions import OpenTheme
from redstave.render.wording import Wording


class Audibility(StrEnum):
    """What the hall hears of one line in one bar."""

    HEARD = "heard"
    DOUBTFUL = "doubtful"
    COVERED = "covered"
    UNKNOWN = "unknown"  # the line plays, but could not be judged
    SILENT = "silent"


@dataclass(frozen=True, slots=True)
class HearingRow:
    """One line over the whole piece: one cell for every bar."""

    name: str
    group: str  # what the page calls its family
    cells: tuple[Audibility, ...]


@dataclass(frozen=True, slots=True)
class LevelRow:
    """The levels in force in one family: softest and loudest in every bar, None where it rests.

    Levels are numbered ppp 1 … fff 8.
    """

    family: str
    softest: tuple[float | None, ...]
    loudest: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class WholePiece:
    """The piece as one picture. `bars` are the numbers as printed, `letters` (bar index, text)."""

    bars: tuple[str, ...]
    letters: tuple[tuple[int, str], ...] = ()
    hearing: tuple[HearingRow, ...] = ()
    levels: tuple[LevelRow, ...] = ()
    hearing_missing: str = ""  # why there is no hearing, when there is none


class Link(NamedTuple):
    """Another finding that hangs together with one: its anchor, and what to call it.

    `why` is the reason, a clause that goes on from "because".
    """

    anchor: str
    title: str
    bars: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class RemarkView:
    """One finding as the letter shows it. `anchor` is its id in the page."""

    anchor: str
    slug: str
    claim: Claim
    words: Wording
    bars: str
    parts: str
    evidence: tuple[Evidence, ...]
    requests: tuple[ExcerptRequest, ...]
    sources: tuple[str, ...]
    tried: tuple[str, ...] = ()  # ways out that were heard again in full
    explains: tuple[Link, ...] = ()  # what it brings about
    explained_by: tuple[Link, ...] = ()
    rank: int = 0  # by consequence: the gravest that explain most come first


class Cell(NamedTuple):
    """One bar of a lane: whether what carries the voice is heard, and in which octave."""

    state: Audibility
    octave: int


class Lane(NamedTuple):
    """One part that carries a voice: a cell for every bar, None where it does not."""

    name: str
    cells: tuple[Cell | None, ...]


class StripView(NamedTuple):
    """One voice of the original; `sounds` tells in which bars of the entry it has notes at all.

    `alone` are bars in which it has notes and nobody carries them; `path` tells in whose hands it
    is as rows of words (bars, hands).
    """

    name: str
    lanes: tuple[Lane, ...]
    sounds: tuple[bool, ...]
    alone: tuple[bool, ...]
    path: tuple[tuple[str, str], ...]


class SectionRow(NamedTuple):
    """One section in words."""

    bars: str
    opened: str
    instruments: str
    lines: str
    register: str
    level: str
    rhythm: str
    turn: str


@dataclass(frozen=True, slots=True)
class OriginView:
    """What became of the piano piece.

    `sentences` say what is there, missing and added, and which habits of the keyboard are kept.
    """

    sentences: tuple[str, ...]
    strips: tuple[StripView, ...]
    sections: tuple[SectionRow, ...]


class Fact(NamedTuple):
    """One line of the head or of the provenance: what it is called and what it is."""

    name: str
    value: str


@dataclass(frozen=True, slots=True)
class ReviewView:
    """Everything a letter says.

    `entry` is the entrant's code name; `date` is given, never read from a clock.
    """

    title: str
    entry: str
    date: str
    remarks: tuple[RemarkView, ...]
    credits: tuple[RemarkView, ...]
    whole: WholePiece
    not_assessed: tuple[NotAssessed, ...] = ()
    silent: tuple[str, ...] = ()  # checks that looked and found nothing
    problems: tuple[Problem, ...] = ()
    themes: tuple[OpenTheme, ...] = ()
    sources: tuple[Source, ...] = ()
    provenance: tuple[Fact, ...] = ()
    forces: str = ""
    left_out: int = 0  # faults kept out by the teacher's limit
    origin: OriginView | None = None
    untried: int = 0  # covered lines for which no way out was tried

    def of_claim(self, claim: Claim) -> Sequence[RemarkView]:
        """Return the remarks of one kind by consequence; of equal rank in order of place."""
        mine = [remark for remark in self.remarks if remark.claim is claim]
        return sorted(mine, key=lambda remark: remark.rank)
