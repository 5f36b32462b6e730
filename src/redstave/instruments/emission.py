"""What an instrument gives out at a pitch and level, and what of it reaches the listener.

Levels are numbered ppp 1 … fff 8, fractional in between. A technique for which the book has no
figures sounds as usual; `sigma_db` then says that less is known.
"""

import math

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics.envelope import Spectrum, harmonics, modes, noise
from redstave.base.errors import InputError
from redstave.instruments.book import load
from redstave.instruments.halls import Hall
from redstave.instruments.record import (
    MARK_NUMBERS,
    TABLE_MARKS,
    Instrument,
    Technique,
    at_points,
)

Floats = NDArray[np.float64]

ORDINARY = Technique()
ROLLED = "tremolo"


def emission(
    instrument: Instrument | str,
    midi_pitch: float,
    level: float | str,
    technique: str | None = None,
    players: float = 1,
) -> tuple[Floats, Floats]:
    """Return frequencies in Hz and sound power levels in dB re 1 pW of the components of a note.

    The instrument may be given by its id ("horn"), the level by its mark ("f"); InputError for one
    that is not known.
    `midi_pitch` is sounding (ignored without pitch). The powers sum to `sound_power_db`, but for a
    mute, which takes its share afterwards. Plucked and struck notes: the first tenth of a second.
    """
    record, number = _record(instrument), _number(level)
    way = _way(record, technique)
    total = sound_power_db(record, midi_pitch, number, technique, players)
    spectrum = _spectrum(record, midi_pitch, number, way, total)
    levels = spectrum.levels
    if way.filter:
        places, gains = np.array(way.filter).T
        levels = levels + np.interp(np.log2(spectrum.frequencies), np.log2(places), gains)
    return spectrum.frequencies, levels


def sound_power_db(
    instrument: Instrument,
    midi_pitch: float,
    level: float,
    technique: str | None = None,
    players: float = 1,
) -> float:
    """Return the sound power level in dB re 1 pW of all players together, before any mute."""
    way = _way(instrument, technique)
    table = instrument.level
    one = table.at(level, midi_pitch)
    if way.power:
        one += float(np.interp(level, TABLE_MARKS, np.subtract(way.power, table.power)))
    effort = instrument.section.effort_of(players) if instrument.section else 0.0
    return one + 10.0 * math.log10(players) + effort


def at_ear(
    instrument: Instrument,
    midi_pitch: float,
    level: float,
    technique: str | None,
    players: float,
    hall: Hall,
) -> tuple[Floats, Floats]:
    """Return frequencies in Hz and sound pressure levels in dB SPL at the listener's seat."""
    frequencies, levels = emission(instrument, midi_pitch, level, technique, players)
    return frequencies, levels + hall.transfer_db(instrument, frequencies)


def sigma_db(instrument: Instrument, level: float, technique: str | None = None) -> float:
    """Return the standard deviation in dB of the level given by `sound_power_db`."""
    way = _way(instrument, technique)
    usual = float(np.interp(level, TABLE_MARKS, way.sigma or instrument.level.sigma))
    known = not technique or technique in instrument.techniques or technique == ROLLED
    return usual if known else math.hypot(usual, instrument.technique_sigma)


def decay_s(
    instrument: Instrument, midi_pitch: float, technique: str | None = None
) -> float | None:
    """Return the 60-dB decay time in s of a note, None for a sound that is sustained.

    A tremolo on a struck instrument is a roll, and sustained.
    """
    points = _way(instrument, technique).t60 or instrument.t60
    if not points or technique == ROLLED:
        return None
    return at_points(points, midi_pitch)


def _record(instrument: Instrument | str) -> Instrument:
    if isinstance(instrument, Instrument):
        return instrument
    if instrument not in load():
        raise InputError(
            f'there is no instrument "{instrument}" in the book; its ids are {", ".join(load())}'
        )
    return load()[instrument]


def _number(level: float | str) -> float:
    if not isinstance(level, str):
        return level
    if level not in MARK_NUMBERS:
        raise InputError(f'"{level}" is no level; the marks are {", ".join(MARK_NUMBERS)}')
    return MARK_NUMBERS[level]


def _way(instrument: Instrument, technique: str | None) -> Technique:
    return instrument.techniques.get(technique, ORDINARY) if technique else ORDINARY


def _spectrum(
    instrument: Instrument, midi_pitch: float, level: float, way: Technique, total: float
) -> Spectrum:
    table = instrument.spectrum
    if table.form == "noise":
        return noise(table.at(level, midi_pitch), total)
    fundamental = 440.0 * 2.0 ** ((midi_pitch - 69.0) / 12.0)
    if table.form == "modes":
        return modes(fundamental, np.array(table.ratios), np.array(table.mode_levels), total)
    return harmonics(fundamental, table.at(level, midi_pitch, way.steeper), total)
