"""Carrier strips: who carries a voice, at which octave, how loud, and whether it is heard."""

from dataclasses import replace
from importlib.resources import files

import pytest

from redstave.analysis import Analysis
from redstave.analysis.state import State
from redstave.model.match import Choice, Pin, VoiceOverride
from redstave.original import carrier_strips, match_of
from redstave.reading import read_bytes
from tests.original.pieces import BROKEN, CELLO, TUNE, VIOLIN, beside, part, piano


def name_of(analysis: Analysis, line: int) -> str:
    """Return the name of a line."""
    return analysis.playing.lines[line].name


@pytest.fixture(scope="module")
def entry() -> Analysis:
    """Return an entry whose tune goes from the violins to flute and bassoon."""
    rests = ["R"] * 4
    return beside(
        part("Violin I", [*TUNE[:4], *rests])
        + part("Flute", [*rests, *TUNE[4:]], "pp")
        + part("Bassoon | clef=bass", [*rests, "R", "R", "F3/4 D3 E3 B2", "C3/1"], "ff")
        + CELLO,
        piano(),
    )


def test_the_tune_changes_hands(entry: Analysis) -> None:
    """Each bar names who carries the tune there, at which octave and level."""
    found = match_of(entry)
    assert found is not None
    tune = next(one for one in carrier_strips(entry) if found.voices[one.voice].name == "tune")
    assert [bar.entry for bar in tune.bars] == list(range(8))
    assert {bar.carried for bar in tune.bars} == {1.0}
    told = [
        {(name_of(entry, one.line), one.octave_shift, one.level) for one in bar.carriers}
        for bar in tune.bars
    ]
    assert told[:4] == [{("Violin I", 0, 5.0)}] * 4
    assert told[4:6] == [{("Flute", 0, 2.0)}] * 2
    assert told[6:] == [{("Flute", 0, 2.0), ("Bassoon", -2, 7.0)}] * 2


def test_the_hall_is_asked(entry: Analysis) -> None:
    """What is heard says so with its margin; nothing is said where nobody asks."""
    for strip in carrier_strips(entry):
        for bar in strip.bars:
            for one in bar.carriers:
                assert one.state in State
                assert one.sd_db > 0.0
    unasked = [
        one
        for strip in carrier_strips(entry, heard=False)
        for bar in strip.bars
        for one in bar.carriers
    ]
    assert {(one.state, one.margin_db) for one in unasked} == {(None, 0.0)}


def test_half_a_voice_is_half_carried() -> None:
    """The share counts the tones of the voice in the bar."""
    analysis = beside(part("Violin I", ["E5/4 D5 r/2", *TUNE[1:]]) + CELLO, piano())
    found = match_of(analysis)
    assert found is not None
    tune = carrier_strips(analysis, heard=False)[0]
    assert tune.bars[0].carried == 0.5
    assert tune.bars[0].carriers[0].share == 0.5


def test_an_unknown_instrument_is_heard_by_nobody() -> None:
    """Where the instrument is unknown the state stays open."""
    analysis = beside(part("Glass thing", TUNE) + CELLO, piano())
    states = {
        one.state
        for strip in carrier_strips(analysis)
        for bar in strip.bars
        for one in bar.carriers
        if name_of(analysis, one.line) == "Glass thing"
    }
    assert states == {None}


def test_without_an_original_there_is_nothing(entry: Analysis) -> None:
    """No original, no match, no strips."""
    alone = replace(entry, original=None)
    assert match_of(alone) is None
    assert carrier_strips(alone) == ()


def test_a_match_is_made_once_and_kept_by_trials(entry: Analysis) -> None:
    """The match is remembered; other levels of the same notes leave it as it is, other pins not."""
    assert match_of(entry) is match_of(entry)
    louder = entry.retold(
        replace(
            entry.playing, tones=tuple(tone._replace(level=8.0) for tone in entry.playing.tones)
        )
    )
    assert louder.original is entry.original
    assert match_of(louder) is match_of(entry)
    pinned = replace(entry, pins=(Pin(0, 4),), earlier=entry)
    found = match_of(pinned)
    assert found is not None
    assert found.original_of[0] == 4


def test_the_teachers_voices_reach_the_strips(entry: Analysis) -> None:
    """A voice of the teacher's own has a strip of its own."""
    said = VoiceOverride(0, 7, 2, Choice.ALL, "left hand")
    analysis = replace(entry, voice_overrides=(said,))
    found = match_of(analysis)
    assert found is not None
    assert [one.name for one in found.voices] == ["tune", "left hand"]
    left = carrier_strips(analysis, heard=False)[1]
    assert {name_of(analysis, one.line) for bar in left.bars for one in bar.carriers} >= {
        "Violoncello"
    }


def test_an_entry_that_stops_is_unfinished() -> None:
    """Bars of which most is missing are named as there in part; blank bars are still matched."""
    left = [*BROKEN[:4], "R", "R", "R", "R"]
    found = match_of(beside(VIOLIN + part("Violoncello | clef=bass", left), piano()))
    assert found is not None
    assert found.original_of == {bar: bar for bar in range(8)}
    assert found.unfinished == ((4, 7),)
    blank = [*TUNE[:5], "R", "R", "R"]
    low = [*BROKEN[:5], "R", "R", "R"]
    stopped = match_of(
        beside(part("Violin I", blank) + part("Violoncello | clef=bass", low), piano())
    )
    assert stopped is not None
    assert stopped.unfinished == ((5, 7),)


def test_the_demo_hands_the_tune_over_when_it_begins() -> None:
    """In bar 16 the cellos play the bass of the piano; the tune is theirs from bar 17 on.

    What may be said of a tone counts for each reading alike: else the likelier one at first, a tune
    two octaves down, would be so for good.
    """
    score, original = (
        read_bytes(files("redstave").joinpath("app", "demo", name).read_bytes(), name)
        for name in ("orchestra.musicxml", "piano.musicxml")
    )
    analysis = Analysis(score, original=original)
    found = match_of(analysis)
    assert found is not None
    strips = carrier_strips(analysis, heard=False)
    tune = next(one for one in strips if found.voices[one.voice].name == "tune")
    first = next(
        bar.entry
        for bar in tune.bars
        if "Violoncello" in {name_of(analysis, one.line) for one in bar.carriers}
    )
    assert score.bars[first].number == "17"
