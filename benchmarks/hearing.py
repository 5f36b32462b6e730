"""Hearing: slices a second on one core.

Random slices of 24 lines with partials up to 14 kHz, each line judged against all others: loudness,
partial loudness, margin, best frequency, contribution. CPU seconds of this process in one run;
ratios are against the same formulas in float64 on the standard's grid of 0.1 Cam, and against one
frame of the time-varying loudness of ISO 532-1 in the independent library mosqito (2 ms of sound,
total loudness only; no library has partial loudness).
"""

import time
from collections.abc import Callable

import numpy as np
from mosqito.sq_metrics import loudness_zwtv
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.acoustics.excitation import band_levels, excitation
from redstave.acoustics.loudness import reference_bank
from redstave.acoustics.specific import masked, specific_loudness
from redstave.acoustics.transfer import cochlear_powers

SLICES, LINES, VOICES = 3000, 24, 500
REFERENCE_SLICES = 4
RATE = 48_000
FRAME_S = 0.002  # mosqito's time-varying loudness has one value every 2 ms

Spectrum = tuple[NDArray[np.float64], NDArray[np.float64]]


def voices() -> list[Spectrum]:
    """Return tempered notes over five octaves at 45-88 dB, falling 3-12 dB an octave."""
    chance = np.random.default_rng(1)
    found = []
    for _ in range(VOICES):
        fundamental = 55.0 * 2.0 ** (chance.integers(0, 60) / 12.0)
        number = np.arange(1, int(14_000.0 / fundamental) + 1)
        levels = chance.uniform(45.0, 88.0) - chance.uniform(3.0, 12.0) * np.log2(number)
        found.append((fundamental * number, levels))
    return found


def cpu_seconds(work: Callable[[], object], times: int = 1) -> float:
    """Return the least CPU seconds of several runs."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def fast(notes: list[Spectrum], chosen: NDArray[np.int64]) -> Callable[[], object]:
    """Return the batch over all slices, spectra at the cochlea cached as in the analysis."""
    rows = [batch.at_cochlea(*note) for note in notes]
    spectra = batch.stack([rows[index] for index in chosen.ravel()])
    slice_of = np.repeat(np.arange(len(chosen)), chosen.shape[1])

    def work() -> object:
        excitation = batch.excitations(spectra, slice_of, len(chosen))
        total = batch.group_sums(excitation, slice_of, len(chosen))
        return batch.judge(excitation, slice_of, total)

    work()  # tables and caches are made once per process
    return work


def reference(notes: list[Spectrum], chosen: NDArray[np.int64]) -> Callable[[], object]:
    """Return the float64 reference over the slices, excitations shared by the lines of a slice."""
    rows = [cochlear_powers(*note, "diffuse") for note in notes]
    return lambda: [_judge_exactly([rows[index] for index in row]) for row in chosen]


def _judge_exactly(lines: list[Spectrum]) -> list[tuple[float, float, float]]:
    bank = reference_bank()
    frequencies = np.concatenate([line[0] for line in lines])
    powers = np.concatenate([line[1] for line in lines])
    bands = np.split(
        band_levels(frequencies, frequencies, powers),
        np.cumsum([line[0].size for line in lines])[:-1],
    )
    patterns = [
        excitation(bank.centres_hz, *line, band) for line, band in zip(lines, bands, strict=True)
    ]
    total = np.sum(patterns, axis=0)
    f_total = bank.f(total)
    found = []
    for own in patterns:
        heard = masked(own, total - own, f_total, bank, bank.detection)
        loud = float(specific_loudness(own, bank).sum())
        found.append((loud, float(heard.partial.sum()), float(heard.weight.sum())))
    return found


def zwicker_second() -> Callable[[], object]:
    """Return mosqito's time-varying loudness over one second of noise."""
    noise = np.random.default_rng(2).normal(0.0, 0.02, RATE)
    return lambda: loudness_zwtv(noise, RATE, field_type="diffuse")


def table() -> str:
    """Measure, and tabulate times and ratios."""
    notes = voices()
    chosen = np.random.default_rng(3).integers(0, VOICES, (SLICES, LINES))
    batch_s = cpu_seconds(fast(notes, chosen), 3) / SLICES
    reference_s = cpu_seconds(reference(notes, chosen[:REFERENCE_SLICES])) / REFERENCE_SLICES
    frame_s = cpu_seconds(zwicker_second()) * FRAME_S
    rows = (
        ("batch, one slice of 24 lines", batch_s),
        ("float64 reference, one slice of 24 lines", reference_s),
        ("mosqito, one frame of total loudness", frame_s),
    )
    head = ["| what | CPU ms | a second | times the batch |", "|---|---|---|---|"]
    return "\n".join(
        [
            *head,
            *(f"| {what} | {1e3 * s:.3f} | {1 / s:,.0f} | {s / batch_s:.1f} |" for what, s in rows),
        ]
    )
