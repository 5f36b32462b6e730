"""The demo's music: sources and pages agree, every bar is full, every planted fault is a place."""

import re
from collections.abc import Iterator
from fractions import Fraction
from importlib.resources import files

import pytest
from lxml import etree

from redstave.reading.tiny import to_musicxml

NAMES = ("piano", "orchestra")
SOURCES_ONLY = ("larch", "sorrel", "flint")  # written as MusicXML when the demo is set up
BARS = 40
TABLE_ROW = re.compile(r"^\| (\d+) \| ([^|]+) \| ([a-z-]+) \|$", re.M)


def page(name: str) -> bytes:
    """Return the MusicXML of one of the demo's scores."""
    if name in SOURCES_ONLY:
        return to_musicxml(demo(f"{name}.tiny").decode("utf-8"))
    return demo(f"{name}.musicxml")


def demo(name: str) -> bytes:
    """Return the bytes of one of the demo's files."""
    return files("redstave").joinpath("app", "demo", name).read_bytes()


def parts(name: str) -> Iterator[tuple[str, list[etree._Element]]]:
    """Yield the printed name and the measures of each part of a page."""
    root = etree.fromstring(page(name))
    printed = {part.get("id"): part.findtext("part-name") for part in root.iter("score-part")}
    for part in root.findall("part"):
        yield printed[part.get("id")], part.findall("measure")


def ends_of_voices(measure: etree._Element, divisions: int) -> dict[str, Fraction]:
    """Return where each voice of a measure ends, in quarters, walking as MusicXML prescribes."""
    cursor, ends = 0, {}
    for item in measure:
        length = int(item.findtext("duration", "0"))
        if item.tag == "backup":
            cursor -= length
        elif item.tag == "forward" or (item.tag == "note" and item.find("chord") is None):
            cursor += length
        if item.tag == "note":
            voice = item.findtext("voice", "1")
            ends[voice] = max(ends.get(voice, Fraction()), Fraction(cursor, divisions))
    return ends


@pytest.mark.parametrize("name", NAMES)
def test_page_is_made_from_its_source(name: str) -> None:
    """The MusicXML that is shipped is what its tiny source generates, byte for byte."""
    assert to_musicxml(demo(f"{name}.tiny").decode("utf-8")) == demo(f"{name}.musicxml")


@pytest.mark.parametrize("name", [*NAMES, *SOURCES_ONLY])
def test_every_bar_of_every_voice_is_full(name: str) -> None:
    """Each of the forty bars of each part holds three quarters in every voice it has."""
    for printed, measures in parts(name):
        assert len(measures) == BARS, printed
        divisions = int(measures[0].findtext("attributes/divisions"))
        for measure in measures:
            ends = ends_of_voices(measure, divisions)
            assert ends, (printed, measure.get("number"))
            assert set(ends.values()) == {Fraction(3)}, (printed, measure.get("number"), ends)


def test_piano_and_orchestra_have_the_same_bars_and_keys() -> None:
    """The orchestration keeps the original's bars: numbers, and key changes in concert pitch."""

    def frame(name: str) -> list[tuple[str, str]]:
        concert = ("Piano", "Violin I")
        measures = next(measures for printed, measures in parts(name) if printed in concert)
        return [(m.get("number"), m.findtext("attributes/key/fifths", "")) for m in measures]

    assert frame("piano") == frame("orchestra")


def test_every_planted_fault_names_a_bar_and_a_stave_that_plays_there() -> None:
    """Each row of the table of planted faults points at notes: a stave of the page, not resting."""
    playing = {
        (measure.get("number"), printed)
        for printed, measures in parts("orchestra")
        for measure in measures
        if measure.find("note/pitch") is not None
    }
    rows = TABLE_ROW.findall(demo("planted.md").decode("utf-8"))
    assert {(bar, stave) for bar, stave, _ in rows} <= playing
    assert len(rows) == len(set(rows)) == 14
