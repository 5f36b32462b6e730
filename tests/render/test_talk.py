"""The talk: captions and chapters as an independent parser reads them, and the script."""

import io
from itertools import pairwise
from typing import Any

import pytest
import webvtt

from redstave.model.letter import Letter
from redstave.render.clock import Clock, Heard
from redstave.render.talk import LINE, LINES, MOST_LINES, captions, chapters, script
from tests.render.letters import (
    EVIL,
    RTL,
    analysis,
    bare,
    from_finding,
    hostile,
    letter,
    many,
    remark,
)

SCORE = analysis().score
CLOCK = Clock(SCORE, analysis().playing.tempo)
SLOW = Clock(SCORE, analysis().playing.tempo, (Heard(0, 5.0), Heard(5, 505.0)))
BAR_S = 3 * 60 / 96


def cues(text: str) -> list[Any]:
    """Return the cues of a WebVTT file, read by a library that knows nothing of ours."""
    return list(webvtt.from_buffer(io.StringIO(text)))


def seconds(stamp: str) -> float:
    """Return a time stamp in seconds."""
    hours, minutes, rest = stamp.split(":")
    return 3600 * int(hours) + 60 * int(minutes) + float(rest)


@pytest.mark.parametrize("make", [captions, chapters])
@pytest.mark.parametrize("clock", [CLOCK, SLOW])
@pytest.mark.parametrize("one", [letter(), bare(), many(), hostile()])
def test_cues_follow_each_other(make: Any, clock: Clock, one: Letter) -> None:
    """Every cue takes time, none overlaps the next, each has its name and something to say."""
    text = make(one, SCORE, clock)
    assert text.startswith("WEBVTT\n")
    found = cues(text)
    assert len(found) == text.count(" --> ")
    names = [cue.identifier for cue in found]
    assert len(set(names)) == len(names)
    for cue in found:
        assert cue.text.strip()
        assert seconds(cue.start) < seconds(cue.end)
    for before, after in pairwise(found):
        assert seconds(before.end) <= seconds(after.start) + 1e-6


def test_remarks_are_shown_when_their_bar_is_heard() -> None:
    """By the tempo map, or where the recording has the bar."""
    one = letter(remark(1, bar=2), remark(2, bar=4))
    assert [seconds(cue.start) for cue in cues(captions(one, SCORE, CLOCK))] == pytest.approx(
        [2 * BAR_S, 4 * BAR_S], abs=0.001
    )
    starts = [seconds(cue.start) for cue in cues(captions(one, SCORE, SLOW))]
    assert starts == pytest.approx([205.0, 405.0], abs=0.001)


def test_where_there_is_time_all_is_said() -> None:
    """In a slow talk a caption holds text, why and way out, a few lines at a time."""
    one = letter(remark(1, bar=1, why="It is too low.", way_out="An octave up. " * 20))
    found = cues(captions(one, SCORE, SLOW))
    words = " ".join(" ".join(cue.text.split()) for cue in found)
    assert words == "[1] The flute is lost here. It is too low. " + " ".join(["An octave up."] * 20)
    for cue in found:
        assert len(cue.text.splitlines()) <= LINES
        assert all(len(line) <= LINE for line in cue.text.splitlines())


def test_where_there_is_none_its_beginning_is_said() -> None:
    """In the music's own time a long remark becomes its number and first words."""
    one = letter(remark(1, bar=1, text="The flute is lost " * 30), remark(2, bar=2))
    first, second = cues(captions(one, SCORE, CLOCK))
    assert first.text.startswith("[1] The flute is lost")
    assert first.text.endswith("…")
    assert seconds(first.end) == pytest.approx(seconds(second.start))


def test_many_remarks_on_one_bar_share_a_caption() -> None:
    """Where there is no time to show them one after the other, they are shown at once."""
    few = letter(*(remark(n, bar=1) for n in range(3)), remark(9, bar=2))
    assert [cue.text.count("[") for cue in cues(captions(few, SCORE, CLOCK))] == [3, 1]
    crowd = letter(*(remark(n, bar=1) for n in range(MOST_LINES + 1)), remark(9, bar=2))
    assert cues(captions(crowd, SCORE, CLOCK))[0].text == "[1] [2] [3] [4] [5]"


def test_chapters_reach_from_beginning_to_end() -> None:
    """There is no gap between chapters, and each names its remarks and their places."""
    found = cues(chapters(letter(remark(1, bar=2), remark(2, bar=4)), SCORE, CLOCK))
    assert [cue.text for cue in found] == [
        "entry-heron",
        "[1] Bar 3 · Flute 1. 2",
        "[2] Bar 5 · Flute 1. 2",
    ]
    assert seconds(found[0].start) == 0.0
    assert seconds(found[-1].end) == pytest.approx(6 * BAR_S, abs=0.001)
    for before, after in pairwise(found):
        assert before.end == after.start


def test_hostile_words_end_no_cue() -> None:
    """Arrows, brackets and blank lines in a remark are text and nothing else."""
    text = captions(letter(remark(1, text=f"{EVIL}\n\n00:00 --> 00:01\n\n{RTL}")), SCORE, SLOW)
    found = cues(text)
    assert text.count("-->") == len(found)
    assert "&lt;script&gt;" in text.replace("\n", " ")


def test_the_script_holds_all_in_the_order_of_the_bars() -> None:
    """Opening, every remark with its time and all its words, next step, closing."""
    text = " ".join(script(letter(), SCORE, CLOCK).split())
    order = [
        "Thank you",
        "0:00 [1]",
        "0:01 [3] Bar 2",
        "0:05 [4]",
        "[7] Bar 6",
        "Write bar 3 again",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    for words in ("Or not?", "Mark the strings one level softer", "Write a note.", "good wishes"):
        assert words in text
    assert from_finding(0).why in text
