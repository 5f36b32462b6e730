"""Sentences about changes and ways out."""

import pytest

from redstave.model.change import (
    Alteration,
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from redstave.render.changes import changes_text, decibels, outcome_text, way_text
from redstave.trial import attempt, select_lines, ways_out
from tests.trial.pages import COVERED_FLUTE, MARKS, page

PAGE = page(COVERED_FLUTE)
FULL = page(MARKS)


def said(who: str, what: Alteration, bars: tuple[int, int] = (0, 1)) -> str:
    """Return the sentence for one change of the second page."""
    change = Change(select_lines(FULL.playing, who), *bars, what)
    return changes_text(attempt(FULL, [change]))


@pytest.mark.parametrize(
    ("who", "what", "text"),
    [
        ("Horns", Level(3.0), "Mark Horn 1. 2 p in bars 1–2"),
        ("Horns", Step(-2.0), "Mark Horn 1. 2 two levels softer (p) in bars 1–2"),
        ("Oboe", Step(1.0), "Mark Oboe one level louder (between mp and ff) in bars 1–2"),
        ("Violin I", Players(1.0), "Let one player of Violin I play in bars 1–2"),
        (
            "Viola, Violin I",
            Players(6.0),
            "Let six players each of Viola and Violin I play in bars 1–2",
        ),
        ("Horn 2", LeftOut(), "Leave out Horn 2 in bars 1–2"),
        ("Harp", LeftOut(), "Leave out Harp in bars 1–2"),
        ("Oboe", Octave(-1), "Move Oboe an octave lower in bars 1–2"),
        ("Horns", Technique("mute"), "Let Horn 1. 2 play with mutes in bars 1–2"),
        ("strings", Level(2.0), "Mark the strings pp in bars 1–2"),
        (
            "Horns",
            TakenOver("oboe", "Oboe", "woodwind", octaves=-2),
            "Give Horn 1. 2 to an oboe each, two octaves lower, in bars 1–2",
        ),
        (
            "Oboe",
            TakenOver("viola", "Viola", "strings", 10, True),
            "Give Oboe to 10 players of the viola in bars 1–2",
        ),
    ],
)
def test_a_change_reads_like_an_instruction(who: str, what: Alteration, text: str) -> None:
    """Each kind of change is told as a teacher would write it, with names, levels and bars."""
    assert said(who, what) == text


def test_one_bar_and_several_changes() -> None:
    """Changes in the same bars share them; others are told after."""
    oboe, harp = select_lines(FULL.playing, "Oboe"), select_lines(FULL.playing, "Harp")
    trial = attempt(
        FULL,
        [
            Change(oboe, 0, 0, Level(6.0)),
            Change(harp, 0, 0, LeftOut()),
            Change(harp, 2, 3, Level(1.0)),
        ],
    )
    assert changes_text(trial) == (
        "Mark Oboe f and leave out Harp in bar 1, and mark Harp ppp in bars 3–4"
    )


def test_a_way_out_shows_margins_and_doubt() -> None:
    """The sentence has the margin before and after, its uncertainty, and says who decides."""
    (way, *_) = ways_out(PAGE, 0, 0, 3)
    text = way_text(way)
    assert text.startswith("Mark Horn 1. 2 and Horn 3. 4 two levels softer (mp) in bars 1–4: ")
    assert f"from {decibels(way.before.margin_db)} to {decibels(way.after.margin_db)} dB" in text
    assert f"(± {way.after.sd_db:.0f}), heard." in text
    assert text.endswith("This is an estimate; the ear decides.")


def test_outcomes_are_told_with_their_doubt() -> None:
    """What is heard has state, margin and ±; a line that does not sound is silent."""
    trial = attempt(PAGE, [Change(("P2.1",), 0, 3, LeftOut())])
    silent = next(one for one in trial.lines if one.line.id == "P2.1")
    assert outcome_text(silent.after) == "silent"
    assert outcome_text(silent.before).startswith("heard, +")
    assert outcome_text(silent.before).endswith(" dB")


def test_signs_are_true() -> None:
    """A level difference has a plus or a true minus, and nothing at zero."""
    assert [decibels(value) for value in (6.6, -2.4, 0.2)] == ["+7", "−2", "0"]
