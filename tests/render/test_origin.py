"""The page on the piano piece: what it says, and that its picture holds what the match found."""

import re
from importlib.resources import files

import pytest

from redstave.analysis import Analysis
from redstave.reading import read_bytes
from redstave.render.compose import whole_piece
from redstave.render.origin_strips import origin_strips
from redstave.render.origin_view import octave_words, origin_view
from redstave.render.origin_words import bar_runs
from redstave.render.view import OriginView

HEAD = 'title: Path\nmeter: 4/4\nkey: 0\ntempo: 96 "Andante"\npitch: sounding\n'
TUNE = ("E5/4 D5 C5 G4", "A4/2 C5", "D5/4 E5 F5 D5", "E5/1", "G5/4 F5 E5 C5", "A5/2 G5")
BASS = ("C3/2 E3", "F3/2 E3", "B2/2 G2", "C3/1", "C3/2 A2", "F2/2 E3")
PIANO = "part Piano | staves=2\nmf " + " | ".join(
    f"{tune} // {bass}" for tune, bass in zip(TUNE, BASS, strict=True)
)


def entry(flute: str, violin: str, cello: str) -> Analysis:
    """Return the analysis of three parts beside the piano piece."""
    parts = ("Flute", flute), ("Violin I", violin), ("Violoncello | clef=bass", cello)
    music = "".join(f"part {name}\n{bars} |\n" for name, bars in parts)
    page = read_bytes((HEAD + music).encode(), "entry.tiny")
    return Analysis(page, original=read_bytes((HEAD + PIANO + " |\n").encode(), "piano.tiny"))


@pytest.fixture(scope="module")
def shared() -> Analysis:
    """The violins have three bars of the tune, the flute an octave higher the others."""
    high = [re.sub(r"[A-G]\d", lambda n: f"{n[0][0]}{int(n[0][1]) + 1}", bar) for bar in TUNE]
    return entry(
        f"R*3 | mf {' | '.join(high[3:])}",
        f"mf {' | '.join(TUNE[:3])} | R*3",
        f"mf {' | '.join(BASS)}",
    )


def view(analysis: Analysis) -> OriginView:
    """Return the page of an analysis that has its original."""
    found = origin_view(analysis)
    assert found is not None
    return found


def test_without_an_original_there_is_no_page() -> None:
    """An entry alone has nothing to be set beside."""
    page = read_bytes((HEAD + "part Flute\nmf C5/1 |\n").encode(), "entry.tiny")
    assert origin_view(Analysis(page)) is None


def test_lanes_tell_who_has_the_tune_and_in_which_octave(shared: Analysis) -> None:
    """The violins' lane holds bars 1 to 3 as written, the flute's bars 4 to 6, an octave higher."""
    tune = next(strip for strip in view(shared).strips if strip.name == "tune")
    cells = {
        lane.name: [cell.octave if cell else None for cell in lane.cells] for lane in tune.lanes
    }
    assert cells == {"Violin I": [0, 0, 0, None, None, None], "Flute": [None, None, None, 1, 1, 1]}
    assert tune.path == (("1–3", "Violin I"), ("4–6", "Flute an octave higher"))
    assert not any(tune.alone)


def test_the_page_says_what_is_there(shared: Analysis) -> None:
    """All bars and all tones are told in sentences."""
    said = " ".join(view(shared).sentences)
    assert "All 6 bars of the piano piece are in this score, in the piano's key." in said
    assert "100 % sound" in said
    assert "nobody plays" not in said


def test_a_lost_tune_is_crossed_and_told() -> None:
    """Where nobody has the tune its bars are marked, and a sentence counts the tones."""
    found = view(entry("R*6", f"mf {' | '.join(TUNE[:4])} | R*2", f"mf {' | '.join(BASS)}"))
    tune = next(strip for strip in found.strips if strip.name == "tune")
    assert [at for at, alone in enumerate(tune.alone) if alone] == [4, 5]
    assert any("6 of the tune" in sentence for sentence in found.sentences)


def test_the_picture_has_a_block_for_each_voice_and_shapes_for_its_bars(shared: Analysis) -> None:
    """Names of voices and parts are drawn, bands, the octave sign, and a label in words."""
    found = view(shared)
    drawn = origin_strips(found, whole_piece(shared))
    for words in ("tune", "Violin I", "Flute", "8va", "nobody plays them"):
        assert f">{words}" in drawn or words in drawn
    assert drawn.count('class="voice"') == len(found.strips)
    assert re.search(r'aria-label="Carrier strips of [^"]*bars 1 to 6', drawn)


def test_crosses_stand_where_nobody_plays() -> None:
    """Two bars without the tune are two crosses; the legend has one more."""
    lost = entry("R*6", f"mf {' | '.join(TUNE[:4])} | R*2", f"mf {' | '.join(BASS)}")
    assert origin_strips(view(lost), whole_piece(lost)).count('class="nobody"') == 2 + 1


@pytest.mark.parametrize(
    ("octaves", "words"), [(0, ""), (1, " an octave higher"), (-2, " two octaves lower")]
)
def test_octaves_in_words(octaves: int, words: str) -> None:
    """An octave is told by its way and its number."""
    assert octave_words(octaves) == words


def test_bars_that_follow_each_other_are_told_together() -> None:
    """Runs of bars are joined, single ones stand alone."""
    page = read_bytes((HEAD + "part Flute\nmf C5/1 | R*7 |\n").encode(), "entry.tiny")
    assert bar_runs([0, 1, 2, 5], page) == "bars 1–3 and 6"
    assert bar_runs([4], page) == "bar 5"


def test_the_style_knows_the_picture() -> None:
    """Every class of the picture has a rule in the letter's style."""
    sheet = files("redstave.render").joinpath("templates", "letter.css").read_text("utf-8")
    for name in ("voice", "there", "nobody", "octave"):
        assert f".strips .{name}" in sheet
