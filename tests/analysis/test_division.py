"""Words about dividing in four languages, and the passages they hold for."""

import pytest

from redstave.analysis.division import Says, passages, read_division
from redstave.analysis.page import chords
from redstave.reading import read_bytes

HEAD = 'title: Division\nmeter: 4/4\nkey: 0\ntempo: 60 "Largo"\npitch: written\n\n'


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("div.", Says.DIVIDED),
        ("Divisi a 3", Says.DIVIDED),
        ("div. pizz.", Says.DIVIDED),
        ("tous div. en 2", Says.DIVIDED),
        ("geteilt", Says.DIVIDED),
        ("à 2", Says.DIVIDED),
        ("la moitié", Says.DIVIDED),
        ("1. Pult", Says.DIVIDED),
        ("half", Says.DIVIDED),
        ("non div.", Says.UNDIVIDED),
        ("nicht geteilt", Says.UNDIVIDED),
        ("double cordes", Says.UNDIVIDED),
        ("pas divisé", Says.UNDIVIDED),
        ("ungeteilt", Says.UNDIVIDED),
        ("partagés", Says.DIVIDED),
        ("2 players", Says.DIVIDED),
        ("all tied", None),
        ("unis.", Says.NOTHING),
        ("zusammen", Says.NOTHING),
        ("tutti", Says.NOTHING),
        ("tous", Says.NOTHING),
        ("Solo", Says.ALONE),
        ("pizz.", None),
        ("dolce", None),
    ],
)
def test_words_about_dividing(word: str, says: Says | None) -> None:
    """The words of the trade (common practice; unis. cancels div. read: reading1)."""
    assert read_division(word) is says


def test_passages_change_with_the_word_and_with_distance() -> None:
    """Double notes are cut where a word stands between them, and where they lie far apart."""
    music = (
        "part Viola | clef=alto\n"
        '[C4 E4]/2 [D4 F4] | "div." [C4 E4]/2 [D4 F4] | "unis." C4/1 | [C4 E4]/2 C4 | C4/1 |'
        " C4/1 | [C4 E4]/1 |"
    )
    score = read_bytes((HEAD + music).encode(), "division.tiny")
    part = score.parts[0]
    bar = score.bars[0].length
    found = list(passages(score, part, chords(score, part), bar))
    assert [(one.says, len(one.places)) for one in found] == [
        (Says.NOTHING, 2),
        (Says.DIVIDED, 2),
        (Says.NOTHING, 1),
        (Says.NOTHING, 1),
    ]


def test_two_voices_are_two_notes_and_a_unison_is_one() -> None:
    """Voices count as double notes where their pitches differ."""
    music = "part Viola | clef=alto\nE4/2 C4 & C4/1 |"
    score = read_bytes((HEAD + music).encode(), "division.tiny")
    part = score.parts[0]
    (found,) = passages(score, part, chords(score, part), score.bars[0].length)
    assert [place.tick for place in found.places] == [0]
    assert found.places[0].two_voices
