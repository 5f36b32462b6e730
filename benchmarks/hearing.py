"""Hearing: slices a second on one core.

Random slices of 24 lines with partials up to 14 kHz, each line judged against all others: loudness,
partial loudness, margin, best frequency, contribution, and what pulls the margin down. CPU seconds
of this process in one run. The first table shows that twice the slices take twice the time. The
second compares one line in one slice with the same formulas in float64 on the standard's grid of
0.1 Cam, and with one frame of the time-varying loudness of ISO 532-1 in the independent library
mosqito (2 ms of one sound, loudness only; no library has partial loudness). The third hears a real
movement, in a process of its own, and compares that with what the engraver needs merely to load it:
processor time, and the most memory the process ever held.
"""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

import numpy as np
from mosqito.sq_metrics import loudness_zwtv
from numpy.typing import NDArray

from redstave.acoustics import batch
from redstave.acoustics.excitation import band_levels, excitation
from redstave.acoustics.loudness import reference_bank
from redstave.acoustics.specific import masked, specific_loudness
from redstave.acoustics.transfer import cochlear_powers
from redstave.reading import xml_of

ROOT = Path(__file__).resolve().parents[2] / "shared" / "scores" / "orchestra"

LINES, VOICES = 24, 500
COUNTS = (1000, 2000, 4000)
REFERENCE_SLICES = 4
RATE = 48_000
FRAME_S = 0.002  # mosqito's time-varying loudness has one value every 2 ms

MOVEMENT = ROOT / "Beach_Op.32_2.mxl"
HEAR = """
import sys, time
from pathlib import Path
from redstave.analysis import Analysis
from redstave.instruments import hall
from redstave.reading import read
analysis = Analysis(read(Path(sys.argv[1])), hall=hall(tail={tail}))
analysis.playing, analysis.slices, analysis.strand
start = time.process_time()
analysis.sound, analysis.hearing
print(time.process_time() - start)
"""
LOAD = """
import sys, time
import verovio
verovio.enableLog(verovio.LOG_OFF)
toolkit = verovio.toolkit()
toolkit.setOptions({"inputFrom": "xml", "breaks": "encoded"})
text = open(sys.argv[1], encoding="utf-8").read()
start = time.process_time()
assert toolkit.loadData(text)
print(time.process_time() - start)
"""
# What getrusage calls the most memory held counts that of the process before it was replaced, too.
PEAK = """
held = [line for line in open("/proc/self/status") if line.startswith("VmHWM")]
print(held[0].split()[1])
"""

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
    """Measure, and return the three tables; FileNotFoundError where the scores are not there."""
    notes = voices()
    chosen = np.random.default_rng(3).integers(0, VOICES, (max(COUNTS), LINES))
    seconds = [cpu_seconds(fast(notes, chosen[:count]), 3) for count in COUNTS]
    line_s = seconds[-1] / COUNTS[-1] / LINES
    reference_s = cpu_seconds(reference(notes, chosen[:REFERENCE_SLICES])) / REFERENCE_SLICES
    frame_s = cpu_seconds(zwicker_second()) * FRAME_S
    compared = (
        ("batch, one line in a slice", line_s),
        ("float64 reference, one line in a slice", reference_s / LINES),
        ("mosqito, one sound in a frame", frame_s),
    )
    parts = [_scaling(seconds), _ratios(compared, line_s), _movement()]
    return "\n\n".join(parts)


def _scaling(seconds: list[float]) -> str:
    rows = [
        f"| {count} | {1e3 * taken:.0f} | {1e3 * taken / count:.3f} | {count / taken:,.0f} |"
        for count, taken in zip(COUNTS, seconds, strict=True)
    ]
    head = [
        "| slices of 24 lines | CPU ms | ms a slice | slices a second |",
        "|---:|---:|---:|---:|",
    ]
    return "\n".join([*head, *rows])


def _ratios(compared: Iterable[tuple[str, float]], unit_s: float) -> str:
    rows = [f"| {what} | {1e6 * s:,.1f} | {s / unit_s:,.0f} |" for what, s in compared]
    head = ["| what | CPU microseconds | times the batch |", "|---|---:|---:|"]
    return "\n".join([*head, *rows])


def _movement() -> str:
    """Hear one movement with and without the tail, and have the engraver load it."""
    if not MOVEMENT.is_file():
        raise FileNotFoundError(f"no score at {MOVEMENT.name}")
    with tempfile.TemporaryDirectory() as folder:
        plain = Path(folder) / "score.xml"
        plain.write_bytes(xml_of(MOVEMENT.read_bytes(), MOVEMENT.name)[0])
        runs = (
            ("hearing alone", in_a_process(HEAR.format(tail=False), MOVEMENT)),
            ("hearing with the tail of the hall", in_a_process(HEAR.format(tail=True), MOVEMENT)),
            ("the engraver, loading only", in_a_process(LOAD, plain)),
        )
    rows = [f"| {what} | {run.cpu_s:.2f} | {run.peak_mib:.0f} |" for what, run in runs]
    name = MOVEMENT.stem.replace("_", " ")
    head = [f"| {name} | CPU s | peak memory, MiB |", "|---|---:|---:|"]
    return "\n".join([*head, *rows])


class Run(NamedTuple):
    """What a piece of work took in a process of its own: CPU seconds of the work, peak memory."""

    cpu_s: float
    peak_mib: float


def in_a_process(code: str, score: Path) -> Run:
    """Run code that prints the CPU seconds of its work; the peak is that of the whole process."""
    done = subprocess.run(
        [sys.executable, "-c", code + PEAK, str(score)], check=True, capture_output=True, text=True
    )
    cpu_s, peak_kib = done.stdout.split()
    return Run(float(cpu_s), float(peak_kib) / 1024.0)
