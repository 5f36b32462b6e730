"""The strings of the bowed instruments, and whether a printed chord can be held on them.

The highest note of a string is taken from the highest note of the instrument: all strings of one
instrument are equally long, so each goes as far above its open pitch as the highest one does.
"""

from typing import NamedTuple

from redstave.analysis.compass import highest, lowest
from redstave.analysis.stops import assign
from redstave.base.errors import DataError
from redstave.instruments import InstrumentBook
from redstave.instruments.tuning import tuning
from redstave.model.line import Playing


class Strings(NamedTuple):
    """The open strings of one instrument (sounding MIDI numbers) and how far each goes up."""

    open: tuple[float, ...]
    reach: float

    def can_hold(self, pitches: tuple[float, ...]) -> bool:
        """Tell whether the sounding pitches can be stopped together."""
        return assign(pitches, self.open, self.reach) is not None


def strings_of(instrument: str, book: InstrumentBook) -> Strings | None:
    """Return the strings of a bowed instrument; None for any other."""
    opened = tuning().get(instrument)
    if opened is None:
        return None
    low, high = lowest(book[instrument], 0), highest(book[instrument])
    if low is None or high is None:
        raise DataError(f"{instrument} has strings but no compass")
    lowest_string = min(opened[0], low.limit)  # the extension of a double bass
    return Strings((lowest_string, *opened[1:]), high.limit + high.doubt - opened[-1])


def sounding(playing: Playing) -> dict[str, float]:
    """Return the sounding pitch of each printed note that is a plain tone, by note id.

    Harmonics are left out: what is printed is not what a finger stops.
    """
    return {
        note: tone.midi
        for tone in playing.tones
        if not tone.unpitched and tone.technique != "harmonic"
        for note in tone.notes
    }
