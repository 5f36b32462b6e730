"""What an instrument gives out, for many of its notes at once.

Levels are numbered ppp 1 … fff 8, fractional in between. A technique for which the book has no
figures sounds as usual; `sigma_db` then says that less is known.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics.envelope import Spectrum, harmonics, modes, noise
from redstave.instruments.halls import Hall
from redstave.instruments.record import TABLE_MARKS, Instrument, Technique, at_points

Floats = NDArray[np.float64]

ORDINARY = Technique()
ROLLED = "tremolo"


class Notes(NamedTuple):
    """Notes of one instrument, all in one technique: sounding pitch, level, players [notes]."""

    midi: Floats
    level: Floats
    players: Floats


def power_db(instrument: Instrument, notes: Notes, technique: str = "") -> Floats:
    """Return the sound power level in dB re 1 pW of all players together, before any mute."""
    way = way_of(instrument, technique)
    table = instrument.level
    one = table.at(notes.level, notes.midi)
    if way.power:
        one = one + np.interp(notes.level, TABLE_MARKS, np.subtract(way.power, table.power))
    if instrument.section:
        one = one + instrument.section.effort_of(notes.players)
    return one + 10.0 * np.log10(notes.players)


def sigma_db(instrument: Instrument, level: Floats, technique: str = "") -> Floats:
    """Return the standard deviation in dB of the levels given by `power_db`."""
    way = way_of(instrument, technique)
    usual = np.interp(level, TABLE_MARKS, way.sigma or instrument.level.sigma)
    known = not technique or technique in instrument.techniques or technique == ROLLED
    return usual if known else np.hypot(usual, instrument.technique_sigma)


def decay_s(instrument: Instrument, midi: Floats, technique: str = "") -> Floats | None:
    """Return the 60-dB decay times in s, None for a sound that is sustained.

    A tremolo on a struck instrument is a roll, and sustained.
    """
    points = way_of(instrument, technique).t60 or instrument.t60
    return None if not points or technique == ROLLED else at_points(points, midi)


def emitted(instrument: Instrument, notes: Notes, technique: str = "") -> Spectrum:
    """Return the components of the notes, levels in dB re 1 pW.

    The powers of each note sum to `power_db`, but for a mute, which takes its share afterwards.
    """
    way = way_of(instrument, technique)
    spectrum = _spectrum(instrument, notes, way, power_db(instrument, notes, technique))
    if not way.filter:
        return spectrum
    places, gains = np.array(way.filter).T
    filtered = np.interp(np.log2(spectrum.frequencies), np.log2(places), gains)
    return spectrum._replace(levels=spectrum.levels + filtered)


def heard(instrument: Instrument, notes: Notes, technique: str, hall: Hall) -> Spectrum:
    """Return the components of the notes at the listener's seat, levels in dB SPL."""
    spectrum = emitted(instrument, notes, technique)
    transfer = hall.transfer_db(instrument, spectrum.frequencies)
    return spectrum._replace(levels=spectrum.levels + transfer)


def way_of(instrument: Instrument, technique: str) -> Technique:
    """Return what a technique changes; one the book has no figures for changes nothing."""
    return instrument.techniques.get(technique, ORDINARY)


def _spectrum(instrument: Instrument, notes: Notes, way: Technique, total: Floats) -> Spectrum:
    table = instrument.spectrum
    if table.form == "noise":
        return noise(table.at(notes.level, notes.midi), total)
    fundamental = 440.0 * 2.0 ** ((notes.midi - 69.0) / 12.0)
    if table.form == "modes":
        return modes(fundamental, np.array(table.ratios), np.array(table.mode_levels), total)
    return harmonics(fundamental, table.at(notes.level, notes.midi, way.steeper), total)
