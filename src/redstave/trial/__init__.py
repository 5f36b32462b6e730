"""Trying changes: what players could be told instead, heard before and after."""

from redstave.trial.apply import apply
from redstave.trial.compare import LineTrial, Outcome, Trial, attempt
from redstave.trial.moves import Kind
from redstave.trial.select import select_lines, successor
from redstave.trial.ways import WayOut, ways_out

__all__ = [
    "Kind",
    "LineTrial",
    "Outcome",
    "Trial",
    "WayOut",
    "apply",
    "attempt",
    "select_lines",
    "successor",
    "ways_out",
]
