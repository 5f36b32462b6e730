"""From tones to arrays: the spectrum of every row at the listener's cochlea.

A spectrum depends on instrument, pitch, level, technique and players only, so each distinct one is
made once, and kept when what the players are told changes; rows then differ by a gain (decay of
plucked tones, accents, short notes).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.acoustics.decay import dying_levels_db, short_note_drop_db
from redstave.acoustics.envelope import Spectrum
from redstave.analysis.columns import Columns, columns
from redstave.analysis.slices import Slices
from redstave.instruments import Hall, InstrumentBook, decay_s, notes
from redstave.model.line import Playing

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
class Palette:
    """Distinct voices, and for each its spectrum, its sound power level and that level's sd."""

    voices: tuple[Voice, ...]
    spectra: batch.Spectra
    power_db: Floats
    sigma_db: Floats


@dataclass(frozen=True)
class Sound:
    """The sound of every row: which voice of the palette, and the gain in dB on it.

    `voice` and `gain_db` have one entry a row. `sustained` is false for tones that die away; those
    are judged by their attack, so `judged` is true for their first row only, and for every row of
    a tone that is sustained.
    """

    palette: Palette
    voice: Ints
    gain_db: Floats
    sustained: NDArray[np.bool_]
    judged: NDArray[np.bool_]

    @property
    def sigma_db(self) -> Floats:
        """The uncertainty (sd) of the level of each row in dB."""
        sigma: Floats = self.palette.sigma_db[self.voice]
        return sigma

    @property
    def power_db(self) -> Floats:
        """The sound power level of each row in dB re 1 pW."""
        power: Floats = self.palette.power_db[self.voice] + self.gain_db
        return power

    def only(self, rows: Ints) -> "Sound":
        """Return the sound of some rows alone."""
        return Sound(
            self.palette,
            self.voice[rows],
            self.gain_db[rows],
            self.sustained[rows],
            self.judged[rows],
        )

    def rows(self, chosen: slice | Ints) -> batch.Spectra:
        """Return the spectra of some rows at the cochlea, gains applied."""
        return _repeat(self.palette.spectra, self.voice[chosen], self.gain_db[chosen])


def sound_of_rows(
    slices: Slices,
    playing: Playing,
    book: InstrumentBook,
    hall: Hall,
    known: Palette | None = None,
) -> Sound:
    """Return the sound of every row of the slices; voices that are `known` are not made again."""
    tones = columns(playing.tones)
    colours, of_tone = _colours(tones, playing)
    voices, voice = _voices(slices, tones, colours, of_tone)
    palette, place = extended(voices, book, hall, known)
    decay = np.array([_decay(colour, book) for colour in colours], dtype=np.float64)[of_tone]
    held = np.isnan(decay)[slices.row_tone]
    struck = slices.start[slices.row_slice] == tones.start[slices.row_tone]
    return Sound(palette, place[voice], _gain(slices, tones, decay), held, held | struck)


def _colours(tones: Columns, playing: Playing) -> tuple[list[Voice], Ints]:
    """Return the distinct voices but for their level, and for each tone the number of its own."""
    names: dict[str, int] = {}
    instruments = [names.setdefault(line.instrument, len(names)) for line in playing.lines]
    code = np.array(instruments, dtype=np.int64)[tones.line] * len(tones.techniques)
    code += tones.technique
    for column in (tones.midi, tones.players):
        values, number = np.unique(column, return_inverse=True)
        code = code * values.size + number
    _, first, of_tone = np.unique(code, return_index=True, return_inverse=True)
    chosen = [playing.tones[at] for at in first.tolist()]
    return [
        Voice(playing.lines[one.line].instrument, one.midi, 0.0, one.technique, one.players)
        for one in chosen
    ], of_tone


def _voices(
    slices: Slices, tones: Columns, colours: Sequence[Voice], of_tone: Ints
) -> tuple[list[Voice], Ints]:
    """Return the distinct voices, and for each row the number of its voice."""
    steps = np.rint(_levels(slices, tones) / LEVEL_STEP).astype(np.int64)
    most = int(steps.max(initial=0)) + 1
    keys, voice = np.unique(of_tone[slices.row_tone] * most + steps, return_inverse=True)
    kinds = [(colours[key // most], key % most * LEVEL_STEP) for key in keys.tolist()]
    return [
        Voice(one.instrument, one.midi, level, one.technique, one.players) for one, level in kinds
    ], voice


def extended(
    voices: Sequence[Voice], book: InstrumentBook, hall: Hall, known: Palette | None
) -> tuple[Palette, Ints]:
    """Return a palette that has these voices besides those known, and the place of each."""
    palette = known or made((), book, hall)
    places = {voice: at for at, voice in enumerate(palette.voices)}
    fresh = made([voice for voice in voices if voice not in places], book, hall)
    places |= {voice: len(places) + at for at, voice in enumerate(fresh.voices)}
    joined = Palette(
        palette.voices + fresh.voices,
        batch.joined(palette.spectra, fresh.spectra),
        np.concatenate([palette.power_db, fresh.power_db]),
        np.concatenate([palette.sigma_db, fresh.sigma_db]),
    )
    return joined, np.array([places[voice] for voice in voices], dtype=np.int64)


def made(voices: Sequence[Voice], book: InstrumentBook, hall: Hall) -> Palette:
    """Make the spectra and levels of some voices, all of one instrument and technique at once."""
    alike: dict[tuple[str, str], list[int]] = {}
    for at, voice in enumerate(voices):
        alike.setdefault((voice.instrument, voice.technique), []).append(at)
    power, sigma = np.empty(len(voices)), np.empty(len(voices))
    heard: list[Spectrum] = []
    for (id_, technique), places in alike.items():
        told = [(voices[at].midi, voices[at].level, voices[at].players) for at in places]
        some = notes.Notes(*np.array(told, dtype=np.float64).T)
        power[places] = notes.power_db(book[id_], some, technique)
        sigma[places] = notes.sigma_db(book[id_], some.level, technique)
        spectrum = notes.heard(book[id_], some, technique, hall)
        heard.append(spectrum._replace(note=np.array(places)[spectrum.note]))
    if not heard:
        return Palette((), batch.stack([]), power, sigma)
    all_ = Spectrum(*(np.concatenate(column) for column in zip(*heard, strict=True)))
    spectra = batch.rows_at_cochlea(all_.frequencies, all_.levels, all_.note, len(voices))
    return Palette(tuple(voices), spectra, power, sigma)


def _levels(slices: Slices, tones: Columns) -> Floats:
    """Return the written level in the middle of each row."""
    tone = slices.row_tone
    start, first = tones.start[tone], tones.level[tone]
    middle = 0.5 * (slices.start + slices.stop)[slices.row_slice]
    length = np.maximum(tones.stop[tone] - start, 1.0)
    level: Floats = first + (tones.level_stop[tone] - first) * (middle - start) / length
    return level


def _decay(voice: Voice, book: InstrumentBook) -> float:
    """Return the 60-dB decay time of a voice in seconds, nan if it is sustained or unknown."""
    if voice.instrument not in book:
        return np.nan
    found = decay_s(book[voice.instrument], voice.midi, voice.technique)
    return np.nan if found is None else found


def _gain(slices: Slices, tones: Columns, decay: Floats) -> Floats:
    """Return the gain in dB of each row: how a tone dies away, speaks too short, or is accented."""
    start, accent = tones.start_s[tones.attack], tones.accent_db[tones.attack]
    drop = _drops(tones, decay)
    tone = slices.row_tone
    elapsed = np.maximum(0.0, slices.start_s[slices.row_slice] - start[tone])
    gain: Floats = np.where(elapsed < ACCENT_SECONDS, accent[tone], 0.0) + drop[tone]
    dying = np.flatnonzero(~np.isnan(decay[tone]))
    gain[dying] += dying_levels_db(elapsed[dying], decay[tone[dying]])
    return gain


def _drops(tones: Columns, decay: Floats) -> Floats:
    """Return by how many dB each sustained tone is too short to reach its loudness."""
    stop = tones.stop_s.copy()
    np.maximum.at(stop, tones.attack, tones.stop_s)
    length = (stop - tones.start_s)[tones.attack]
    lengths, number = np.unique(np.minimum(length, ACCENT_SECONDS), return_inverse=True)
    drops = np.array([short_note_drop_db(one) for one in lengths.tolist()], dtype=np.float64)
    short = (length < ACCENT_SECONDS) & np.isnan(decay)
    return np.where(short, drops[number], 0.0)


def _repeat(spectra: batch.Spectra, index: Ints, gain_db: Floats) -> batch.Spectra:
    """Return the given rows of `spectra` in the given order, each with a gain in dB."""
    lengths = np.diff(spectra.starts)[index]
    starts = np.concatenate([[0], np.cumsum(lengths)])
    shift = np.repeat(spectra.starts[index] - starts[:-1], lengths)
    places = np.arange(starts[-1]) + shift
    factor = np.repeat(10.0 ** (gain_db / 10.0), lengths).astype(np.float32)
    return batch.Spectra(starts, spectra.bins[places], spectra.powers[places] * factor)
