"""Analysis: one frozen object whose parts are computed when a check first reads them."""

from dataclasses import dataclass
from functools import cached_property

from redstave.instruments import InstrumentBook, load
from redstave.model.line import WORKING_ORCHESTRA, Forces, Playing
from redstave.model.score import Score
from redstave.players import play


@dataclass(frozen=True)
class Analysis:
    """Everything derived from one score under one set of forces; what nobody reads is not computed.

    Frozen, so that two readers can never see different values; each property is computed once.
    """

    score: Score
    forces: Forces = WORKING_ORCHESTRA

    @cached_property
    def book(self) -> InstrumentBook:
        """The instrument data in use."""
        return load()

    @cached_property
    def playing(self) -> Playing:
        """Who plays what: lines, tones, levels, tempo."""
        return play(self.score, self.forces, self.book)
