"""The only bridge from tones to arrays: lazy, frozen analyses of one score."""

from redstave.analysis.analysis import Analysis

__all__ = ["Analysis"]
