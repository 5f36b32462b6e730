"""A blind file names nobody, and is otherwise the same page."""

from pathlib import Path

import pytest
from lxml import etree

from redstave.model.same_page import page_of
from redstave.reading import blind, read_bytes, said_of_makers

PAGE = """<?xml version="1.0" encoding="UTF-8"?>
<!-- made by Wilhelmina Quick -->
<?who Wilhelmina Quick?>
<score-partwise version="4.0">
  <work><work-title>Evening, set by W. Quick</work-title></work>
  <identification>
    <creator type="composer">Anselm Farrow</creator>
    <creator type="arranger">Wilhelmina
Quick</creator>
    <rights>(c) Wilhelmina Quick</rights>
    <encoding><encoder>W. Quick</encoder><software>A program</software>
      <encoding-date>2026-05-01</encoding-date></encoding>
    <miscellaneous><miscellaneous-field name="school">Quick's</miscellaneous-field></miscellaneous>
  </identification>
  <credit page="1"><credit-type>title</credit-type><credit-words>Evening</credit-words></credit>
  <credit page="1"><credit-words>orch. Wilhelmina Quick</credit-words></credit>
  <part-list><score-part id="P1"><part-name>Flute</part-name>
    <player id="x"><player-name>Wilhelmina Quick</player-name></player></score-part></part-list>
  <part id="P1"><measure number="1">
    <attributes><divisions>1</divisions></attributes>
    <direction><direction-type>
      <words>Quick, as Wilhelmina likes it; quick</words></direction-type></direction>
    <note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration></note>
  </measure></part>
</score-partwise>
"""


def blinded() -> bytes:
    """The page, blind, with its composer known from the original."""
    return blind(PAGE.encode(), "Juniper.musicxml", "Spring", {"Anselm Farrow"})


def test_nobody_is_named_but_the_composer_of_the_set_piece() -> None:
    """The maker's name is gone from titles, makers, credits, players, comments and the page."""
    text = blinded().decode()
    assert "Wilhelmina" not in text
    assert "W. Quick" not in text
    assert "Quick" not in text.replace("quick", "")
    assert "Anselm Farrow" in text
    assert "(sealed), as (sealed) likes it; quick" in text


def test_the_title_becomes_the_seasons() -> None:
    """The season's name stands where the piece's stood, in the head and on the page."""
    root = etree.fromstring(blinded())
    assert [one.text for one in root.iter("work-title")] == ["Spring"]
    assert [one.text for one in root.iter("credit-words")] == ["Spring", "(sealed)"]


def test_every_element_keeps_its_line_and_path() -> None:
    """Only texts change: places found in the blind file are those of the file that was sent."""

    def lines(xml: bytes) -> list[tuple[object, int | None]]:
        tree = etree.fromstring(xml).getroottree()
        return [(tree.getpath(one), one.sourceline) for one in tree.iter()]

    sent = lines(PAGE.encode())
    assert lines(blinded()) == sent


def test_a_page_that_names_nobody_is_the_same_page() -> None:
    """Where there is nothing to seal nothing but the title changes."""
    text = PAGE[: PAGE.index("<work>")] + PAGE[PAGE.index("<part-list>") :]
    sent = read_bytes(text.encode(), "a.musicxml")
    seen = read_bytes(blind(text.encode(), "a", "Spring", {"Wilhelmina Quick"}), "a.musicxml")
    assert page_of(seen).parts == page_of(sent).parts
    assert seen.metadata == sent.metadata


@pytest.mark.corpus
def test_real_files_keep_their_music(scores: Path) -> None:
    """Blinding real files leaves parts, bars, problems and ids as they are."""
    found = sorted(scores.rglob("*.musicxml"), key=lambda path: path.stat().st_size)[:4]
    assert found
    for path in found:
        data = path.read_bytes()
        sent, seen = read_bytes(data, path.name), read_bytes(blind(data, "x", "Spring"), path.name)
        assert [(note.id, note.line, note.path) for part in seen.parts for note in part.notes] == [
            (note.id, note.line, note.path) for part in sent.parts for note in part.notes
        ]
        assert seen.problems == sent.problems


def test_makers_are_what_a_blind_file_would_hide() -> None:
    """What a set piece says of its makers is what entries may repeat."""
    assert "Anselm Farrow" in said_of_makers(PAGE.encode(), "piano.musicxml")
