"""The laws of hearing (docs/design.md, law 6) over random slices, in the batch."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.acoustics import batch

Line = tuple[float, float, float]  # fundamental in Hz, level in dB, fall in dB an octave

PITCHES = st.integers(28, 96).map(lambda midi: 440.0 * 2.0 ** ((midi - 69) / 12.0))
LINES = st.tuples(PITCHES, st.floats(30.0, 90.0), st.floats(3.0, 15.0))
SLICE = st.lists(LINES, min_size=2, max_size=8)


def row(line: Line, gain_db: float = 0.0) -> tuple:
    """One line at the cochlea, partials to 14 kHz."""
    fundamental, level, fall = line
    number = np.arange(1, max(2, int(14_000.0 / fundamental) + 1))
    return batch.at_cochlea(fundamental * number, level + gain_db - fall * np.log2(number))


def judged(rows: list, strand_of_row: list[int] | None = None) -> batch.Judgement:
    """Judge one slice; every row is its own strand unless told otherwise."""
    slice_of = np.zeros(len(rows), dtype=int)
    found = batch.excitations(batch.stack(rows), slice_of, 1)
    strands = list(range(len(rows))) if strand_of_row is None else strand_of_row
    own = batch.group_sums(found, strands, max(strands) + 1)
    total = batch.group_sums(found, slice_of, 1)
    return batch.judge(own, np.zeros(len(own), dtype=int), total)


@given(lines=SLICE, gain=st.floats(1.0, 12.0))
def test_more_level_never_lowers_the_margin(lines: list[Line], gain: float) -> None:
    """A line played louder stands out more, to within the 2-dB steps of the filter shapes."""
    before = judged([row(line) for line in lines])
    after = judged([row(lines[0], gain), *(row(line) for line in lines[1:])])
    assert after.margin[0] > before.margin[0]


@given(lines=SLICE, masker=LINES)
def test_more_masker_never_raises_partial_loudness(lines: list[Line], masker: Line) -> None:
    """One line more leaves no more of the others: 1 % and a thousandth of a sone of slack.

    The slack is for filters that a new masker makes wider, so that a line reaches a little further
    up.
    """
    before = judged([row(line) for line in lines])
    after = judged([*(row(line) for line in lines), row(masker)])
    assert np.all(after.partial[:-1] <= 1.01 * before.partial + 0.001)


@given(lines=SLICE, data=st.data())
def test_the_order_of_lines_changes_nothing(lines: list[Line], data: st.DataObject) -> None:
    """Permuting the lines permutes the result."""
    order = data.draw(st.permutations(range(len(lines))))
    plain = judged([row(line) for line in lines])
    mixed = judged([row(lines[index]) for index in order])
    assert mixed.partial == pytest.approx(plain.partial[order], rel=1e-3, abs=1e-6)
    # Above 60 dB what is left of the background is mostly the rounding of float32 sums.
    found, expected = (np.minimum(one, 60.0) for one in (mixed.margin, plain.margin[order]))
    assert found == pytest.approx(expected, abs=0.05)


@given(lines=SLICE)
def test_two_halves_of_a_strand_are_the_strand(lines: list[Line]) -> None:
    """A line split into two copies of half its power, in one strand, is judged as before."""
    whole = judged([row(line) for line in lines])
    half = -10.0 * math.log10(2.0)
    rows = [row(lines[0], half), row(lines[0], half), *(row(line) for line in lines[1:])]
    split = judged(rows, [0, 0, *range(1, len(lines))])
    assert split.loudness == pytest.approx(whole.loudness, rel=1e-3, abs=1e-6)
    # Far below threshold the components that halving takes under -40 dB SPL begin to count.
    assert split.margin == pytest.approx(whole.margin, abs=0.15)


@given(line=LINES)
def test_alone_a_line_keeps_all_its_loudness(line: Line) -> None:
    """With nothing else sounding, partial loudness is loudness and contribution is 1."""
    heard = judged([row(line)])
    assert heard.partial[0] == pytest.approx(heard.loudness[0], rel=1e-4)
    assert heard.contribution[0] == pytest.approx(1.0, abs=1e-5)


@given(lines=SLICE)
def test_silence_beside_changes_nothing(lines: list[Line]) -> None:
    """A silent line has nothing and takes nothing."""
    before = judged([row(line) for line in lines])
    after = judged([*(row(line) for line in lines), batch.at_cochlea([], [])])
    assert after.partial[-1] == after.loudness[-1] == after.contribution[-1] == 0.0
    assert after.margin[-1] == -math.inf
    assert np.array_equal(after.partial[:-1], before.partial)


def test_the_whole_orchestra_softer_changes_little() -> None:
    """15 dB off everything moves margins by less than 1 dB on average (400 random slices)."""
    chance = np.random.default_rng(7)
    moved = []
    for _ in range(100):
        lines = [
            (55.0 * 2.0 ** (chance.integers(0, 60) / 12.0), chance.uniform(60.0, 88.0), 6.0)
            for _ in range(8)
        ]
        loud, soft = (judged([row(line, gain) for line in lines]) for gain in (0.0, -15.0))
        moved.append(soft.margin - loud.margin)
    assert abs(np.mean(moved)) < 1.0
