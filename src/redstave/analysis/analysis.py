"""Analysis: one frozen object whose parts are computed when a check first reads them."""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from redstave.analysis.hearing import Hearing, hear
from redstave.analysis.movement import Movement, movement
from redstave.analysis.slices import Slices, cut
from redstave.analysis.solos import Lead, marked_leads
from redstave.analysis.spectra import Sound, sound_of_rows
from redstave.analysis.strands import hands, shared_tones, strand_of_rows
from redstave.analysis.tail import ringing
from redstave.analysis.tune import Tune, find_tune, marked_rows
from redstave.instruments import Hall, InstrumentBook, default_hall, load
from redstave.model.line import WORKING_ORCHESTRA, Forces, Playing
from redstave.model.score import Score
from redstave.players import play


@dataclass(frozen=True)
class Analysis:
    """Everything derived from one score under one set of forces, heard in one hall.

    Frozen, so that two readers can never see different values; each property is computed once, and
    what nobody reads is not computed.
    """

    score: Score
    forces: Forces = WORKING_ORCHESTRA
    hall: Hall = field(default_factory=default_hall)

    @cached_property
    def book(self) -> InstrumentBook:
        """The instrument data in use."""
        return load()

    @cached_property
    def playing(self) -> Playing:
        """Who plays what: lines, tones, levels, tempo."""
        return play(self.score, self.forces, self.book)

    @cached_property
    def unheard(self) -> frozenset[int]:
        """The lines (indices) whose instrument is unknown: nobody can say what is heard of them."""
        lines = self.playing.lines
        return frozenset(at for at, line in enumerate(lines) if line.instrument not in self.book)

    @cached_property
    def slices(self) -> Slices:
        """Time cut into slices in which no tone starts or ends."""
        return cut(self.score, self.playing, self.unheard)

    @cached_property
    def shared(self) -> dict[int, frozenset[int]]:
        """For each tone (index) the tones of other lines that double it."""
        return shared_tones(self.playing.tones)

    @cached_property
    def sound(self) -> Sound:
        """The spectrum of every tone in every slice at the listener."""
        return sound_of_rows(self.slices, self.playing, self.book, self.hall)

    @cached_property
    def hearing(self) -> Hearing:
        """What the hall hears."""
        lines = np.array([tone.line for tone in self.playing.tones], dtype=np.int64)
        played_by = hands(self.playing.tones, self.playing.lines)
        strand = strand_of_rows(self.slices, self.shared, played_by)
        line = lines[self.slices.row_tone]
        rings = ringing(self.hall, self.playing.lines, self.book, line, self.sound.sigma_db)
        return hear(self.slices, self.sound, strand, line, len(self.playing.lines), rings)

    @cached_property
    def movement(self) -> Movement:
        """How the line of each tone moves within two quarters either way."""
        return movement(self.playing.tones, 2 * self.score.ticks_per_quarter)

    @cached_property
    def leads(self) -> tuple[Lead, ...]:
        """Where the page itself says that a line leads."""
        return marked_leads(self.score, self.playing)

    @cached_property
    def tune(self) -> Tune:
        """Which strand carries the tune in each slice."""
        hearing, tones = self.hearing, self.playing.tones
        midi = np.array([np.nan if tone.unpitched else tone.midi for tone in tones])
        return find_tune(
            self.slices,
            hearing.strand,
            midi[self.slices.row_tone],
            self.sound.power_db,
            self.movement.changes[self.slices.row_tone],
            marked_rows(self.slices, hearing.line, self.leads),
            hearing.line,
            self.score.ticks_per_quarter,
        )
