"""Levels in force against tables made by reading the pages of two movements.

The marks were read bar by bar in the files (Brahms op. 90, III, cellos; Beethoven op. 67, II,
violas) and the level worked out with pencil from the printed marks: written levels and goals are on
the page; what a hairpin without goal does is our stated assumption (one step from the last mark).
"""

from functools import cache
from pathlib import Path

import pytest

from redstave.model.line import Forces
from redstave.players import level_at, play
from redstave.reading import read

pytestmark = pytest.mark.corpus

# Bar number as printed, quarter notes from its start, level.
BRAHMS_CELLOS = [
    ("1", 0, 3), ("2", 0.75, 3.5), ("3", 0, 4), ("3", 0.5, 3.5), ("3", 1, 3),
    ("10", 1.25, 4), ("11", 0.5, 3), ("12", 0.5, 4), ("14", 0, 3), ("22", 0, 4), ("23", 1, 3),
    ("35", 0.75, 2), ("36", 0, 3), ("36", 0.5, 2), ("42", 0, 3),
    ("49", 1, 4), ("51", 1, 3), ("52", 0, 3),
    ("56", 0.25, 2), ("56", 1.25, 3), ("57", 0, 2), ("57", 1.25, 3), ("58", 0, 2),
    ("71", 1, 2), ("74", 0, 2 + 4 * 0.5 / 3.5), ("75", 0, 2 + 4 * 2 / 3.5), ("76", 0, 6),
    ("77", 1, 6), ("78", 0.5, 4.5), ("78", 1, 3), ("79", 0, 3), ("88", 1, 3), ("91", 0, 2.5),
    ("93", 0, 2), ("99", 0, 1), ("100", 0, 2), ("100", 1, 1), ("102", 0, 2),
    ("110", 1, 3), ("111", 1, 2), ("114", 0, 3), ("122", 1, 4), ("124", 0, 3),
    ("139", 0, 3), ("157", 0, 2), ("158", 0, 3), ("158", 0.5, 2), ("159", 0.5, 3), ("160", 0, 2),
    ("161", 0, 5), ("161", 0.5, 6), ("162", 1, 3),
]  # fmt: skip

BEETHOVEN_VIOLAS = [
    ("0", 0, 3), ("7", 0, 6), ("8", 0, 3), ("9", 0, 6), ("10", 0, 3), ("17", 0.75, 4.5),
    ("18", 0, 6), ("19", 0, 3), ("20", 0.5, 3), ("20", 1, 6), ("21", 0.5, 3), ("27", 0.5, 2),
    ("29", 0, 7), ("32", 0, 7), ("35", 0, 7), ("38", 1, 2), ("41", 0, 2), ("47", 0.75, 4),
    ("48", 0, 6), ("49", 1.25, 3), ("57", 1.125, 4.5), ("58", 0, 6), ("59", 0, 3),
    ("66", 0, 3.5), ("67", 0, 4), ("68", 0, 3), ("78", 0, 7), ("84", 0, 7), ("96", 0.75, 4),
    ("97", 0, 6), ("97", 0.25, 7), ("98", 1, 3), ("157", 1, 3), ("161", 0, 2), ("162", 0, 2),
    ("175", 0, 4), ("176", 0, 6), ("183", 0, 6 + 1.875 / 4.875), ("185", 0, 7), ("205", 0, 2),
    ("214", 0, 4), ("214", 1, 6), ("215", 0.5, 3), ("216", 0, 4.5), ("217", 0.5, 3),
    ("217", 1, 5), ("218", 0, 7), ("224", 0.75, 4.5), ("225", 0, 6), ("226", 1, 4.5),
    ("227", 0, 3), ("228", 0, 2), ("237", 0, 3.6), ("239", 0, 6), ("242", 0, 7),
]  # fmt: skip


@cache
def _levels(file: Path, part: str) -> tuple[dict[str, int], int, tuple]:  # type: ignore[type-arg]
    score = read(file)
    starts = {bar.number: bar.start for bar in score.bars}
    return starts, score.ticks_per_quarter, play(score, Forces()).levels[part]


@pytest.mark.parametrize(("bar", "quarter", "level"), BRAHMS_CELLOS)
def test_brahms_third_symphony_cellos(scores: Path, bar: str, quarter: float, level: float) -> None:
    """Op. 90, III: what the cellos have in force at this place is what the page says."""
    starts, ticks, points = _levels(scores / "orchestra" / "Brahms_Op.90_3.mxl", "P14")
    found = level_at(points, starts[bar] + quarter * ticks)
    assert found.level == pytest.approx(level)
    assert found.known


@pytest.mark.parametrize(("bar", "quarter", "level"), BEETHOVEN_VIOLAS)
def test_beethoven_fifth_symphony_violas(
    scores: Path, bar: str, quarter: float, level: float
) -> None:
    """Op. 67, II: what the violas have in force at this place is what the page says."""
    starts, ticks, points = _levels(scores / "orchestra" / "Beethoven_Op.67_2.mxl", "P16")
    found = level_at(points, starts[bar] + quarter * ticks)
    assert found.level == pytest.approx(level)
    assert found.known
