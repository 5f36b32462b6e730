"""Wind lines as players read them: one line, one player, with his tones in order."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from redstave.analysis.page import slurred
from redstave.analysis.tables import row
from redstave.model.line import Line, Playing, Tone
from redstave.model.score import Part, Score

LEVELS = (3.0, 5.0, 6.0)  # p, mf and f, the columns of the breath table
BREAK_SECONDS = 0.12  # a gap this long between two tones is enough for a breath


class WindLine(NamedTuple):
    """A wind line with its tones in order of time; `at` is its index among the lines."""

    at: int
    line: Line
    part: Part
    tones: tuple[Tone, ...]


def wind_lines(score: Score, playing: Playing) -> tuple[WindLine, ...]:
    """Return the lines of recognised wind instruments that play anything."""
    found = []
    for at, line in enumerate(playing.lines):
        if line.family in {"woodwind", "brass"} and line.instrument:
            tones = tuple(tone for tone in playing.tones if tone.line == at)
            if tones:
                found.append(WindLine(at, line, score.parts_by_id[line.part], tones))
    return tuple(found)


def bound_notes(score: Score, part: Part) -> frozenset[str]:
    """Return the ids of the notes of a part that a slur binds to the next one."""
    return frozenset(
        note for slur in slurred(score, part) for chord in slur.chords[:-1] for note in chord.ids
    )


def breath_seconds(instrument: str, level: float) -> float | None:
    """Return how long one breath lasts in s at a level; None for an instrument without a figure."""
    found = row("winds", "breath").get(instrument)
    return float(np.interp(level, LEVELS, found.numbers)) if found else None


def bound_runs(wind: WindLine, bound: frozenset[str]) -> Iterator[Sequence[Tone]]:
    """Yield the runs of tones a player cannot breathe in: each bound to the next by a slur.

    `bound` are the ids of notes after which a slur goes on. A single long tone is a run by itself.
    """
    run = [wind.tones[0]]
    for before, here in pairwise(wind.tones):
        if before.notes[-1] in bound and here.start_s - before.stop_s < BREAK_SECONDS:
            run.append(here)
        else:
            yield run
            run = [here]
    yield run
