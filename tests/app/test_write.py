"""Writing an entry: the ending of the name tells the kind of file, and no other is guessed."""

import io
import zipfile
from pathlib import Path

import pytest
from lxml import etree
from mido import MidiFile

from redstave import app
from redstave.analysis import Analysis
from redstave.base.errors import InputError
from redstave.model.same_page import same_page
from redstave.reading import read


@pytest.fixture
def analysis(tmp_path: Path) -> Analysis:
    """A small entry."""
    path = tmp_path / "entry.tiny"
    path.write_text("title: Two\npart Flute\np C5/2 D5 |.\npart Viola\nC4/1 |.\n", encoding="utf-8")
    return app.open_entry(path)


@pytest.mark.parametrize("name", ["copy.musicxml", "copy.MXL", "copy.xml"])
def test_the_page_is_written(analysis: Analysis, tmp_path: Path, name: str) -> None:
    """MusicXML, compressed or not, is read as the same page."""
    app.write_entry(analysis, tmp_path / name)
    assert same_page(read(tmp_path / name), analysis.score)


def test_a_compressed_file_is_packed_as_the_standard_asks(
    analysis: Analysis, tmp_path: Path
) -> None:
    """First the media type, unpacked, then a container that names the score (MusicXML 4.0)."""
    app.write_entry(analysis, tmp_path / "copy.mxl")
    with zipfile.ZipFile(tmp_path / "copy.mxl") as archive:
        first = archive.infolist()[0]
        assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        assert archive.read("mimetype") == b"application/vnd.recordare.musicxml"
        container = etree.fromstring(archive.read("META-INF/container.xml"))
        (file,) = container.iter("rootfile")
        assert file.get("full-path") in archive.namelist()


def test_midi_is_written(analysis: Analysis, tmp_path: Path) -> None:
    """A .mid file holds the title and a stream for each line."""
    app.write_entry(analysis, tmp_path / "listen.mid")
    file = MidiFile(file=io.BytesIO((tmp_path / "listen.mid").read_bytes()))
    assert [stream.name for stream in file.tracks] == ["Two", "Flute", "Viola"]


def test_the_same_entry_gives_the_same_bytes(analysis: Analysis, tmp_path: Path) -> None:
    """Whatever the hour, each kind of file is the same byte by byte."""
    for name in ("a.musicxml", "a.mxl", "a.mid"):
        app.write_entry(analysis, tmp_path / name)
        again = tmp_path / f"again-{name}"
        app.write_entry(analysis, again)
        assert again.read_bytes() == (tmp_path / name).read_bytes()


@pytest.mark.parametrize("name", ["copy", "copy.pdf"])
def test_another_ending_is_refused(analysis: Analysis, tmp_path: Path, name: str) -> None:
    """The sentence names the endings there are, and nothing is written."""
    with pytest.raises(InputError, match=r"\.musicxml, \.xml, \.mxl, \.mid"):
        app.write_entry(analysis, tmp_path / name)
    assert not (tmp_path / name).exists()


def test_a_place_that_cannot_be_written_is_named(analysis: Analysis, tmp_path: Path) -> None:
    """A folder that is not there gives one sentence."""
    with pytest.raises(InputError, match="cannot be written"):
        app.write_entry(analysis, tmp_path / "nowhere" / "copy.mid")
