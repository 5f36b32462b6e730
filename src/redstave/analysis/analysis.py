"""Analysis: one frozen object whose parts are computed when a check first reads them."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from redstave.analysis.again import hear_again, same_notes
from redstave.analysis.bowed import Bowed, bowed_parts
from redstave.analysis.columns import columns
from redstave.analysis.doubles import Judged, judged
from redstave.analysis.fusion import Fusion, fusion
from redstave.analysis.hand_over import TuneSpan, tune_spans
from redstave.analysis.hearing import Hearing, hear
from redstave.analysis.held import Stops, held_stops
from redstave.analysis.movement import Movement, movement
from redstave.analysis.players_level import PlayersLevel
from redstave.analysis.prominence import Prominence, prominence
from redstave.analysis.roles import Roles, roles
from redstave.analysis.slices import Slices, cut
from redstave.analysis.solos import Lead, marked_leads
from redstave.analysis.spectra import Sound, sound_of_rows
from redstave.analysis.strands import doubled_tones, hands, shared_tones, strand_of_rows
from redstave.analysis.tail import ringing
from redstave.analysis.teacher import settled, tune_words
from redstave.analysis.traits import Traits, traits
from redstave.analysis.tune import Tune, find_tune, strands_of_lines
from redstave.instruments import Hall, InstrumentBook, default_hall, load
from redstave.model.line import WORKING_ORCHESTRA, Forces, Playing, Tone
from redstave.model.match import Pin, VoiceOverride
from redstave.model.role import RoleOverride
from redstave.model.score import Score
from redstave.players import play

Value = TypeVar("Value")


@dataclass(frozen=True)
class Analysis:
    """Everything derived from one score under one set of forces, heard in one hall.

    Frozen, so that two readers can never see different values; each property is computed once, and
    what nobody reads is not computed. `told` is what the players are told where that is not what
    the page says, `earlier` an analysis whose results are taken over where they still hold: it
    saves time and changes nothing. `players_level` is how good the players are taken to be,
    `overrides` the teacher's word on the role of some lines; `from_original` is what the original
    says of it, where the teacher has said nothing. `original` is the set piano piece;
    `pins` and `voice_overrides` are the teacher's word on its bars and voices, `cuts` on where
    sections begin (bars of the entry, as indices); where there are any, nothing else cuts.
    """

    score: Score
    forces: Forces = WORKING_ORCHESTRA
    hall: Hall = field(default_factory=default_hall)
    told: Playing | None = None
    earlier: "Analysis | None" = field(default=None, compare=False, repr=False)
    players_level: PlayersLevel = PlayersLevel.CONSERVATOIRE
    overrides: tuple[RoleOverride, ...] = ()
    original: Score | None = None
    pins: tuple[Pin, ...] = ()
    voice_overrides: tuple[VoiceOverride, ...] = ()
    cuts: tuple[int, ...] = ()
    from_original: tuple[RoleOverride, ...] = ()
    _kept: dict[Callable[["Analysis"], object], object] = field(
        default_factory=dict, init=False, compare=False, repr=False
    )

    def retold(self, playing: Playing) -> "Analysis":
        """Return the analysis of the same page when the players are told something else.

        The lines keep their numbers; new ones come after them.
        """
        return replace(self, told=playing, earlier=self)

    def remember(self, work: Callable[["Analysis"], Value]) -> Value:
        """Return what a function of a higher room makes of this analysis, made only once."""
        if work not in self._kept:
            self._kept[work] = work(self)
        return cast(Value, self._kept[work])

    @cached_property
    def book(self) -> InstrumentBook:
        """The instrument data in use."""
        return load()

    @cached_property
    def playing(self) -> Playing:
        """Who plays what: lines, tones, levels, tempo."""
        if self.told is not None:
            return self.told
        before = self.earlier
        if before and before.told is None and self._same_page(before):
            return before.playing
        return play(self.score, self.forces, self.book)

    def _same_page(self, other: "Analysis") -> bool:
        return self.score is other.score and self.forces == other.forces

    @cached_property
    def keeps_notes(self) -> bool:
        """Whether the earlier analysis has the same lines playing the same notes."""
        if self.earlier is None:
            return False
        before = self.earlier.playing
        return before.lines == self.playing.lines and same_notes(before.tones, self.playing.tones)

    @cached_property
    def unheard(self) -> frozenset[int]:
        """The lines (indices) whose instrument is unknown: nobody can say what is heard of them."""
        lines = self.playing.lines
        return frozenset(at for at, line in enumerate(lines) if line.instrument not in self.book)

    @cached_property
    def slices(self) -> Slices:
        """Time cut into slices in which no tone starts or ends."""
        if self.keeps_notes and self.earlier:
            return self.earlier.slices
        return cut(self.score, self.playing, self.unheard)

    @cached_property
    def shared(self) -> dict[int, frozenset[int]]:
        """For each tone (index) the tones of other lines that double it."""
        return shared_tones(self.playing.tones)

    @cached_property
    def strand(self) -> NDArray[np.int64]:
        """The strand of each row of the slices, numbered through the score."""
        if self.keeps_notes and self.earlier:
            return self.earlier.strand
        tones = self.playing.tones
        doubled, played_by = doubled_tones(tones), hands(tones, self.playing.lines)
        return strand_of_rows(self.slices, doubled, played_by)

    @cached_property
    def line_strand(self) -> NDArray[np.int64]:
        """The strand of each line in each slice [slices, lines]; -1 where it is silent."""
        return strands_of_lines(self.slices, self.playing, self.strand)

    @cached_property
    def sound(self) -> Sound:
        """The spectrum of every tone in every slice at the listener."""
        known = self.earlier.sound.palette if self.earlier else None
        return sound_of_rows(self.slices, self.playing, self.book, self.hall, known)

    @cached_property
    def hearing(self) -> Hearing:
        """What the hall hears."""
        lines = self.playing.lines
        line = columns(self.playing.tones).line[self.slices.row_tone]
        if self.earlier and not self.hall.tail:  # a tail makes every slice depend on those before
            known = self.earlier.hearing
            return hear_again(known, self.slices, self.sound, self.strand, line, len(lines))
        rings = ringing(self.hall, lines, self.book, line, self.sound.sigma_db)
        return hear(self.slices, self.sound, self.strand, line, len(lines), rings)

    @cached_property
    def prominence(self) -> Prominence:
        """How far every strand stands out of what sounds with it, row by row."""
        return prominence(self.hearing)

    @cached_property
    def movement(self) -> Movement:
        """How the line of each tone moves within two quarters either way."""
        return movement(self.playing.tones, 2 * self.score.ticks_per_quarter)

    @cached_property
    def tone_of(self) -> dict[str, Tone]:
        """The tone of each printed note, by note id; where several lines play it, the first's."""
        return {note: tone for tone in reversed(self.playing.tones) for note in tone.notes}

    @cached_property
    def _sounding(self) -> dict[int, frozenset[int]]:
        """The lines that sound in each slice, by the tick at which it begins."""
        slices = self.slices
        line = np.array([tone.line for tone in self.playing.tones], dtype=np.int64)[slices.row_tone]
        begins = np.searchsorted(slices.row_slice, np.arange(slices.start.size + 1))
        return {
            tick: frozenset(line[first:last].tolist())
            for tick, (first, last) in zip(slices.start.tolist(), pairwise(begins), strict=True)
        }

    def sounding_at(self, tick: int) -> frozenset[int]:
        """Return the lines (indices) that sound when a tone begins at a tick."""
        return self._sounding.get(tick, frozenset())

    @cached_property
    def bowed(self) -> tuple[Bowed, ...]:
        """The parts for bowed strings, with their chords by time."""
        return bowed_parts(self.score, self.playing)

    @cached_property
    def double_notes(self) -> tuple[Judged, ...]:
        """The passages of several notes at once in the parts for bowed strings."""
        return tuple(judged(self.score, self.playing, self.book))

    @cached_property
    def stops(self) -> tuple[Stops, ...]:
        """The chords that single players of bowed strings are to hold."""
        return tuple(held_stops(self.double_notes, self.playing, self.book))

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """Where the page itself says that a line leads."""
        return marked_leads(self.score, self.playing)

    @cached_property
    def traits(self) -> Traits:
        """What each line does in each slice: height, movement, theme."""
        return traits(self.score, self.playing, self.slices, self.leads)

    @cached_property
    def _words(self) -> tuple[RoleOverride, ...]:
        """What is said on roles: by the original, and over it by the teacher."""
        return settled(self.from_original, self.overrides)

    @cached_property
    def _tune_words(self) -> NDArray[np.int64] | None:
        return tune_words(self.slices, self.playing, self._words)

    @cached_property
    def tune_named(self) -> NDArray[np.bool_]:
        """Whether the original or the teacher says who has the tune, slice by slice."""
        if self._tune_words is None:
            return np.zeros(self.slices.start.size, dtype=np.bool_)
        return np.asarray((self._tune_words > 0).any(axis=1), dtype=np.bool_)

    @cached_property
    def tune(self) -> Tune:
        """Which strand carries the tune in each slice."""
        return find_tune(
            self.slices,
            self.traits,
            self.line_strand,
            self.playing,
            self.score.ticks_per_quarter,
            self._tune_words,
        )

    @cached_property
    def tune_spans(self) -> tuple[TuneSpan, ...]:
        """In whose hands the tune is, from span to span."""
        quarter = self.score.ticks_per_quarter
        return tune_spans(self.slices, self.tune, self.line_strand, self.traits, quarter)

    @cached_property
    def roles(self) -> Roles:
        """What every line is there for in every slice, and how sure that is."""
        return roles(
            self.slices,
            self.playing,
            self.traits,
            self.tune,
            self.line_strand,
            self.score.ticks_per_quarter,
            self._words,
        )

    def fusion(self, line: int, other: int, first: int, last: int) -> Fusion | None:
        """Return how far a line (index) melts into another in bars (indices, both inside).

        A rule of thumb, as `redstave.analysis.fusion` says; None where they never sound together.
        """
        return fusion(self, line, other, first, last)
