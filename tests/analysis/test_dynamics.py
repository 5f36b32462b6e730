"""What printed texts and hairpins say about loudness."""

import pytest

from redstave.analysis.dynamics import Kind, events, meanings, swells
from redstave.analysis.swells import courses
from redstave.model.score import Score
from redstave.reading import read_bytes

HEAD = 'title: Levels\nmeter: 4/4\nkey: 0\ntempo: 60 "Largo"\npitch: written\n\n'
FLUTE = "part Flute | clef=treble\n"


def page(music: str) -> Score:
    """Read a few bars of one flute."""
    return read_bytes((HEAD + FLUTE + music).encode(), "levels.tiny")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("p", [(Kind.LEVEL, 3)]),
        ("sempre pp", [(Kind.LEVEL, 2)]),
        ("( mf )", [(Kind.LEVEL, 5)]),
        ("p dolce", [(Kind.LEVEL, 3)]),
        ("fp", [(Kind.BURST, 3)]),
        ("sf", [(Kind.ACCENT, None)]),
        ("più f", [(Kind.SPOKEN, None)]),
        ("cresc.", [(Kind.RISE, None)]),
        ("dim. molto", [(Kind.FALL, None)]),
        ("p cresc.", [(Kind.LEVEL, 3), (Kind.RISE, None)]),
        ("sotto voce", [(Kind.SPOKEN, None)]),
        ("simile", [(Kind.SPOKEN, None)]),
        ("pizz.", []),
        ("espressivo", []),
    ],
)
def test_texts_are_read_as_players_read_them(
    text: str, read: list[tuple[Kind, int | None]]
) -> None:
    """Italian abbreviations of the trade (common practice) say what they say."""
    assert list(meanings(text)) == read


def test_sudden_levels_are_known_as_such() -> None:
    """Subito beside the level belongs to it."""
    score = page('p C5/2 "subito" f D5 |')
    assert [event.sudden for event in events(score, score.parts[0])] == [False, True]


def test_hairpins_have_direction_and_ends() -> None:
    """A hairpin over two beats runs from its first note to the end of its last."""
    score = page("p C5/4 < D5 E5 = F5 | > G5/2 = F5/2 |")
    beat = score.ticks_per_quarter
    found = swells(score, score.parts[0])
    assert [(one.start // beat, one.stop // beat, one.rising) for one in found] == [
        (1, 3, True),
        (4, 6, False),
    ]


def test_a_swell_and_its_return_are_one_course() -> None:
    """What follows within a beat, or turns back within a bar unsaid, belongs together."""
    score = page("p C5/4 < D5 E5 = F5 | F5/4 > G5 F5 = E5 | C5/1 |")
    (course,) = courses(score, score.parts[0])
    assert course.turns
    assert [event.level for event in course.before] == [3]
    assert course.goals == ()


def test_a_level_between_two_swells_parts_them() -> None:
    """A goal ends the course; the next swell starts from it."""
    score = page("p < C5/4 D5 E5 F5 | = f F5/4 E5 > D5 C5 | = p C5/1 |")
    first, second = courses(score, score.parts[0])
    assert [event.level for event in first.goals] == [6]
    assert [event.level for event in second.before] == [6]
    assert [event.level for event in second.goals] == [3]


def test_levels_before_a_long_rest_are_forgotten() -> None:
    """A swell after a rest of a bar does not start from the level before it."""
    score = page("f C5/1 | R | < C5/4 D5 E5 F5 | = p C5/1 |")
    (course,) = courses(score, score.parts[0])
    assert course.before == ()


def test_the_rest_after_a_swell_is_measured() -> None:
    """The silence between the last note under a swell and the next note is counted."""
    score = page("f > C5/4 D5 E5 r = | C5/1 |")
    (course,) = courses(score, score.parts[0])
    assert course.silence == score.ticks_per_quarter
