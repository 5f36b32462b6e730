"""What is known of one instrument, as frozen values made from its cited data file.

Levels are sound power levels of one player in dB re 1 pW; pitches are sounding MIDI numbers; level
numbers run from ppp 1 to fff 8.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from redstave.acoustics.envelope import Envelope

Floats = NDArray[np.float64]

MARK_NUMBERS = {"ppp": 1, "pp": 2, "p": 3, "mp": 4, "mf": 5, "f": 6, "ff": 7, "fff": 8}
TABLE_MARKS = (2, 3, 4, 5, 6, 7)  # pp … ff
FRONT_BANDS_HZ = (250.0, 500.0, 1000.0, 2000.0, 4000.0)

Points = tuple[tuple[float, ...], ...]


class Compass(NamedTuple):
    """A range of sounding MIDI pitches, both ends included, and the doubt in semitones about each.

    An open string has no doubt below; a range from memory has two semitones.
    """

    low: float
    high: float
    low_doubt: float = 0.0
    high_doubt: float = 0.0

    def holds(self, midi: float) -> bool:
        """Tell whether a pitch lies in the range as stated."""
        return self.low <= midi <= self.high

    def surely_holds(self, midi: float) -> bool:
        """Tell whether a pitch lies in the range whatever the doubt about its ends."""
        return self.low + self.low_doubt <= midi <= self.high - self.high_doubt


@dataclass(frozen=True, eq=False)
class LevelTable:
    """Level and its standard deviation at pp … ff, in the middle of the compass."""

    power: tuple[float, ...]
    sigma: tuple[float, ...]
    softest: float
    loudest: float
    ppp_below_pp: float
    fff_above_ff: float
    middle: float
    tilt: tuple[float, ...]  # dB an octave of pitch at pp … ff
    by_pitch: Points  # or (midi, dB) points instead of a tilt

    def at(self, level: Floats, midi: Floats) -> Floats:
        """Return the level of one player in dB re 1 pW, within softest … loudest, note by note."""
        here = np.interp(level, TABLE_MARKS, self.power) + self._of_pitch(level, midi)
        here += self.ppp_below_pp * np.maximum(0.0, TABLE_MARKS[0] - level)
        here += self.fff_above_ff * np.maximum(0.0, level - TABLE_MARKS[-1])
        return np.clip(here, self.softest, self.loudest)

    def _of_pitch(self, level: Floats, midi: Floats) -> Floats:
        if self.by_pitch:
            return at_points(self.by_pitch, midi)
        return np.interp(level, TABLE_MARKS, self.tilt) * (midi - self.middle) / 12.0


@dataclass(frozen=True, eq=False)
class SpectrumTable:
    """A spectral envelope at some markings, or the modes of a struck body.

    `form` is "harmonics", "noise" or "modes". Even partials are weak below `even_below`.
    """

    form: str
    marks: tuple[int, ...] = ()
    corner: tuple[float, ...] = ()
    rise: tuple[float, ...] = ()
    fall: tuple[float, ...] = ()
    even_drop: tuple[float, ...] = ()
    even_below: float = -np.inf
    ratios: tuple[float, ...] = ()
    mode_levels: tuple[float, ...] = ()

    def at(self, level: ArrayLike, midi: ArrayLike, steeper: float = 0.0) -> Envelope:
        """Return the envelope at levels and pitches, held beyond the outermost markings."""
        level = np.asarray(level, dtype=np.float64)
        corner = 2.0 ** np.interp(level, self.marks, np.log2(self.corner))
        rise, fall = (np.interp(level, self.marks, row) for row in (self.rise, self.fall))
        even = np.interp(level, self.marks, self.even_drop) if self.even_drop else 0.0
        return Envelope(
            corner, rise, fall + steeper, np.where(np.less(midi, self.even_below), even, 0.0)
        )


@dataclass(frozen=True, eq=False)
class Technique:
    """What a technique changes: levels, decay, a filter of (Hz, dB) points, or a steeper fall."""

    power: tuple[float, ...] = ()
    sigma: tuple[float, ...] = ()
    t60: Points = ()
    filter: Points = ()
    steeper: float = 0.0


@dataclass(frozen=True, eq=False)
class Section:
    """How a section of strings differs from a soloist.

    From `effort_from` players up each plays `effort` dB softer than alone; with fewer, in
    proportion, so that one player more is never softer.
    """

    players: int
    effort: float
    effort_from: float

    def effort_of(self, players: Floats) -> Floats:
        """Return the change in dB a head for numbers of players."""
        share = (players - 1.0) / (self.effort_from - 1.0)
        return self.effort * np.clip(share, 0.0, 1.0)


@dataclass(frozen=True, eq=False)
class Instrument:
    """One instrument of the book.

    `kind` is "sustained", "plucked" or "struck"; `seat` a place of the hall's layout;
    `practical` and `extreme` are None where there is no pitch; `registers` are the first notes of
    the middle and upper register, where known; `transpositions` the usual ones, in semitones from
    written to sounding, the commonest first; `front_gain` in dB at FRONT_BANDS_HZ acts on the
    direct sound; `t60` are (midi, s) points; `attack_ms` is the time of the attack, where known.
    """

    id: str
    name: str
    family: str
    kind: str
    seat: str
    practical: Compass | None
    extreme: Compass | None
    registers: tuple[float, float] | None
    transpositions: tuple[int, ...]
    level: LevelTable
    spectrum: SpectrumTable
    front_gain: tuple[float, ...]
    t60: Points
    attack_ms: float | None
    section: Section | None
    techniques: Mapping[str, Technique]
    technique_sigma: float

    @property
    def pitched(self) -> bool:
        """Tell whether the instrument has pitch."""
        return self.spectrum.form != "noise"


def at_points(points: Points, place: Floats) -> Floats:
    """Return the values at places, linear between (place, value) points and held beyond them."""
    places, values = zip(*points, strict=True)
    found: Floats = np.interp(place, places, values)
    return found
