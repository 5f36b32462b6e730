"""What an instrument gives out at a pitch and level, and what of it reaches the listener.

One note at a time; `notes` has the same for many. Levels are numbered ppp 1 … fff 8, fractional in
between. A technique for which the book has no figures sounds as usual; `sigma_db` then says that
less is known.
"""

import numpy as np
from numpy.typing import NDArray

from redstave.base.errors import InputError
from redstave.instruments import notes
from redstave.instruments.book import load
from redstave.instruments.halls import Hall
from redstave.instruments.notes import Notes
from redstave.instruments.record import MARK_NUMBERS, Instrument

Floats = NDArray[np.float64]


def emission(
    instrument: Instrument | str,
    midi_pitch: float,
    level: float | str,
    technique: str | None = None,
    players: float = 1,
) -> tuple[Floats, Floats]:
    """Return frequencies in Hz and sound power levels in dB re 1 pW of the components of a note.

    The instrument may be given by its id ("horn"), the level by its mark ("f"); InputError for one
    that is not known. `midi_pitch` is sounding (ignored without pitch). The powers sum to
    `sound_power_db`, but for a mute, which takes its share afterwards. Plucked and struck notes:
    the first tenth of a second.
    """
    note = _note(midi_pitch, _number(level), players)
    spectrum = notes.emitted(_record(instrument), note, technique or "")
    return spectrum.frequencies, spectrum.levels


def sound_power_db(
    instrument: Instrument,
    midi_pitch: float,
    level: float,
    technique: str | None = None,
    players: float = 1,
) -> float:
    """Return the sound power level in dB re 1 pW of all players together, before any mute."""
    return float(notes.power_db(instrument, _note(midi_pitch, level, players), technique or "")[0])


def at_ear(
    instrument: Instrument,
    midi_pitch: float,
    level: float,
    technique: str | None,
    players: float,
    hall: Hall,
) -> tuple[Floats, Floats]:
    """Return frequencies in Hz and sound pressure levels in dB SPL at the listener's seat."""
    note = _note(midi_pitch, level, players)
    spectrum = notes.heard(instrument, note, technique or "", hall)
    return spectrum.frequencies, spectrum.levels


def sigma_db(instrument: Instrument, level: float, technique: str | None = None) -> float:
    """Return the standard deviation in dB of the level given by `sound_power_db`."""
    return float(notes.sigma_db(instrument, np.array([level]), technique or "")[0])


def decay_s(
    instrument: Instrument, midi_pitch: float, technique: str | None = None
) -> float | None:
    """Return the 60-dB decay time in s of a note, None for a sound that is sustained.

    A tremolo on a struck instrument is a roll, and sustained.
    """
    found = notes.decay_s(instrument, np.array([midi_pitch]), technique or "")
    return None if found is None else float(found[0])


def _note(midi_pitch: float, level: float, players: float) -> Notes:
    return Notes(*(np.array([value], dtype=np.float64) for value in (midi_pitch, level, players)))


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
