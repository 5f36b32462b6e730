"""Kinds of file: what is read, and what is refused in one sentence."""

import contextlib
import gc
import io
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest

from redstave.base.errors import InputError
from redstave.reading import read, read_bytes, xml_of
from tests.reading.inline import NOTE, codes, score_of_bars, xml_of_bars, xml_of_parts

SIMPLE = xml_of_bars(NOTE.format(""))
CONTAINER = '<container><rootfiles><rootfile full-path="{}"/></rootfiles></container>'


def archive(**files: bytes) -> bytes:
    """Return a zip archive; "__" in a name stands for "/", a trailing "_" for a suffix .xml."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files.items():
            packed.writestr(name.replace("__", "/") + ".xml", data)
    return content.getvalue()


def packed(path: str) -> bytes:
    """Return an archive with two scores whose container names the path."""
    other = xml_of_bars(NOTE.format(""), NOTE.format(""))
    return archive(
        **{"META-INF__container": CONTAINER.format(path).encode(), "first": SIMPLE, "second": other}
    )


def test_the_container_names_the_score() -> None:
    """In a compressed score the file that the container names is read."""
    score = read_bytes(packed("second.xml"), "x.mxl")
    assert len(score.bars) == 2
    assert score.origin.format == "mxl"
    assert score.problems == ()


@pytest.mark.parametrize("path", ["../second.xml", "/etc/passwd", "none.xml"])
def test_a_container_that_names_nothing_is_a_problem(path: str) -> None:
    """A name that is not in the archive reaches nothing outside; the first score is read."""
    score = read_bytes(packed(path), "x.mxl")
    assert len(score.bars) == 1
    assert codes(score) == ["container"]


def test_an_archive_without_container_is_read() -> None:
    """Without a container the first XML in the archive is read, and that is a problem."""
    assert codes(read_bytes(archive(score=SIMPLE), "x.mxl")) == ["container"]


def test_content_decides_not_the_name() -> None:
    """Plain XML called .mxl and an archive called .musicxml are both read."""
    assert read_bytes(SIMPLE, "x.mxl").origin.format == "musicxml"
    assert read_bytes(archive(score=SIMPLE), "x.musicxml").origin.format == "mxl"


@pytest.mark.parametrize(
    "data",
    [
        archive(),
        archive(notes=b"<opus/>"),
        b"PK\x03\x04" + b"no archive at all" * 20,
        archive(score=SIMPLE)[:-40],
        archive(**{f"file{number}": b"x" for number in range(1001)}),
        archive(score=b"<a>" + b" " * 40_000_000 + b"</a>"),
    ],
    ids=["empty", "opus inside", "garbage", "cut off", "many files", "bomb"],
)
def test_bad_archives_are_refused(data: bytes) -> None:
    """An archive that is damaged, empty or a bomb is one sentence."""
    with pytest.raises(InputError, match=r"^x\.mxl .*\.$"):
        read_bytes(data, "x.mxl")


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "is empty"),
        (b" \n\0", "is empty"),
        (b"not xml", "is no MusicXML"),
        (SIMPLE[:-30], "not well-formed"),
        (SIMPLE.replace(b"<step>", b"<stop>", 1), "line 1"),
        (b"<opus/>", "opus"),
        (b"<mei xmlns='http://www.music-encoding.org/ns/mei'/>", "MEI"),
        (b"<html><body/></html>", "web page"),
        (b"<inventory/>", "begins with <inventory>"),
        (b"MThd\0\0\0\6", "MIDI"),
        (b"<score-partwise/>", "holds no bar"),
        (xml_of_parts({"P1": ""}), "holds no bar"),
        (b"\xff\xfe\0\0", "x.xml"),
        (SIMPLE.replace(b"P1", b"P\xff1"), "not well-formed"),
    ],
)
def test_what_is_no_score_is_refused_in_one_sentence(data: bytes, said: str) -> None:
    """Each file that is no MusicXML is named for what it is."""
    with pytest.raises(InputError, match=said) as caught:
        read_bytes(data, "x.xml")
    assert str(caught.value).startswith("x.xml ")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "subset",
    [
        '<!ENTITY a "aaaa">',
        '<!ENTITY a SYSTEM "file:///etc/hostname">',
        '<!ENTITY % a SYSTEM "http://localhost:1/x">',
        '<!ENTITY a "b"><!ENTITY c "&a;&a;&a;&a;&a;&a;&a;&a;">',
    ],
)
def test_entities_are_refused(subset: str) -> None:
    """A file that declares entities is refused before anything is expanded or fetched."""
    doctype = f"<!DOCTYPE score-partwise [{subset}]>".encode()
    with pytest.raises(InputError, match="entities"):
        read_bytes(doctype + SIMPLE, "x.xml")


def test_the_usual_doctype_is_not_fetched() -> None:
    """The public doctype of MusicXML files is allowed; its address is never asked."""
    doctype = (
        b'<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
        b'"http://localhost:1/partwise.dtd">'
    )
    assert read_bytes(doctype + SIMPLE, "x.xml").parts == read_bytes(SIMPLE, "x.xml").parts


@pytest.mark.parametrize("depth", [300, 100_000])
def test_deep_nesting_is_refused(depth: int) -> None:
    """Elements nested beyond reason end the reading with a sentence, not a crash."""
    nest = b"<a>" * depth + b"</a>" * depth
    with pytest.raises(InputError, match="nested more deeply"):
        read_bytes(SIMPLE.replace(b"<attributes>", nest + b"<attributes>", 1), "x.xml")


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-be", "utf-16-le"])
def test_encodings_with_a_mark_are_read(encoding: str) -> None:
    """A byte-order mark and UTF-16 change nothing."""
    text = SIMPLE.decode().replace("<step>C", "<step>D")
    if encoding.startswith("utf-16-"):
        text = "\ufeff" + text
    score = read_bytes(text.encode(encoding), "x.xml")
    assert score.parts[0].notes[0].step == "D"
    assert score.ticks_per_quarter == 1
    assert score.problems == ()


@pytest.mark.parametrize("root", ['xmlns="urn:music"', 'xmlns:m="urn:music"'])
def test_namespaced_scores_are_read(root: str) -> None:
    """A namespace on the root, with or without prefix, changes nothing."""
    text = SIMPLE.decode()
    if root.startswith("xmlns:m"):
        text = text.replace("</", "<\0").replace("<", "<m:").replace("<m:\0", "</m:")
    text = text.replace("score-partwise ", f"score-partwise {root} ", 1)
    plain = read_bytes(SIMPLE, "x.xml")
    spaced = read_bytes(text.encode(), "x.xml")
    bars = [replace(part, bar_path=plain.parts[0].bar_path) for part in spaced.parts]
    assert (tuple(bars), spaced.bars, spaced.problems) == (plain.parts, plain.bars, ())


def test_timewise_scores_are_read() -> None:
    """A score ordered by bars gives the same notes as one ordered by parts."""
    first, second = NOTE.format(""), NOTE.format("").replace("C<", "D<")
    music = f'<measure number="1">{first}</measure><measure number="2">{second}</measure>'
    partwise = read_bytes(xml_of_parts({"A": music, "B": music}), "x.xml")
    bars = "".join(
        f'<measure number="{number}"><part id="A">{note}</part><part id="B">{note}</part></measure>'
        for number, note in ((1, first), (2, second))
    )
    listed = "".join(
        f'<score-part id="{part}"><part-name>{part}</part-name></score-part>' for part in "AB"
    )
    timewise = read_bytes(
        f"<score-timewise><part-list>{listed}</part-list>{bars}</score-timewise>".encode(), "x.xml"
    )
    assert timewise.bars == partwise.bars
    for ours, theirs in zip(timewise.parts, partwise.parts, strict=True):
        assert [note._replace(line=0) for note in ours.notes] == [
            note._replace(line=0) for note in theirs.notes
        ]


def test_a_part_may_be_missing_from_a_timewise_bar() -> None:
    """Where a part does not stand in a bar it is silent, and its next bar keeps its place."""
    note = NOTE.format("")
    bars = (
        f'<measure number="1"><part id="A">{note}</part></measure>'
        f'<measure number="2"><part id="A">{note}</part><part id="B">{note}</part></measure>'
    )
    score = read_bytes(f"<score-timewise>{bars}</score-timewise>".encode(), "x.xml")
    assert [note.bar for note in score.parts[1].notes] == [1]
    assert "empty-bar" in codes(score)


def test_files_that_cannot_be_opened_are_one_sentence(tmp_path: Path) -> None:
    """A missing file and a folder are InputErrors."""
    with pytest.raises(InputError, match="cannot be read"):
        read(tmp_path / "none.mxl")
    with pytest.raises(InputError, match="cannot be read"):
        read(tmp_path)


def test_the_origin_tells_name_digest_and_software(tmp_path: Path) -> None:
    """A score knows the file it came from; the digest is SHA-256 of its bytes."""
    path = tmp_path / "entry.musicxml"
    head = "<identification><encoding><software>Pen 1</software></encoding></identification>"
    path.write_bytes(SIMPLE.replace(b"<part-list>", head.encode() + b"<part-list>", 1))
    origin = read(path).origin
    assert (origin.name, origin.format, origin.encoding_software) == (
        "entry.musicxml",
        "musicxml",
        "Pen 1",
    )
    assert len(origin.sha256) == 64


def test_the_xml_of_every_kind_of_file_can_be_had() -> None:
    """Archive, XML and tiny score all give MusicXML."""
    assert xml_of(SIMPLE, "x.xml") == (SIMPLE, "musicxml", "")
    assert xml_of(archive(score=SIMPLE), "x.mxl")[0] == SIMPLE
    assert xml_of(b"part Flute\nC5/1 |", "x.tiny")[0].startswith(b"<?xml")


def test_titles_makers_and_parts_come_from_the_head() -> None:
    """Work and movement make the title; display names win over names; groups keep their parts."""
    head = (
        b"<work><work-title>Suite</work-title></work><movement-title>Air</movement-title>"
        b"<identification><creator type='composer'>N. N.</creator></identification>"
        b"<part-list><part-group number='1' type='start'><group-name>Winds</group-name>"
        b"<group-symbol>bracket</group-symbol></part-group>"
        b"<score-part id='P1'><part-name>Clar</part-name><part-name-display>"
        b"<display-text>Clarinet in B</display-text><accidental-text>flat</accidental-text>"
        b"</part-name-display><part-abbreviation>Cl.</part-abbreviation>"
        b"<score-instrument id='I1'><instrument-name>Clarinet</instrument-name>"
        b"<instrument-sound>wind.reed.clarinet.bflat</instrument-sound></score-instrument>"
        b"<midi-instrument id='I1'><midi-program>72</midi-program></midi-instrument></score-part>"
        b"<part-group number='1' type='stop'/></part-list>"
    )
    _, _, rest = SIMPLE.partition(b"</part-list>")
    score = read_bytes(b"<score-partwise>" + head + rest, "x.xml")
    part = score.parts[0]
    assert score.title == "Suite: Air"
    assert ("composer", "N. N.") in score.metadata
    assert (part.name, part.abbreviation) == ("Clarinet in B♭", "Cl.")
    assert part.instruments[0].sound == "wind.reed.clarinet.bflat"
    assert part.instruments[0].midi_program == 72
    assert score.groups[0][:5] == ("1", "bracket", "Winds", "P1", "P1")


def test_unsafe_part_ids_are_made_safe() -> None:
    """Ids with spaces, dots or a leading digit become XML ids, and equal ones are told apart."""
    score = read_bytes(
        xml_of_parts(
            {
                part: f'<measure number="1">{NOTE.format("")}</measure>'
                for part in ("1 a", "1.a", "Ä")
            }
        ),
        "x.xml",
    )
    assert [part.id for part in score.parts] == ["p1_a", "p1_a_2", "p_"]
    assert score.parts[1].notes[0].id == "p1_a_2.0.0"


def test_reading_the_same_bytes_twice_gives_the_same_score() -> None:
    """Nothing of one reading is left for the next."""
    assert score_of_bars(NOTE.format("")) == score_of_bars(NOTE.format(""))


@pytest.mark.parametrize("data", [SIMPLE, SIMPLE[:-30]])
def test_the_cycle_collector_runs_again_after_reading(data: bytes) -> None:
    """Reading pauses the collector and leaves it as it was, whether the file is sound or not."""
    assert gc.isenabled()
    with contextlib.suppress(InputError):
        read_bytes(data, "x.xml")
    assert gc.isenabled()


def test_many_small_files_leave_nothing_behind() -> None:
    """Reading a small file again and again does not make the process grow: cycles are collected."""
    data = xml_of_bars(*[NOTE.format("")] * 20)
    for _ in range(20):
        read_bytes(data, "x.xml")
    gc.collect()
    before = len(gc.get_objects())
    for _ in range(200):
        read_bytes(data, "x.xml")
    assert len(gc.get_objects()) - before < 20_000
