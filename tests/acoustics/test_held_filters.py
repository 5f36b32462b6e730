"""Filters held fixed while rows change, and margins by themselves: what a search is made of."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from redstave.acoustics import batch


def test_fixed_filters_give_the_same_for_the_same_mixture() -> None:
    """With the filters of a mixture held, its own excitations come out unchanged, row for row."""
    spectra, slice_of = _two_slices()
    shapes = batch.filter_shapes(spectra, slice_of, 2)
    held = batch.excitations(spectra, slice_of, 2, shapes)
    np.testing.assert_array_equal(held, batch.excitations(spectra, slice_of, 2))


def test_held_filters_err_little() -> None:
    """A line 6 dB louder, in the filters held from before, errs by less than 0.4 dB (measured)."""
    spectra, slice_of = _two_slices()
    shapes = batch.filter_shapes(spectra, slice_of, 2)
    powers = spectra.powers.copy()
    powers[: spectra.starts[1]] *= 4.0
    louder = spectra._replace(powers=powers)
    margins = []
    for excitation in (
        batch.excitations(louder, slice_of, 2),
        batch.excitations(louder, slice_of, 2, shapes),
    ):
        total = batch.group_sums(excitation, slice_of, 2)
        margins.append(batch.margins(excitation, batch.background_of(excitation, total[slice_of])))
    assert np.abs(margins[0] - margins[1]).max() < 0.4


def test_margins_are_those_of_the_judgement() -> None:
    """The margin by itself is the margin that a whole judgement gives."""
    spectra, slice_of = _two_slices()
    excitation = batch.excitations(spectra, slice_of, 2)
    total = batch.group_sums(excitation, slice_of, 2)
    alone = batch.margins(excitation, batch.background_of(excitation, total[slice_of]))
    np.testing.assert_allclose(alone, batch.judge(excitation, slice_of, total).margin, atol=1e-4)


@given(st.floats(1.0, 20.0), st.integers(0, 4))
def test_margin_falls_with_the_background(more_db: float, who: int) -> None:
    """More background in every filter never raises a margin: what bounds a search relies on it."""
    spectra, slice_of = _two_slices()
    excitation = batch.excitations(spectra, slice_of, 2)
    background = excitation[(who + 1) % len(slice_of)]
    more = background * np.float32(10.0 ** (more_db / 10.0))
    own = excitation[who]
    assert batch.margins(own, more) <= batch.margins(own, background) + 1e-4


def _two_slices() -> tuple[batch.Spectra, "np.ndarray[tuple[int], np.dtype[np.int64]]"]:
    """Return five harmonic tones in two slices."""
    chance = np.random.default_rng(7)
    rows = []
    for fundamental in (220.0, 277.0, 330.0, 262.0, 392.0):
        number = np.arange(1, int(14_000.0 / fundamental) + 1)
        levels = chance.uniform(55.0, 80.0) - chance.uniform(4.0, 12.0) * np.log2(number)
        rows.append(batch.at_cochlea(fundamental * number, levels))
    return batch.stack(rows), np.array([0, 0, 0, 1, 1])
