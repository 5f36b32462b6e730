"""What a finished letter shows, gathered into frozen values before any of it becomes a page.

::

    CritiqueView
    ├── strengths, main, smaller   PointView: one remark with its words, place, evidence and trial
    ├── criteria                   CriterionView: points, band and note
    ├── whole                      WholePiece: hearing rows and level rows over the bars
    └── strips                     Strip: further pictures of the whole piece, drawn elsewhere

Texts that the teacher has typed are tuples of paragraphs.
"""

from dataclasses import dataclass, field
from typing import NamedTuple

from redstave.model.finding import Evidence
from redstave.model.remark import LinkedTrial
from redstave.render.excerpt import ExcerptRequest
from redstave.render.view import WholePiece

Paragraphs = tuple[str, ...]


class Strip(NamedTuple):
    """A picture of the whole piece that is ready: `svg` has its own words for screen readers.

    `style` are CSS rules for the classes in it, beyond those of the letter.
    """

    title: str
    explained: str
    svg: str
    style: str = ""


class Answered(NamedTuple):
    """A remark on an earlier version that this one has taken up: where it stood, what it said."""

    place: str
    text: str


class CitedSource(NamedTuple):
    """A source, what of it was read, and which remarks lean on it: "remarks 4–6, 9".

    A remark leans on the sources of the check behind it.
    """

    title: str
    read: str
    behind: str


@dataclass(frozen=True, slots=True)
class PointView:
    """One remark as the letter shows it. `anchor` is its id in the page.

    `kind` is that of the remark and `kind_words` says it; `measured` is the title of the check
    whose finding gave the evidence, "" where there is none. `gist` says in a few words what it is
    about, for a table of contents.
    """

    number: int
    anchor: str
    kind: str
    kind_words: str
    place: str
    text: Paragraphs
    why: Paragraphs
    way_out: Paragraphs
    criterion: str
    gist: str = ""
    measured: str = ""
    evidence: tuple[Evidence, ...] = ()
    requests: tuple[ExcerptRequest, ...] = ()
    trial: LinkedTrial | None = None


@dataclass(frozen=True, slots=True)
class CriterionView:
    """One criterion with what was given for it; `points` is None where nothing was.

    `share` is its part of the total in per cent; `scale` the points at which its bands begin.
    """

    name: str
    descriptor: str
    points: float | None
    most: float
    share: float
    band: str
    band_descriptor: str
    note: Paragraphs
    scale: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class CritiqueView:
    """Everything a finished letter says; `entry` is the code name."""

    entry: str
    season: str
    teacher: str
    date: str
    opening: Paragraphs
    strengths: tuple[PointView, ...]
    main: tuple[PointView, ...]
    smaller: tuple[PointView, ...]
    criteria_name: str
    criteria: tuple[CriterionView, ...]
    total: float | None
    next_step: Paragraphs
    closing: Paragraphs
    whole: WholePiece = field(default_factory=lambda: WholePiece(()))
    strips: tuple[Strip, ...] = ()
    sources: tuple[CitedSource, ...] = ()
    suggested: tuple[str, ...] = ()  # fields of the letter in words that are not the teacher's
    answered: tuple[Answered, ...] = ()
    heard_in: str = ""  # the forces and the hall that predictions rest on
    units: tuple[str, ...] = ()  # a sentence for each unit that needs one

    @property
    def points(self) -> tuple[PointView, ...]:
        """Every remark, in the order of the letter."""
        return (*self.strengths, *self.main, *self.smaller)
