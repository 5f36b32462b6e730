"""Soft levels: what Rimsky-Korsakov's rules for piano add to the starting table.

How strongly an orchestral instrument plays at *piano* is known to 4 dB (one standard deviation):
the starting table puts it between the softest tone and the soft scales that Meyer gives, from
memory. *Principles of Orchestration* (1913), chapter I, says more: in piano all winds, wood or
brass, are fairly equal (RK3), and a whole department of strings equals one wind (RK4). Both are
weighed against each other by least squares: the table with 4 dB, the rules with half the widths of
the gates that were set for them before anything was computed (a factor of 2.5 from the softest wind
to the loudest, 0.6 to 1.8 for the strings), loudness at ISO 532-2's 10 dB for a factor of two.

The correction found is the difference between the two *p* columns; two thirds of it are given to
*mp* and a third to *mf*. *f* and *ff* stay, so that the rules for forte (RK1, RK2, RK5) remain a
test. The rules do not speak of *pp*: it stays, unless the step to *p* became smaller than 3 dB, or
larger than 9 dB, the largest step of the starting table (Patterson 1974, from memory: 3 to 6 dB a
marking); and the oboe gets the range of 18 dB that was measured for double reeds (Weinzierl et al.
2018, as quoted by others). Nothing here rests on listeners' annotations. Instruments without a row
of their own follow the nearest of their build.
"""

import math
from collections.abc import Mapping
from dataclasses import replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from redstave.acoustics import loudness
from redstave.instruments import at_ear, default_hall, load
from tools.evidence.rimsky_korsakov import PITCHES, STRINGS, WINDS, WOOD, surely_has

#: Sound power in dB of one player at pp, p, mp, mf, f, ff as the starting table first had it.
START: Mapping[str, tuple[float, ...]] = {
    "flute": (76, 82, 85, 88, 91, 95),
    "oboe": (80, 85, 87.5, 90, 93, 96),
    "clarinet": (71, 80, 84.5, 89, 93, 98),
    "bassoon": (80, 85, 87.5, 90, 93, 98),
    "horn": (78, 87, 92, 97, 102, 108),
    "trumpet": (80, 88, 92.5, 97, 101, 107),
    "trombone": (79, 87, 92, 97, 101, 108),
    "tuba": (81, 89, 94, 99, 104, 109),
    "violin": (70, 78, 82, 85.5, 89, 94),
    "viola": (69, 76, 80, 83.5, 87, 91),
    "cello": (70, 79, 83, 86.5, 90, 95),
    "double-bass": (73, 81, 85, 88.5, 92, 96),
}
PIANO = 3  # the level p
TABLE_SD = 4.0  # dB, of the table at p
DOUBLING_DB = 10.0  # for a factor of two in loudness
WINDS_SD = DOUBLING_DB * math.log2(math.sqrt(2.5)) / 2  # half of the gate's width either way, in dB
STRINGS_SD = DOUBLING_DB * math.log2(1.8) / 2
STEPS = 3.0, 9.0  # dB from pp to p
REEDS, REED_RANGE = ("oboe", "bassoon"), 18.0  # dB from pp to ff, at least
MARKS = ("pp", "p", "mp", "mf", "f", "ff")
ROUNDED = 0.5  # dB


@cache
def _phon(name: str, midi: float, players: int) -> float:
    """Return ten times log2 of the loudness in sone at p with the starting table's levels."""
    record = load()[name]
    level = replace(record.level, power=tuple(map(float, START[name])))
    frequencies, levels = at_ear(
        replace(record, level=level), midi, PIANO, None, players, default_hall()
    )
    return DOUBLING_DB * math.log2(loudness(frequencies, levels, field="diffuse"))


@cache
def corrections() -> dict[str, float]:
    """Return the correction in dB of each instrument's level at p."""
    names = list(START)
    rows, wanted = [np.eye(len(names)) / TABLE_SD], [np.zeros(len(names))]
    for name in names:
        players = STRINGS.get(name, 1)
        rivals = WOOD if name in STRINGS else WINDS
        sd = STRINGS_SD if name in STRINGS else WINDS_SD
        row, ahead = _ahead(names, name, players, rivals)
        rows.append(row[None, :] / sd)
        wanted.append(np.array([-ahead / sd]))
    solved = np.linalg.lstsq(np.concatenate(rows), np.concatenate(wanted), rcond=None)[0]
    return dict(zip(names, solved.tolist(), strict=True))


def _ahead(
    names: list[str], name: str, players: int, rivals: tuple[str, ...]
) -> tuple[NDArray[np.float64], float]:
    """Return by how much an instrument is over the mean of its rivals: how it moves, and dB now."""
    row, ahead, pitches = np.zeros(len(names)), 0.0, 0
    for midi in PITCHES.values():
        others = [one for one in rivals if surely_has(one, midi)]
        if not surely_has(name, midi) or not others:
            continue
        pitches += 1
        row[names.index(name)] += 1.0
        for one in others:
            row[names.index(one)] -= 1.0 / len(others)
        mean = sum(_phon(one, midi, 1) for one in others) / len(others)
        ahead += _phon(name, midi, players) - mean
    return row / pitches, ahead / pitches


def corrected(name: str) -> tuple[float, ...]:
    """Return the levels of an instrument at pp … ff with the correction, rounded to half a dB."""
    start, by = START[name], corrections()[name]
    piano = start[1] + by
    pianissimo = min(piano - STEPS[0], max(piano - STEPS[1], start[0]))
    if name in REEDS:
        pianissimo = min(pianissimo, start[-1] - REED_RANGE)
    found = (pianissimo, piano, start[2] + by * 2 / 3, start[3] + by / 3, *start[4:])
    return tuple(round(level / ROUNDED) * ROUNDED for level in found)


def table() -> str:
    """Return the levels at p before and after, and all levels after."""
    head = ["instrument", "p, starting table", "correction", *MARKS]
    rows = ["| " + " | ".join(head) + " |", "|---|" + "---:|" * (len(head) - 1)]
    for name in START:
        levels = " | ".join(f"{level:g}" for level in corrected(name))
        rows.append(f"| {name} | {START[name][1]:g} | {corrections()[name]:+.1f} | {levels} |")
    return "\n".join(rows)
