"""Laws: what must not change when the page changes in ways that do not matter."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from redstave.model.line import Forces, Playing
from redstave.model.score import Score
from redstave.players import level_at, play
from redstave.players.dynamics import OPEN, Instruction
from redstave.players.levels import level_track
from redstave.players.page import is_played
from redstave.reading import read
from tests.players.pages import page

PAGE = """part Flutes 1. 2
p < C5/4 D5 E5 F5 = | "a 2" f C5/1~ | C5 | "cresc." [C5 E5] | D5 | ff R |

part Violin 1
pp "pizz." C5/4 D5 "arco" [E4 G4]/2 | ^C5 C5/4:accent D5 sf E5/2 | R | "solo" C5/1 | C5 |
"tutti" C5 |

part Violoncello
mf C3/1 | "con sord." C3 | > C3 = | p C3 | C3 | C3 |

part Viola
mp C4/1 & A3/1 | C4 | C4 | "dim." C4 | D4 | C4 |
"""


def _facts(playing: Playing) -> tuple[Any, ...]:
    """Return everything about a playing that does not depend on the order of its lines."""
    ids = [line.id for line in playing.lines]
    tones = sorted((ids[tone.line], *tone[1:]) for tone in playing.tones)
    lines = sorted(playing.lines, key=lambda line: line.id)
    questions = sorted(playing.open_questions)
    return tones, lines, playing.levels, playing.techniques, playing.tempo, questions


@given(st.permutations(range(4)))
def test_the_order_of_parts_changes_nothing(order: list[int]) -> None:
    """The parts of a page in any order give the same lines, tones, levels and questions."""
    score = page(PAGE)
    shuffled = replace(score, parts=tuple(score.parts[index] for index in order))
    assert _facts(play(shuffled, Forces())) == _facts(play(score, Forces()))


@pytest.mark.corpus
@pytest.mark.parametrize("name", ["pairs/Dobrzynski_Swiety_Boze_all_orchestra.musicxml"])
def test_the_order_of_real_parts_changes_nothing(scores: Path, name: str) -> None:
    """So does a real score read from the bottom to the top."""
    score = read(scores / name)
    backwards = replace(score, parts=score.parts[::-1])
    assert _facts(play(backwards, Forces())) == _facts(play(score, Forces()))


def _longer(score: Score) -> Score:
    last = score.bars[-1]
    bar = replace(last, index=last.index + 1, number="99", start=last.start + last.length)
    return replace(score, bars=(*score.bars, bar))


def test_an_empty_bar_at_the_end_changes_nothing() -> None:
    """Levels, tones and times do not hang on how long the paper is."""
    score = page(PAGE)
    assert _facts(play(_longer(score), Forces())) == _facts(play(score, Forces()))


@pytest.mark.corpus
def test_an_empty_bar_at_the_end_of_a_real_score_changes_nothing(scores: Path) -> None:
    """The same for a movement of a symphony."""
    score = read(scores / "orchestra" / "Beethoven_Op.67_2.mxl")
    assert _facts(play(_longer(score), Forces())) == _facts(play(score, Forces()))


KINDS = st.sampled_from(["set", "step", "swell", "swell", "accent"])


@st.composite
def instructions(draw: st.DrawFn) -> list[Instruction]:
    """Draw any instructions, sorted as the reader of marks sorts them."""
    found = []
    for tick in sorted(draw(st.lists(st.integers(0, 60), max_size=12))):
        kind = draw(KINDS)
        value = float(draw(st.integers(1, 8) if kind == "set" else st.sampled_from([-2, -1, 1, 2])))
        stop = draw(st.one_of(st.just(OPEN), st.integers(tick + 1, tick + 20)))
        found.append(Instruction(tick, tick // 16, kind, value, f"m{len(found)}", stop))
    return sorted(found, key=lambda one: (one.tick, one.kind == "swell"))


@given(instructions(), st.lists(st.integers(1, 80), max_size=4).map(sorted))
def test_levels_are_sane_whatever_is_printed(told: list[Instruction], silences: list[int]) -> None:
    """Points come in the order of time, stay within ppp … fff, and marks are obeyed at once."""
    points = level_track(told, silences, 4).points
    ticks = [point.tick for point in points]
    assert ticks == sorted(ticks)
    assert all(1.0 <= level_at(points, tick).level <= 8.0 for tick in range(90))
    last: dict[int, float] = {one.tick: one.value for one in told if one.kind == "set"}
    steps = {one.tick for one in told if one.kind == "step"}
    swells = {one.tick for one in told if one.kind == "swell"}
    for tick, value in last.items():
        if tick not in steps | swells:
            assert level_at(points, tick).level == value


def test_an_empty_bar_at_the_beginning_only_moves_everything() -> None:
    """With a bar of rest before it the same page is played, one bar later."""
    later = PAGE
    for name in ("Flutes 1. 2", "Violin 1", "Violoncello", "Viola"):
        later = later.replace(f"part {name}\n", f"part {name}\nR | ")
    length = page(PAGE).bars[0].length
    before, after = (play(page(text), Forces()) for text in (PAGE, later))
    assert [line.id for line in before.lines] == [line.id for line in after.lines]
    moved = [(t.line, t.bar - 1, t.start - length, t.stop - length, *t[7:]) for t in after.tones]
    assert moved == [(t.line, t.bar, t.start, t.stop, *t[7:]) for t in before.tones]


@pytest.mark.corpus
@pytest.mark.parametrize(
    "name",
    [
        "orchestra/Boulanger_Dun_matin_de_printemps.mxl",
        "shared-staves/Karlowicz_Op.10_2.musicxml",
        "pairs/Chopin_Op.21_1_bars1-70_piano.musicxml",
    ],
)
def test_no_played_note_is_lost(scores: Path, name: str) -> None:
    """Every note that is neither rest, cue nor hidden is in a tone, and no other is."""
    score = read(scores / name)
    played = {
        note.id
        for part in score.parts
        for note in part.notes
        if note.kind != "rest" and not note.cue and not note.hidden
    }
    tones = play(score, Forces()).tones
    assert {note for tone in tones for note in tone.notes} == played
    assert all(tone.stop >= tone.start and tone.stop_s >= tone.start_s >= 0.0 for tone in tones)
    assert all(tone.players >= 1.0 and 1.0 <= tone.level <= 8.0 for tone in tones)


@pytest.mark.corpus
@pytest.mark.parametrize(
    "name",
    ["orchestra/Boulanger_Dun_matin_de_printemps.mxl", "shared-staves/Karlowicz_Op.10_2.musicxml"],
)
def test_every_tie_joins_two_notes_of_one_tone(scores: Path, name: str) -> None:
    """What the reader has found to be tied is in one tone, also where bars are too long."""
    score = read(scores / name)
    tones = play(score, Forces()).tones
    joined = {pair for tone in tones for pair in combinations(sorted(tone.notes), 2)}
    parted = []
    for part in score.parts:
        played = {note.id for note in part.notes if is_played(note) and not note.grace}
        for tie in part.spans_of("tie"):
            ends = {end.note for end in (tie.start, tie.stop) if end is not None}
            if len(ends) == 2 and ends <= played and tuple(sorted(ends)) not in joined:
                parted.append(ends)
    assert len(parted) <= 12  # a whole section into a part of it, and touches above a stopped note
