"""The only bridge from tones to arrays: lazy, frozen analyses of one score."""

from redstave.analysis.analysis import Analysis
from redstave.analysis.players_level import PlayersLevel

__all__ = ["Analysis", "PlayersLevel"]
