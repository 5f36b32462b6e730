"""Tempos of real scores against an independent library, and durations against common sense."""

import warnings
import zipfile
from pathlib import Path

import pytest
from lxml import etree

from redstave.model.line import TempoMap
from redstave.players.tempo import tempo_map, tempo_points
from redstave.players.tempo_course import Stretch, course
from redstave.players.tempo_marks import meters, statements
from redstave.reading import read

pytestmark = pytest.mark.corpus

NAMES = [
    "Beach_Op.32_2",
    "Beach_Op.32_3",
    "Beethoven_Op.21_1",
    "Beethoven_Op.68_3",
    "Boulanger_Dun_matin_de_printemps",
    "Haydn_104_1",
]


def top_part(file: Path) -> bytes:
    """Return the score with its top part only: the tempo stands there."""
    with zipfile.ZipFile(file) as bundle:
        name = next(one for one in bundle.namelist() if one.endswith("xml") and "META" not in one)
        root = etree.fromstring(bundle.read(name))
    for kind in ("part", "part-list/score-part"):
        for extra in root.findall(kind)[1:]:
            extra.getparent().remove(extra)  # type: ignore[union-attr]
    return etree.tostring(root)


@pytest.mark.parametrize("name", NAMES)
def test_tempos_begin_where_music21_finds_them(scores: Path, name: str, tmp_path: Path) -> None:
    """At each metronome mark or tempo for playback that music21 finds, ours is the same.

    Changes by words only are ours alone; without them and without fermatas, all seconds agree.
    """
    music21 = pytest.importorskip("music21")
    file = scores / "orchestra" / f"{name}.mxl"
    (tmp_path / "top.musicxml").write_bytes(top_part(file))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = music21.converter.parse(tmp_path / "top.musicxml").metronomeMarkBoundaries()
    score = read(file)
    tempo, _ = tempo_map(score)
    quarter = score.ticks_per_quarter
    assert found
    for start, _, mark in found:
        assert tempo.tempo_at(start * quarter) == pytest.approx(mark.getQuarterBPM())
    stated = course(score, statements(score), meters(score)).tempos
    steady = [Stretch(one.tick, one.quarters, one.quarters) for one in stated]
    plain = TempoMap(quarter, tempo_points(steady, [], [], quarter), False)
    second = 0.0
    for start, stop, mark in found:
        assert plain.seconds(start * quarter) == pytest.approx(second)
        second += mark.durationToSeconds(stop - start)


# Minutes without repeats; performances on record, from memory, as wide limits.
MINUTES = [
    ("Beethoven_Op.67_1", 4.5, 6.5),
    ("Beethoven_Op.67_2", 4, 11),  # no tempo at the beginning: ours is a guess
    ("Beethoven_Op.21_1", 5.5, 8),
    ("Brahms_Op.68_3", 3, 5.5),
    ("Haydn_104_1", 5.5, 9),
    ("Boulanger_Dun_matin_de_printemps", 4, 6),
]


@pytest.mark.parametrize(("name", "least", "most"), MINUTES)
def test_durations_are_those_of_performances(
    scores: Path, name: str, least: float, most: float
) -> None:
    """A movement lasts about as long as in performance (from memory, no source)."""
    score = read(scores / "orchestra" / f"{name}.mxl")
    tempo, _ = tempo_map(score)
    end = score.bars[-1].start + score.bars[-1].length
    assert least < tempo.seconds(end) / 60 < most


def test_a_tempo_that_only_playback_gives_is_doubted(scores: Path) -> None:
    """Brahms op. 90, III plays in two minutes, three times too fast: “Poco Allegretto” in 3/8."""
    _, questions = tempo_map(read(scores / "orchestra" / "Brahms_Op.90_3.mxl"))
    assert ("tempo-contradicted", 0) in {(one.code, one.bar) for one in questions}
