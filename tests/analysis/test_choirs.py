"""Choirs: who moves in one rhythm, and which levels count."""

from redstave.analysis import Analysis
from redstave.analysis.choirs import Choir, choirs
from redstave.analysis.surroundings import level_around, level_in_force
from redstave.model.line import Playing
from redstave.model.score import Score
from redstave.reading import read_bytes

HEAD = 'title: Choirs\nmeter: 4/4\nkey: 0\ntempo: 60 "Largo"\npitch: written\n\n'
MUSIC = """part Trombone 1 | clef=bass
p F4/4 F4 G4 F4 | E4/4 E4 F4 E4 | R | E4/2 F4 |
part Trombone 2 | clef=bass
mf A3/4 A3 B3 A3 | < G3/4 G3 A3 = G3 | f G3/2 A3 | G3/2 A3 |
part Tuba | clef=bass
p F2/4 F2 G2 F2 | C3/8 C3 C3/4 F3 C3 | C3/2 F3 | C3/2 F3 |
part Viola | clef=alto
p C4/4 C4 D4 C4 | R | R | R |
"""


def analysis() -> Analysis:
    """Three brass players and a viola."""
    return Analysis(read_bytes((HEAD + MUSIC).encode(), "choirs.tiny"))


def members(choir: Choir) -> list[tuple[int, float | None]]:
    """Return line and level of each voice."""
    return [(voice.line, voice.level) for voice in choir.voices]


def test_a_choir_shares_family_and_rhythm() -> None:
    """The viola is of another family; in the second bar the tuba goes its own way."""
    found = [choir for choir in choirs(*scored()) if choir.bar == 0]
    assert [members(choir) for choir in found] == [[(0, 3.0), (1, 5.0), (2, 3.0)]]
    assert found[0].attacks == 4


def test_a_level_that_moves_does_not_count() -> None:
    """Under a hairpin there is no one level."""
    (found,) = [choir for choir in choirs(*scored()) if choir.bar == 1]
    assert members(found) == [(0, 3.0), (1, None)]


def test_a_level_older_than_a_rest_does_not_count() -> None:
    """After a bar of rest the first trombone's old level is forgotten."""
    (found,) = [choir for choir in choirs(*scored()) if choir.bar == 3]
    assert members(found) == [(0, None), (1, 6.0), (2, 3.0)]


def test_levels_around_a_part_leave_it_out() -> None:
    """The level around a part is the commonest of the others; its own is told apart."""
    one = analysis()
    part = one.playing.lines[1].part
    assert level_around(one.playing, part, 0) == 3
    assert level_in_force(one.playing, part, 0) == 5.0


def scored() -> tuple[Score, Playing]:
    """Return score and playing of the example."""
    one = analysis()
    return one.score, one.playing
