"""Levels in force against tables made by reading the pages of five movements.

The marks were read bar by bar in the files, not by our code, and the level worked out with pencil
from the printed marks: written levels and goals are on the page; what a hairpin without goal does
is our stated assumption (one step from the last mark). Places where two readings are possible are
left out.
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

# fz is a stress within the level in force; the Allegro of bar 18 has no level of its own.
HAYDN_FIRST_VIOLINS = [
    ("1", 0, 7), ("2", 0, 7), ("3", 2.5, 7), ("3", 3, 3), ("4", 2.5, 3), ("5", 3.5, 3), ("6", 0, 3),
    ("7", 0, 7), ("8", 2, 7), ("9", 2.5, 3), ("13", 0, 3), ("14", 0, 7), ("15", 0, 2), ("16", 2, 2),
    ("18", 0, 2), ("32", 3, 2), ("33", 0, 7), ("65", 0, 7), ("66", 0, 3), ("80", 0, 3),
    ("92", 0, 3), ("93", 1, 3), ("98", 0, 3), ("101", 3, 3), ("113", 0, 6), ("114", 1, 6),
    ("124", 0, 6), ("138", 0, 6), ("146", 0, 6), ("146", 1, 3), ("156", 0, 6), ("172", 0, 6),
    ("173", 0, 7), ("178", 0, 6), ("194", 0, 3), ("209", 0, 6), ("237", 0, 6), ("238", 0, 3),
    ("245", 0, 3), ("258", 0, 6), ("268", 3, 3), ("278", 0, 6), ("295", 0, 6),
]  # fmt: skip
HAYDN_FIRST_HORN = [
    ("33", 0, 6), ("65", 0, 6), ("87", 0, 6), ("117", 1, 6), ("173", 0, 7), ("209", 0, 6),
    ("267", 2, 4.5), ("268", 0, 3), ("278", 0, 6),
]  # fmt: skip

# "sf", "pp sub.", levels in brackets, "mf léger" as one mark, hairpins with and without goal.
BOULANGER_FIRST_CLARINET = [
    ("1", 0, 2), ("5", 1.5, 2.5), ("6", 0, 3), ("6", 1.5, 2.5), ("7", 0, 2), ("9", 1, 2),
    ("13", 1, 4), ("14", 1, 4), ("15", 1, 5), ("18", 0.75, 5), ("18", 2, 5), ("20", 2, 5.5),
    ("21", 1, 6), ("22", 0, 2), ("25", 1.5, 2.5), ("26", 0, 2), ("30", 0, 2), ("31", 1.5, 2.5),
    ("34", 0, 5), ("35", 1, 6), ("41", 1.5, 3), ("43", 1.5, 3), ("43", 2.5, 4), ("46", 0, 4),
    ("53", 0, 4), ("54", 0, 3), ("58", 0, 5), ("58", 0.5, 5.5), ("60", 0, 5), ("62", 0, 6),
    ("76", 0.5, 3), ("78", 0, 3 + 2.5 / 5.5), ("79", 0.5, 4), ("82", 0, 6), ("85", 0, 6),
    ("86", 0, 5), ("95", 2.5, 5.5), ("96", 0, 6), ("101", 0, 6), ("101", 0.5, 3), ("103", 1, 3),
    ("106", 0, 3), ("106", 0.5, 5), ("111", 0, 5), ("111", 0.5, 3), ("140", 0.75, 5),
    ("141", 2, 4.5), ("143", 1, 5), ("144", 1.5, 3), ("146", 2.25, 3.5), ("147", 0.5, 4),
    ("147", 2.25, 3.5), ("150", 1.75, 3.5), ("151", 1.75, 3.5), ("160", 0, 3), ("173", 0, 6),
    ("173", 2.25, 6.5), ("174", 0, 7), ("174", 1.5, 7), ("175", 0, 8), ("176", 0, 7),
    ("184", 0, 8), ("192", 0, 3), ("194", 0, 5), ("194", 2.25, 5.5), ("196", 0.5, 6),
    ("199", 1.5, 6.5), ("200", 1, 3), ("201", 0, 3.5), ("202", 0, 5), ("203", 0, 6),
]  # fmt: skip

# "dim." and "cresc." with dashes, to a mark and to none.
BOULANGER_LAST_VIOLIN = [
    ("3", 0, 2), ("17", 0, 2), ("19", 0, 2 + 1.25 / 3.25), ("19", 2, 3), ("25", 0, 3),
    ("29", 1.75, 2.5), ("30", 2, 2.5), ("31", 0, 2), ("32", 2, 2.5), ("34", 1, 2), ("38", 0, 3),
    ("43", 0.5, 2.5), ("57", 1.5, 2.5), ("61", 1, 2.5), ("61", 3, 2.5), ("62", 0, 2), ("68", 1, 3),
    ("69", 1, 3.5), ("71", 1.5, 3.5), ("72", 0, 3), ("82", 0, 7), ("92", 0, 7 - 3 / 8.5),
    ("98", 0, 2), ("104", 0, 2), ("104", 0.5, 3), ("105", 0, 5), ("106", 0, 3), ("107", 0, 6),
    ("112", 1.75, 4), ("113", 0, 2), ("129", 0, 5), ("130", 0, 3), ("132", 1.75, 2.5),
    ("133", 0, 3), ("135", 0.75, 4), ("137", 0, 3), ("140", 2.25, 4.5), ("141", 0, 6),
    ("143", 2, 4.5), ("144", 0, 3), ("152", 0, 5), ("157", 1.5, 4.5), ("159", 1, 4.5),
    ("160", 0, 5), ("163", 0, 6), ("164", 0, 5), ("170", 0, 5 + 4.5 / 10.5), ("176", 0, 7),
    ("177", 0, 3), ("179", 1.75, 2.5), ("181", 1.5, 2.5), ("183", 2.5, 4.5), ("184", 0, 7),
    ("189", 2, 6.5), ("191", 0, 6), ("192", 0, 3), ("192", 2.5, 3.5), ("195", 0, 4), ("196", 0, 6),
    ("200", 0, 7), ("200", 1, 5), ("201", 0, 6), ("207", 1, 7),
]  # fmt: skip

# "p dolce", "cresc. sempre", "(cresc.)", "poco a poco cresc.", a cresc. that a long rest cuts off.
BRUCKNER_FIRST_OBOE = [
    ("5", 0, 3), ("5", 3, 3.5), ("6", 1, 3.5), ("6", 2, 3), ("7", 0, 5), ("8", 1, 4.5),
    ("8", 2, 4), ("9", 0, 3), ("9", 3, 3.5), ("10", 0.5, 4), ("10", 2, 3.5), ("11", 1, 3),
    ("12", 0, 3 + 2 * 3 / 7), ("13", 0, 5), ("14", 0, 2), ("15", 0, 3), ("17", 2.75, 3.5),
    ("18", 1.5, 4), ("18", 2.25, 3.5), ("27", 0, 2), ("29", 0, 2), ("47", 0, 5), ("49", 0, 5),
    ("50", 0, 5.5), ("55", 0, 2), ("57", 0, 2), ("58", 0, 3.5), ("59", 0, 5), ("60", 2, 5.5),
    ("61", 0, 6), ("62", 0.5, 6.5), ("65", 0, 7), ("68", 0, 2), ("71", 0, 3), ("71", 2, 3.5),
    ("72", 1.5, 3.5), ("73", 0, 5), ("74", 0, 4.5), ("82", 0, 3), ("85", 0, 7), ("91", 0, 5),
    ("92", 0, 6), ("93", 0, 7), ("97", 0, 3), ("98", 2, 4.5), ("99", 0, 6), ("101", 0, 2),
    ("104", 0, 3), ("117", 0, 2), ("121", 2, 5), ("127", 2, 3), ("133", 0, 6), ("138", 0, 6),
    ("139", 0, 3), ("147", 0, 3), ("153", 0, 2), ("157", 0, 2), ("157", 2, 1), ("163", 3, 3.5),
    ("164", 1, 3.5), ("165", 0, 5), ("166", 1, 4.5), ("167", 0, 3), ("169", 0, 3), ("170", 0, 5),
    ("171", 0, 7), ("173", 0, 5), ("177", 3, 4), ("178", 2, 3), ("179", 1, 7), ("182", 0, 7),
    ("183", 3, 3.5), ("184", 1, 3.5), ("189", 0, 7), ("195", 0, 3), ("197", 2, 7), ("207", 0, 2),
]  # fmt: skip

MORE = [
    (file, part, *place)
    for file, part, table in (
        ("Haydn_104_1.mxl", "P14", HAYDN_FIRST_VIOLINS),
        ("Haydn_104_1.mxl", "P9", HAYDN_FIRST_HORN),
        ("Boulanger_Dun_matin_de_printemps.mxl", "P7", BOULANGER_FIRST_CLARINET),
        ("Boulanger_Dun_matin_de_printemps.mxl", "P41", BOULANGER_LAST_VIOLIN),
        ("Bruckner_WAB.105_2.mxl", "P3", BRUCKNER_FIRST_OBOE),
    )
    for place in table
]


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


@pytest.mark.parametrize(("file", "part", "bar", "quarter", "level"), MORE)
def test_haydn_boulanger_and_bruckner(
    scores: Path, file: str, part: str, bar: str, quarter: float, level: float
) -> None:
    """In three more movements, too, a player has in force what the page says."""
    starts, ticks, points = _levels(scores / "orchestra" / file, part)
    found = level_at(points, starts[bar] + quarter * ticks)
    assert found.level == pytest.approx(level)
    assert found.known
