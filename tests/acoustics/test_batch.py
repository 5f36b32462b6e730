"""The fast batch against the float64 reference, and its own arithmetic."""

import math

import numpy as np
import pytest

from redstave.acoustics import batch, loudness
from redstave.acoustics.excitation import band_levels, excitation
from redstave.acoustics.loudness import reference_bank, sone
from redstave.acoustics.partial import exact_margin_db, partial_loudness
from redstave.acoustics.specific import specific_loudness
from redstave.acoustics.transfer import cochlear_powers

SLICES, LINES = 200, 12

Spectrum = tuple[np.ndarray, np.ndarray]


def random_line(chance: np.random.Generator) -> Spectrum:
    """A tempered note over five octaves at 45-88 dB, falling 3-12 dB an octave, scattered 3 dB."""
    fundamental = 55.0 * 2.0 ** (chance.integers(0, 60) / 12.0)
    number = np.arange(1, int(14_000.0 / fundamental) + 1)
    levels = chance.uniform(45.0, 88.0) - chance.uniform(3.0, 12.0) * np.log2(number)
    return fundamental * number, levels + chance.normal(0.0, 3.0, number.size)


@pytest.fixture(scope="module")
def slices() -> list[list[Spectrum]]:
    """Random slices of 2 to 12 lines."""
    chance = np.random.default_rng(20260101)
    return [
        [random_line(chance) for _ in range(chance.integers(2, LINES + 1))] for _ in range(SLICES)
    ]


def heard(slices: list[list[Spectrum]]) -> tuple[batch.Judgement, np.ndarray]:
    """Everything judged, each line a strand, and where the first line of each slice stands."""
    slice_of = np.repeat(np.arange(len(slices)), [len(lines) for lines in slices])
    rows = [batch.at_cochlea(*line, field="free") for lines in slices for line in lines]
    found = batch.excitations(batch.stack(rows), slice_of, len(slices))
    total = batch.group_sums(found, slice_of, len(slices))
    return batch.judge(found, slice_of, total), np.searchsorted(slice_of, np.arange(len(slices)))


def others(lines: list[Spectrum]) -> Spectrum:
    """All lines but the first as one sound."""
    return np.concatenate([p[0] for p in lines[1:]]), np.concatenate([p[1] for p in lines[1:]])


def in_shared_filters(lines: list[Spectrum]) -> float:
    """Reference loudness of the first line, filters shaped by all of them."""
    own, rest = cochlear_powers(*lines[0], "free"), cochlear_powers(*others(lines), "free")
    frequencies, powers = np.concatenate([own[0], rest[0]]), np.concatenate([own[1], rest[1]])
    bank = reference_bank()
    bands = band_levels(own[0], frequencies, powers)
    pattern = excitation(bank.centres_hz, *own, bands)
    return 1.5 * sone(float(specific_loudness(pattern, bank).sum()), bank.step)


def test_margins_agree_with_the_reference(slices: list[list[Spectrum]]) -> None:
    """200 random slices, first line each, margins of -40 to +40 dB: sd < 0.5 dB, max < 3 dB."""
    judged, first = heard(slices)
    margins = np.array([partial_loudness(lines[0], others(lines))[1] for lines in slices])
    difference = (judged.margin[first] - margins)[np.abs(margins) < 40.0]
    assert difference.size > 150
    assert np.std(difference) < 0.5
    assert np.max(np.abs(difference)) < 3.0


def test_verdicts_agree_with_root_finding(slices: list[list[Spectrum]]) -> None:
    """Heard or covered is decided as by exact root finding in 98 % of the lines; sd < 1 dB."""
    judged, first = heard(slices)
    exact = np.array([exact_margin_db(lines[0], others(lines)) for lines in slices])
    margins = judged.margin[first]
    assert np.mean((margins > 0.0) == (exact > 0.0)) >= 0.98
    assert np.std((margins - exact)[np.abs(exact) < 40.0]) < 1.0


def test_loudness_agrees_with_the_reference(slices: list[list[Spectrum]]) -> None:
    """Loudness above 1 sone in the filters shaped by the whole slice: within 3 %."""
    judged, first = heard(slices)
    exact = np.array([in_shared_filters(lines) for lines in slices])
    error = np.abs(judged.loudness[first] / exact - 1.0)[exact > 1.0]
    assert error.size > 150
    assert np.max(error) < 0.03


def test_partial_loudness_agrees_with_the_reference(slices: list[list[Spectrum]]) -> None:
    """Partial loudness above 1 sone: median error under 2 %, 95 % under 10 %."""
    judged, first = heard(slices[:60])
    exact = np.array([partial_loudness(lines[0], others(lines))[0] for lines in slices[:60]])
    error = np.abs(judged.partial[first] / exact - 1.0)[exact > 1.0]
    assert np.median(error) < 0.02
    assert np.quantile(error, 0.95) < 0.10


def test_loudness_alone_is_loudness(slices: list[list[Spectrum]]) -> None:
    """A row by itself, in its own filters, has the loudness of ISO 532-2 within 3 %."""
    lines = [lines[0] for lines in slices[:60]]
    rows = batch.stack([batch.at_cochlea(*line, field="free") for line in lines])
    exact = np.array([loudness(*line) for line in lines])
    kept = exact > 1.0
    error = np.abs(batch.loudness_alone(rows) / exact - 1.0)[kept]
    assert np.quantile(error, 0.95) < 0.03


def test_silent_rows_are_silent() -> None:
    """Empty rows, empty slices and no rows at all give zeros and a margin of minus infinity."""
    silent, note = batch.at_cochlea([], []), batch.at_cochlea([440.0], [60.0])
    found = batch.excitations(batch.stack([silent, note]), [1, 1], 3)
    total = batch.group_sums(found, [1, 1], 3)
    judged = batch.judge(found, [1, 1], total)
    assert judged.loudness[0] == judged.partial[0] == judged.contribution[0] == 0.0
    assert judged.margin[0] == -math.inf
    assert judged.contribution[1] == pytest.approx(1.0)
    nothing = batch.excitations(batch.stack([]), [], 2)
    assert nothing.shape == (0, 75)
    assert not batch.group_sums(nothing, [], 2).any()


def test_best_filter_is_where_the_line_stands_out() -> None:
    """A high line over a low one is best heard near its own frequency."""
    rows = batch.stack([batch.at_cochlea([3000.0], [60.0]), batch.at_cochlea([200.0], [70.0])])
    found = batch.excitations(rows, [0, 0], 1)
    judged = batch.judge(found, [0, 0], batch.group_sums(found, [0, 0], 1))
    assert judged.frequency == pytest.approx([3000.0, 200.0], rel=0.1)


def test_pull_names_the_masker() -> None:
    """The strand next in pitch masks; what masks pulls 1 dB for 1 dB, and less alone."""
    sounds = [([1000.0], [50.0]), ([1100.0], [70.0]), ([200.0], [70.0]), ([6000.0], [70.0])]
    found = batch.excitations(
        batch.stack([batch.at_cochlea(*sound) for sound in sounds]), [0] * 4, 1
    )
    pull = batch.judge(found[:1], [0], batch.group_sums(found, [0] * 4, 1)).pull[0]
    slopes = found[1:] @ pull
    assert 0.9 < slopes.sum() <= 1.0
    assert slopes[0] > 0.9 > 0.1 > max(slopes[1:])
    faint = found[1:] * np.float32(1e-9)
    alone = batch.judge(found[:1], [0], found[:1] + faint.sum(axis=0)).pull[0]
    assert (faint @ alone).sum() < 0.01


def test_pull_is_how_the_margin_follows_a_masker() -> None:
    """A masker raised by 1 dB lowers the margin by its slope, filters held: 95 % within 0.15 dB."""
    chance = np.random.default_rng(4)
    missed = []
    for _ in range(300):
        hz, level, ratio = chance.uniform([300.0, 30.0, 0.5], [3000.0, 90.0, 2.0])
        rows = [([hz, 2.0 * hz], [60.0, 55.0]), ([ratio * hz], [level]), ([200.0], [70.0])]
        spectra = batch.stack([batch.at_cochlea(*row) for row in rows])
        found = batch.excitations(spectra, [0] * 3, 1)
        total = found.sum(axis=0, keepdims=True)
        louder = total + found[1] * np.float32(10.0**0.1 - 1.0)
        before, after = (batch.judge(found[:1], [0], sum_) for sum_ in (total, louder))
        missed.append(before.margin[0] - after.margin[0] - found[1] @ before.pull[0])
    assert np.percentile(np.abs(missed), 95) < 0.15
    assert abs(np.median(missed)) < 0.02


def test_a_listener_with_better_detection_hears_more() -> None:
    """Lowering the detection ratio by 6 dB raises the margin of a masked line by 5-6.5 dB."""
    rows = batch.stack([batch.at_cochlea([1000.0], [50.0]), batch.at_cochlea([1050.0], [75.0])])
    found = batch.excitations(rows, [0, 0], 1)
    total = batch.group_sums(found, [0, 0], 1)
    usual = batch.judge(found, [0, 0], total).margin[0]
    better = batch.judge(found, [0, 0], total, detection_offset_db=-6.0).margin[0]
    assert 5.0 < better - usual < 6.5


@pytest.mark.parametrize(("slice_of", "slices"), [([1, 0], 2), ([0, 2], 2), ([-1, 0], 2), ([0], 1)])
def test_rows_out_of_order_are_refused(slice_of: list[int], slices: int) -> None:
    """Rows that are unsorted, out of range or too few raise ValueError."""
    rows = batch.stack([batch.at_cochlea([440.0], [60.0])] * 2)
    with pytest.raises(ValueError, match=r"slice"):
        batch.excitations(rows, slice_of, slices)
