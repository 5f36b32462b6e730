"""Heard, doubtful or covered: a margin and its uncertainty turned into one of three words.

The chance that a line is heard is the chance that its true margin is above 0 dB, taken as normal
around the computed margin. The two limits on that chance are ours (no source): with the usual
uncertainty of 4 to 5 dB, `heard` begins near a margin of 6 dB.
"""

from enum import StrEnum
from math import erf, sqrt

HEARD_FROM = 0.9
COVERED_BELOW = 0.5


class State(StrEnum):
    """What becomes of a line in the hall."""

    HEARD = "heard"
    DOUBTFUL = "doubtful"
    COVERED = "covered"


def chance_heard(margin_db: float, sd_db: float) -> float:
    """Return the chance (0 to 1) that a line with this margin (± one sd, dB) is heard at all."""
    return 0.5 * (1.0 + erf(margin_db / (sd_db * sqrt(2.0))))


def state(margin_db: float, sd_db: float) -> State:
    """Return the state of a margin in dB with its standard deviation in dB."""
    chance = chance_heard(margin_db, sd_db)
    if chance >= HEARD_FROM:
        return State.HEARD
    return State.DOUBTFUL if chance >= COVERED_BELOW else State.COVERED
