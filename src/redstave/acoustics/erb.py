"""The ERB_N-number scale: ISO 532-2, clause 7.4. Frequencies in Hz, ERB_N numbers in Cam."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def bandwidth(frequency_hz: ArrayLike) -> Floats:
    """Return the equivalent rectangular bandwidth ERB_N in Hz at a frequency in Hz."""
    return 24.673 * (0.004368 * np.asarray(frequency_hz, dtype=np.float64) + 1.0)


def cam(frequency_hz: ArrayLike) -> Floats:
    """Return the ERB_N number in Cam of a frequency in Hz."""
    return 21.366 * np.log10(0.004368 * np.asarray(frequency_hz, dtype=np.float64) + 1.0)


def frequency(number_cam: ArrayLike) -> Floats:
    """Return the frequency in Hz of an ERB_N number in Cam."""
    return (10.0 ** (np.asarray(number_cam, dtype=np.float64) / 21.366) - 1.0) / 0.004368


def sharpness(frequency_hz: ArrayLike) -> Floats:
    """Return the parameter p of the rounded-exponential filter at 51 dB: 4 f / ERB_N(f)."""
    return 4.0 * np.asarray(frequency_hz, dtype=np.float64) / bandwidth(frequency_hz)
