"""Planting changes what it says it changes, and is found by place, not by luck."""

from collections.abc import Iterator

import pytest

from benchmarks.seeding import levels, pitches, signs, whole
from benchmarks.seeding.catalogue import KINDS
from benchmarks.seeding.kind import Find, Kind, Place, seed, spoken
from benchmarks.seeding.page import Copy, Master
from redstave.analysis import Analysis
from redstave.checks import catalogue
from redstave.model.finding import Finding, Spot
from redstave.model.score import Score
from redstave.reading import read_bytes
from redstave.reading.tiny import to_musicxml

TINY = """\
title: Quartet
meter: 4/4
tempo: 96 "Andante"
pitch: sounding
part Flute 1
@A mf C5/4( D5) E5 E5 | F5 G5 A5 A5 | C5/1 | C5/1:fermata |
part Bassoon 1 | clef=bass
p < C3/4 D3 E3 F3 = | f G3/1 | G3/1 | G3/1:fermata |
part Violin 1
mf C5/4 D5 E5 F5 | G5/1 | A5/1 | C5/1:fermata |
part Contrabass | clef=bass | transpose=-12
mf C2/4 D2 E2 F2 | G2/1 | C2/1 | C2/1:fermata |
"""


@pytest.fixture
def tiny() -> Master:
    """Return a tiny score, read."""
    xml = to_musicxml(TINY)
    return Master("tiny", xml, Analysis(read_bytes(xml, "tiny.xml")))


def planted(of: Master, find: Find, at: int = 0) -> tuple[Place, Score]:
    """Plant one fault and return where it is and the score as it then reads."""
    place = list(find(of))[at]
    copy = Copy(of)
    place.plant(copy)
    return place, copy.read().score


def pitches_of(score: Score, part: int, bar: int) -> list[float]:
    """Return the written pitches of a bar."""
    return [note.written_midi for note in score.parts[part].notes if note.bar == bar]


def words_of(score: Score, part: int) -> list[str]:
    """Return the words printed over a part."""
    return [mark.text for mark in score.parts[part].marks_of("word")]


def levels_of(score: Score, part: int) -> list[str]:
    """Return the levels printed for a part."""
    return [mark.name for mark in score.parts[part].marks_of("level")]


def _without_lines(score: Score) -> list[object]:
    """Return the notes and marks without their lines in the file."""
    return [one._replace(line=0) for p in score.parts for one in (*p.notes, *p.marks)]


def test_a_copy_reads_like_its_master(tiny: Master) -> None:
    """Opening a copy changes nothing, and planting leaves the master alone."""
    copied = Copy(tiny).read().score
    assert _without_lines(copied) == _without_lines(tiny.score)
    before = tiny.xml
    planted(tiny, pitches.below_compass)
    assert tiny.xml == before


def test_a_note_is_lowered_below_the_compass(tiny: Master) -> None:
    """One note goes down by octaves, four semitones or more below the flute's C4."""
    place, score = planted(tiny, pitches.below_compass)
    assert (place.bar, place.parts) == (0, ("P1",))
    assert pitches_of(score, 0, 0) == [48, 74, 76, 76]


def test_a_stop_gets_its_notes_and_its_word(tiny: Master) -> None:
    """Two notes stand on one stem of the violin, under non div."""
    place, score = planted(tiny, pitches.both_below_second_string)
    assert place.parts == ("P3",)
    assert pitches_of(score, 2, 0)[:2] == [58, 60]
    assert words_of(score, 2) == ["non div."]
    assert score.parts[2].notes[1].chord


def test_a_hairpin_is_turned_or_levelled(tiny: Master) -> None:
    """Turning changes the hairpin, levelling the level after it, taking removes that level."""
    kinds = {span.name for span in planted(tiny, levels.swell_turned)[1].parts[1].spans}
    assert kinds == {"diminuendo"}
    assert levels_of(planted(tiny, levels.swell_levelled)[1], 1) == ["p", "p"]
    assert levels_of(planted(tiny, levels.swell_without_goal)[1], 1) == ["p"]


def test_slurs_and_words_are_printed_where_they_are_said_to_be(tiny: Master) -> None:
    """A slur joins two equal notes; arco stands over the flute."""
    place, score = planted(tiny, signs.wind_slur_over_equals)
    slurs = [s for s in score.parts[0].spans_of("slur") if s.start and s.start.bar == place.bar]
    assert place.bar == 1
    assert len(slurs) == 1
    assert words_of(planted(tiny, signs.bowed_word_for_winds)[1], 0)[-1] == "arco"


def test_a_pause_is_taken_from_some_parts_only(tiny: Master) -> None:
    """A third of the parts lose their pause, and the place names them."""
    place, score = planted(tiny, signs.pause_taken)
    without = {part.id for part in score.parts if not any(part.marks_of("fermata"))}
    assert without == set(place.parts)
    assert len(without) == 1


def test_whole_scores_lose_tempo_letters_and_order(tiny: Master) -> None:
    """Tempo and letters are gone; the basses stand on top."""
    tempo = planted(tiny, whole.tempo_taken)[1]
    assert [m for part in tempo.parts for m in part.marks_of("tempo")] == []
    letters = planted(tiny, whole.letters_taken)[1]
    assert [m for part in letters.parts for m in part.marks_of("rehearsal")] == []
    assert planted(tiny, whole.strings_on_top)[1].parts[0].name == "Contrabass"


def _finding(bar: int, part: str) -> Finding:
    return Finding("x", (Spot(bar, 0, part, 1, bar),), ())


@pytest.mark.parametrize(
    ("bar", "part", "found"), [(4, "P1", True), (6, "P1", True), (7, "P1", False), (5, "P2", False)]
)
def test_found_means_in_that_part_within_a_bar(bar: int, part: str, found: bool) -> None:
    """A finding elsewhere does not count."""
    place = Place(5, 5, ("P1",), lambda _: None)
    assert spoken([_finding(bar, part)], place) is found


def test_what_was_said_before_does_not_count(tiny: Master) -> None:
    """A fault that is planted is found; one that changes nothing is missed."""
    slug = ("pitch-outside-instrument",)
    real = seed(Kind("low", slug, (), pitches.below_compass), [tiny], 1, 1)
    assert (real.planted, real.missed) == (1, ())

    def nothing(_: Master) -> Iterator[Place]:
        yield Place(0, 0, ("P1",), lambda _: None)

    idle = seed(Kind("nothing", slug, (), nothing), [tiny], 1, 1)
    assert (idle.planted, len(idle.missed)) == (1, 1)


def test_every_kind_names_checks_that_exist() -> None:
    """At least twenty-five kinds, each with a name of its own and checks of the catalogue."""
    assert len({kind.name for kind in KINDS}) == len(KINDS) >= 25
    assert {slug for kind in KINDS for slug in kind.slugs} <= catalogue().keys()
