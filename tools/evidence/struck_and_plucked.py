"""Rimsky-Korsakov on struck and plucked instruments.

Rules RK7 and RK8, *Principles of Orchestration* (1913), chapter I: plucked strings, soft piano and
celesta are overpowered by any sustained group; glockenspiel, bells, xylophone and timpani prevail.
The figures are audibility margins in dB (positive: heard) of one note at its attack against a group
that holds a chord of C major, everything at forte in the default hall; the piano plays piano. The
percussion levels are our least certain data (8 dB).
"""

from functools import cache

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import partial_loudness
from redstave.acoustics.decay import dying_db
from redstave.instruments import at_ear, decay_s, default_hall, load
from redstave.model.line import LEVEL_NUMBERS

Spectrum = tuple[NDArray[np.float64], NDArray[np.float64]]

# instrument, players, sounding pitch: one chord over each group's usual compass
WOOD = (("flute", 2, 84), ("oboe", 2, 76), ("clarinet", 2, 72), ("bassoon", 2, 48))
BRASS = (
    *(("horn", 2, 55), ("horn", 2, 60), ("trumpet", 2, 67)),
    *(("trombone", 2, 52), ("trombone", 1, 48), ("tuba", 1, 36)),
)
STRINGS = (
    *(("violin", 12, 79), ("violin", 10, 72), ("viola", 8, 64)),
    *(("cello", 6, 48), ("double-bass", 5, 36)),
)
GROUPS = {"woodwind": WOOD, "strings": STRINGS, "brass": BRASS}
PREVAILING = {"glockenspiel": 91, "xylophone": 91, "tubular-bells": 67, "timpani": 43}
OVERPOWERED = (
    ("violins plucked", "violin", 72, "f", "pizz", 12),
    ("piano", "piano", 64, "p", None, 1),
    ("celesta", "celesta", 84, "f", None, 1),
    ("harp", "harp", 64, "f", None, 1),
)


@cache
def group(name: str) -> Spectrum:
    """Return a group's chord at forte at the listener."""
    notes = [
        at_ear(load()[instrument], midi, LEVEL_NUMBERS["f"], None, players, default_hall())
        for instrument, players, midi in GROUPS[name]
    ]
    return np.concatenate([note[0] for note in notes]), np.concatenate([note[1] for note in notes])


def margin(
    instrument: str,
    midi: float,
    level: str,
    technique: str | None,
    players: int,
    against: str,
) -> float:
    """Return the margin in dB of one note at its attack against a group."""
    record = load()[instrument]
    number = LEVEL_NUMBERS[level]
    frequencies, levels = at_ear(record, midi, number, technique, players, default_hall())
    t60 = decay_s(record, midi, technique)
    assert t60 is not None, instrument
    note = frequencies, levels + dying_db(0.0, t60)
    return partial_loudness(note, group(against), field="diffuse")[1]


def table() -> str:
    """Compute every margin."""
    notes = [
        *(("RK8", name, name, midi, "f", None, 1) for name, midi in PREVAILING.items()),
        *(("RK7", *rest) for rest in OVERPOWERED),
    ]
    head = [
        "| rule | instrument | level | " + " | ".join(GROUPS) + " |",
        "|" + "---|" * (3 + len(GROUPS)),
    ]
    rows = (
        f"| {rule} | {name} | {level} | "
        + " | ".join(f"{margin(id_, midi, level, way, players, g):+.1f}" for g in GROUPS)
        + " |"
        for rule, name, id_, midi, level, way, players in notes
    )
    return "\n".join([*head, *rows])
