"""From tones to arrays: the spectrum of every row at the listener's cochlea.

A spectrum depends on instrument, pitch, level, technique and players only, so each distinct one is
made once; rows then differ by a gain (decay of plucked tones, accents, short notes).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.acoustics.decay import dying_db, short_note_drop_db
from redstave.analysis.slices import Slices
from redstave.instruments import Hall, InstrumentBook, at_ear, decay_s, sigma_db, sound_power_db
from redstave.model.line import Playing, Tone

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEVEL_STEP = 0.25  # levels inside hairpins are rounded to this part of a written step
ACCENT_SECONDS = 0.2  # how long an accent lasts, acoustics note 1.6 (interpolated there)


class Voice(NamedTuple):
    """What fixes a spectrum: instrument, sounding pitch, level, technique, number of players."""

    instrument: str
    midi: float
    level: float
    technique: str
    players: float


@dataclass(frozen=True)
class Sound:
    """The sound of every row: which spectrum, and the gain in dB on it.

    `spectra` has one row a distinct voice; `voice` and `gain_db` have one entry a row, as have
    `sigma_db` (uncertainty of the level) and `power_db` (sound power level of the row, dB).
    `sustained` is false for tones that die away; those are judged by their attack, so `judged` is
    true for their first row only, and for every row of a tone that is sustained.
    """

    spectra: batch.Spectra
    voice: Ints
    gain_db: Floats
    sigma_db: Floats
    power_db: Floats
    sustained: NDArray[np.bool_]
    judged: NDArray[np.bool_]

    def rows(self, first: int, last: int) -> batch.Spectra:
        """Return the spectra of the rows `first` … `last` - 1 at the cochlea, gains applied."""
        return _repeat(self.spectra, self.voice[first:last], self.gain_db[first:last])


def sound_of_rows(slices: Slices, playing: Playing, book: InstrumentBook, hall: Hall) -> Sound:
    """Return the sound of every row of the slices."""
    keys: dict[Voice, int] = {}
    voice = np.empty(slices.row_tone.size, dtype=np.int64)
    levels = _levels(slices, playing.tones)
    for row, (tone_index, level) in enumerate(
        zip(slices.row_tone.tolist(), levels.tolist(), strict=True)
    ):
        tone = playing.tones[tone_index]
        instrument = playing.lines[tone.line].instrument
        key = Voice(instrument, tone.midi, level, tone.technique, tone.players)
        voice[row] = keys.setdefault(key, len(keys))
    voices = list(keys)
    sigma = np.array([sigma_db(book[one.instrument], one.level, one.technique) for one in voices])
    power = np.array([sound_power_db(book[one.instrument], *one[1:]) for one in voices])
    decays = [_decay(tone, playing, book) for tone in playing.tones]
    gain = _gain(slices, playing, decays)
    held = np.array([decay is None for decay in decays], dtype=np.bool_)[slices.row_tone]
    return Sound(
        spectra=batch.stack([_spectrum(one, book, hall) for one in voices]),
        voice=voice,
        gain_db=gain,
        sigma_db=sigma[voice] if voices else np.zeros(0),
        power_db=(power[voice] if voices else np.zeros(0)) + gain,
        sustained=held,
        judged=held | _struck(slices, playing),
    )


def _spectrum(
    voice: Voice, book: InstrumentBook, hall: Hall
) -> tuple[batch.Indices, batch.Float32]:
    frequencies, levels = at_ear(book[voice.instrument], *voice[1:], hall=hall)
    return batch.at_cochlea(frequencies, levels)


def _levels(slices: Slices, tones: Sequence[Tone]) -> Floats:
    """Return the written level in the middle of each row, rounded to LEVEL_STEP."""
    start = np.array([tone.start for tone in tones], dtype=np.float64)[slices.row_tone]
    stop = np.array([tone.stop for tone in tones], dtype=np.float64)[slices.row_tone]
    first = np.array([tone.level for tone in tones])[slices.row_tone]
    last = np.array([tone.level_stop for tone in tones])[slices.row_tone]
    middle = 0.5 * (slices.start + slices.stop)[slices.row_slice]
    level = first + (last - first) * (middle - start) / np.maximum(stop - start, 1.0)
    rounded: Floats = np.round(level / LEVEL_STEP) * LEVEL_STEP
    return rounded


def _decay(tone: Tone, playing: Playing, book: InstrumentBook) -> float | None:
    """Return the 60-dB decay time of a tone in seconds, None if it is sustained or unknown."""
    instrument = playing.lines[tone.line].instrument
    return decay_s(book[instrument], tone.midi, tone.technique) if instrument in book else None


def _gain(slices: Slices, playing: Playing, decays: Sequence[float | None]) -> Floats:
    """Return the gain in dB of each row: how a tone dies away, speaks too short, or is accented."""
    starts = slices.start_s[slices.row_slice].tolist()
    gain = np.zeros(slices.row_tone.size)
    for row, index in enumerate(slices.row_tone.tolist()):
        tone, decay = playing.tones[index], decays[index]
        elapsed = max(0.0, starts[row] - tone.start_s)
        if tone.accent_db and elapsed < ACCENT_SECONDS:
            gain[row] += tone.accent_db
        if decay is not None:
            gain[row] += dying_db(elapsed, decay)
        elif tone.stop_s - tone.start_s < ACCENT_SECONDS:
            gain[row] += short_note_drop_db(tone.stop_s - tone.start_s)
    return gain


def _struck(slices: Slices, playing: Playing) -> NDArray[np.bool_]:
    """Return for each row whether its tone begins there."""
    start = np.array([tone.start for tone in playing.tones], dtype=np.int64)
    struck: NDArray[np.bool_] = slices.start[slices.row_slice] == start[slices.row_tone]
    return struck


def _repeat(spectra: batch.Spectra, index: Ints, gain_db: Floats) -> batch.Spectra:
    """Return the given rows of `spectra` in the given order, each with a gain in dB."""
    lengths = np.diff(spectra.starts)[index]
    starts = np.concatenate([[0], np.cumsum(lengths)])
    shift = np.repeat(spectra.starts[index] - starts[:-1], lengths)
    places = np.arange(starts[-1]) + shift
    factor = np.repeat(10.0 ** (gain_db / 10.0), lengths).astype(np.float32)
    return batch.Spectra(starts, spectra.bins[places], spectra.powers[places] * factor)
