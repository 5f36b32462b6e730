"""Partial loudness and audibility margin of one sound among others, in float64 on a 0.1-Cam grid.

Moore, Glasberg and Baer 1997, equations 17-20, with the constants of ISO 532-2. The margin is the
number of dB by which the signal may be lowered before it reaches masked threshold.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from redstave.acoustics.excitation import band_levels, excitation
from redstave.acoustics.loudness import reference_bank, sone
from redstave.acoustics.specific import masked
from redstave.acoustics.tables import ear
from redstave.acoustics.transfer import cochlear_powers

Floats = NDArray[np.float64]
Spectrum: TypeAlias = "tuple[ArrayLike, ArrayLike]"


def partial_loudness(
    signal: Spectrum, background: Spectrum, field: str = "free"
) -> tuple[float, float]:
    """Return the partial loudness in sone and the margin in dB of `signal` among `background`.

    Each is a pair of arrays: frequencies in Hz and levels in dB SPL, the same at both ears. The
    margin is the closed form of `margin_db`; minus infinity for a silent signal.
    """
    own, others = _excitations(signal, background, field)
    bank = reference_bank()
    heard = masked(own, others, bank.f(own + others), bank, bank.detection)
    both = ear().number("loudness.both_ears")
    partial = both * sone(float(heard.partial.sum()), bank.step)
    weight = both * sone(float(heard.weight.sum()), bank.step)
    return partial, float(margin_db(np.array(weight)))


def margin_db(weight_sone: Floats) -> Floats:
    """Return the margin in dB from the low-level limit of partial loudness, W in sone.

    Lowered by g in power, a signal's partial loudness tends to W g^2.5, so that it meets the
    threshold loudness after 4 lg(W / N_threshold) dB, less a small bias fitted to root finding.
    """
    tables = ear()
    ratio = weight_sone / tables.number("masking.threshold_loudness")
    with np.errstate(divide="ignore"):
        margin = tables.number("masking.margin_slope") * np.log10(ratio)
    return margin + tables.number("masking.margin_bias")


def exact_margin_db(signal: Spectrum, background: Spectrum, field: str = "free") -> float:
    """Return the margin in dB by root finding, background and filter shapes held fixed."""
    own, others = _excitations(signal, background, field)
    quieter, louder = -200.0, 200.0
    while louder - quieter > 1e-4:
        middle = 0.5 * (quieter + louder)
        if _lowered(own, others, middle) > ear().number("masking.threshold_loudness"):
            quieter = middle
        else:
            louder = middle
    return quieter


def _lowered(own: Floats, others: Floats, drop_db: float) -> float:
    bank = reference_bank()
    low = own * 10.0 ** (-drop_db / 10.0)
    heard = masked(low, others, bank.f(low + others), bank, bank.detection)
    return ear().number("loudness.both_ears") * sone(float(heard.partial.sum()), bank.step)


def _excitations(signal: Spectrum, background: Spectrum, field: str) -> tuple[Floats, Floats]:
    pairs = [cochlear_powers(*signal, field), cochlear_powers(*background, field)]
    frequencies = np.concatenate([pair[0] for pair in pairs])
    powers = np.concatenate([pair[1] for pair in pairs])
    centres = reference_bank().centres_hz
    own, others = (
        excitation(centres, places, part, band_levels(places, frequencies, powers))
        for places, part in pairs
    )
    return own, others
