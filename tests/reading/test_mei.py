"""MEI, held against what music21 and verovio make of the same files, and against MusicXML.

Files of two kinds: written here by hand, and made by verovio from real MusicXML, whose own reading
is then what the MEI must say too.
"""

from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from redstave.base.errors import InputError
from redstave.model.score import Part, Score
from redstave.reading import counts, mei, read_bytes, xml_of

HERE = Path(__file__).parent / "doors"
HEAD = (
    "<mei xmlns='http://www.music-encoding.org/ns/mei' meiversion='5.0'><music><body><mdiv><score>"
)
TAIL = "</score></mdiv></body></music></mei>"
METRE = "meter.count='4' meter.unit='4'"
STAVES = (
    "<staffDef n='1' lines='5' clef.shape='G' clef.line='2'><label>Flauto</label></staffDef>"
    "<staffDef n='2' lines='5' clef.shape='F' clef.line='4'><label>Fagotto</label></staffDef>"
)
ONE = STAVES.partition("<staffDef n='2'")[0]
WHOLE = "<note pname='c' oct='5' dur='1'/>"


def written(*measures: tuple[str, ...], more: str = METRE, staves: str = STAVES) -> bytes:
    """Return a file: of each measure its attributes, then the layer of each stave."""
    music = "".join(
        f"<measure {attributes}>"
        + "".join(
            f"<staff n='{number}'><layer n='1'>{layer}</layer></staff>"
            for number, layer in enumerate(layers, start=1)
        )
        + "</measure>"
        for attributes, *layers in measures
    )
    score = f"<scoreDef {more}><staffGrp>{staves}</staffGrp></scoreDef><section>{music}</section>"
    return f"{HEAD}{score}{TAIL}".encode()


def kinds(part: Part) -> list[tuple[int, str]]:
    """Return bar and kind of what stands in a part."""
    return [(note.bar, note.kind) for note in part.notes]


def test_a_rest_of_many_bars_is_many_bars() -> None:
    """One measure of MEI is as many bars as all staves rest for; numbers and lines go on."""
    rest = "<multiRest num='5'/>"
    data = written(
        ("n='1'", WHOLE, "<mRest/>"),
        ("n='2' right='dbl'", "<clef shape='C' line='3'/>" + rest, rest),
        ("n='7'", WHOLE, WHOLE),
    )
    score = read_bytes(data, "x.mei")
    assert [bar.number for bar in score.bars] == ["1", "2", "3", "4", "5", "6", "7"]
    assert {bar.length for bar in score.bars} == {4 * score.ticks_per_quarter}
    flute, bassoon = score.parts
    resting = [(bar, "rest") for bar in range(1, 6)]
    assert kinds(flute) == [(0, "pitched"), *resting, (6, "pitched")]
    assert kinds(bassoon) == [(0, "rest"), *resting, (6, "pitched")]
    assert [mark.bar for mark in flute.marks_of("barline")] == [5]
    assert [mark.bar for mark in flute.marks_of("clef")][1:] == [1]


def test_a_hairpin_over_a_long_rest_ends_where_it_should() -> None:
    """`tstamp2` counts the measures of the file, of which a long rest is one."""
    rest = "<multiRest num='3'/>"
    hairpin = "<hairpin form='cres' staff='1' tstamp='1' tstamp2='2m+1'/>"
    text = written(("n='1'", WHOLE, WHOLE), ("n='2'", rest, rest), ("n='5'", WHOLE, WHOLE)).decode()
    score = read_bytes(text.replace("</measure>", f"{hairpin}</measure>", 1).encode(), "x.mei")
    (span,) = score.parts[0].spans_of("hairpin")
    assert (span.start.bar, span.stop.bar) == (0, 4)


def test_a_long_rest_beside_music_is_told() -> None:
    """Where another stave plays on it is one bar, and the first problem says that it was more."""
    score = read_bytes(written(("n='1'", "<multiRest num='3'/>", WHOLE)), "x.mei")
    assert len(score.bars) == 1
    assert "rest of many bars beside other music" in score.problems[0].text


def test_an_upbeat_has_no_rests_of_whole_bars() -> None:
    """In a bar that does not fill its metre, a bar's rest is as long as what stands beside it."""
    upbeat = ("n='0' metcon='false'", "<note pname='g' oct='4' dur='4'/>", "<mRest/>")
    score = read_bytes(written(upbeat, ("n='1'", WHOLE, WHOLE)), "x.mei")
    quarter = score.ticks_per_quarter
    assert [bar.length / quarter for bar in score.bars] == [1, 4]
    assert [note.duration / quarter for note in score.parts[1].notes] == [1, 4]


def test_strokes_without_a_pitch_have_their_place() -> None:
    """`loc` counts from the lowest line; MusicXML names the place as under a treble clef."""
    layer = "<note loc='4' dur='2'/><note loc='0' dur='4'/><note dur='4'/>"
    (part,) = read_bytes(written(("n='1'", layer), staves=ONE), "x.mei").parts
    said = [(note.kind, note.step, note.octave) for note in part.notes]
    assert said == [("unpitched", "B", 4), ("unpitched", "E", 4), ("unpitched", "", 0)]


def test_octave_lines_and_small_intervals_sound() -> None:
    """`oct.ges` is what sounds under an octave line; quarter-tones keep their size."""
    layer = (
        "<note pname='c' oct='5' oct.ges='6' dur='4'/><note pname='d' oct='5' dur='4' accid='1qf'/>"
        "<note pname='e' oct='5' dur='4' accid.ges='fu'/><note pname='f' oct='5' dur='4'/>"
    )
    score = read_bytes(written(("n='1'", layer, "<mRest/>")), "x.mei")
    heights = [note.written_midi for note in score.parts[0].notes]
    assert heights == [84.0, 73.5, 75.5, 77.0]


def test_sounding_accidentals_are_believed_where_there_are_any() -> None:
    """A file that writes them means natural where it writes none; of others, the key is asked."""
    two = "<note pname='f' oct='5' dur='2'{}/><note pname='c' oct='5' dur='2'/>"
    for sounding, alters, said in (("", [1, 1], True), (" accid.ges='s'", [1, 0], False)):
        data = written(("n='1'", two.format(sounding), "<mRest/>"), more=f"{METRE} keysig='2s'")
        score = read_bytes(data, "x.mei")
        assert [note.alter for note in score.parts[0].notes] == alters
        assert ("taken from the key" in score.problems[0].text) == said


def test_a_score_of_rests_is_a_score() -> None:
    """A part that only rests is read; one without notes and rests is refused."""
    assert len(read_bytes(written(("n='1'", "<mRest/>", "<mRest/>")), "x.mei").bars) == 1
    with pytest.raises(InputError, match="without a note or rest"):
        read_bytes(written(("n='1'", "<mSpace/>", "<mSpace/>")), "x.mei")


OWN = {
    "study": (HERE / "study.mei").read_bytes(),
    "chords and graces": written(
        (
            "n='1'",
            "<chord dur='2'><note pname='c' oct='5'/><note pname='e' oct='5'/></chord>"
            "<note pname='d' oct='5' dur='8' grace='acc'/><beam><note pname='c' oct='5' dur='8'/>"
            "<note pname='b' oct='4' dur='8'/></beam><rest dur='4'/>",
            "<mRest/>",
        ),
        (
            "n='2'",
            "<tuplet num='3' numbase='2'><note pname='c' oct='5' dur='4'/>"
            "<rest dur='4'/><note pname='d' oct='5' dur='4'/></tuplet><rest dur='2'/>",
            "<note pname='c' oct='3' dur='2' dots='1'/><space dur='8'/><rest dur='8'/>",
        ),
    ),
}


@pytest.mark.parametrize("name", OWN)
def test_counts_agree_with_music21(name: str) -> None:
    """As many bars, notes and rests in each stave as music21 reads from the same MEI.

    It leaves out what stands in a tremolo, which is taken out for it.
    """
    music21 = pytest.importorskip("music21")
    plain = OWN[name].decode().replace("<bTrem>", "").replace("</bTrem>", "")
    parsed = music21.converter.parseData(plain, format="mei")
    theirs = [
        (
            len(part.getElementsByClass("Measure")),
            sum(len(element.pitches) for element in part.recurse().notes),
            sum(not rest.style.hideObjectOnPrint for rest in part[music21.note.Rest]),
        )
        for part in parsed.parts
    ]
    score = read_bytes(OWN[name], "x.mei")
    ours = [
        (
            len(score.bars),
            sum(note.kind == "pitched" for note in notes),
            sum(note.kind == "rest" and not note.hidden for note in notes),
        )
        for part in score.parts
        for stave in range(1, part.staves + 1)
        for notes in [[note for note in part.notes if note.stave == stave]]
    ]
    assert ours == theirs


@pytest.mark.parametrize("name", OWN)
def test_pitches_agree_with_verovio(name: str) -> None:
    """Every written pitch is the one that the engraver gives the note in its MIDI."""
    toolkit = engraver(OWN[name].decode())
    root = etree.fromstring(toolkit.getMEI({"scoreBased": True}).encode())
    ids = [node.get("{http://www.w3.org/XML/1998/namespace}id") for node in root.iter("{*}note")]
    toolkit.renderToMIDI()
    theirs = Counter(toolkit.getMIDIValuesForElement(one).get("pitch", 0) for one in ids)
    score = read_bytes(OWN[name], "x.mei")
    pitched = [note for part in score.parts for note in part.notes if note.kind == "pitched"]
    ours = Counter(int(note.written_midi) for note in pitched)
    assert ours == theirs


# Files whose MEI differs from their MusicXML before we read it, and why.
OTHERWISE = {
    "11h-TimeSignatures-SenzaMisura": "its bars without a metre have no length in MEI",
    "24a-GraceNotes": "a flat before it in the bar holds for a grace that MEI gives no natural",
    "32a-Notations": "verovio lets an accidental mark sound on all later notes of its height",
    "41d-StaffGroups-Nested": "nameless parts under one brace are one part's staves in MEI",
    "41g-StaffGroups-NestingOrder": "nameless parts under one brace are one part's staves in MEI",
    "41h-TooManyParts": "verovio writes no music",
    "51a-Header-Credits": "verovio writes no music",
    "51b-Header-Quotes": "verovio writes no music",
    "51d-EmptyTitle": "verovio writes no music",
    "71e-TabStaves": "tablature is not read from MEI",
}


def engraver(text: str) -> Any:
    """Return verovio with a file in it."""
    verovio = pytest.importorskip("verovio")
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    toolkit.setOptions({"xmlIdSeed": 1})
    assert toolkit.loadData(text)
    return toolkit


def by_way_of_mei(path: Path) -> tuple[Score, Score]:
    """Return a MusicXML file as it is read through MEI, and as it is read itself."""
    xml = xml_of(path.read_bytes(), path.name)[0]
    made = engraver(xml.decode("utf-8-sig")).getMEI({"scoreBased": True})
    return read_bytes(mei.to_musicxml(made.encode(), path.name).data, path.name), read_bytes(
        xml, path.name
    )


def content(score: Score) -> list[Counter[tuple[str, Fraction, Fraction, float]]]:
    """Return, of each part, kind, onset, length and written height of each note and visible rest.

    Graces have no length; rests no onset, for MEI may divide them into voices in another way.
    """
    ticks = score.ticks_per_quarter
    return [
        Counter(
            (
                note.kind,
                Fraction(0)
                if note.kind == "rest"
                else Fraction(score.tick(note.bar, note.offset), ticks),
                Fraction(note.duration, ticks),
                note.written_midi if note.kind == "pitched" else 0.0,
            )
            for note in part.notes
            if not (note.kind == "rest" and note.hidden)
        )
        for part in score.parts
    ]


@pytest.mark.corpus
def test_suite_files_say_the_same_as_mei(scores: Path) -> None:
    """Parts, bars, notes, strokes, graces and rests of each file of the MusicXML test suite."""
    different = set()
    for path in sorted((scores / "suite").glob("*.xml")):
        try:
            through, itself = by_way_of_mei(path)
        except InputError:
            different.add(path.stem)
            continue
        if (len(through.bars), content(through)) != (len(itself.bars), content(itself)):
            different.add(path.stem)
    assert different == OTHERWISE.keys()


@pytest.mark.corpus
@pytest.mark.parametrize(
    "file",
    [
        "orchestra/Mayer_Quartet_Op.14.mxl",
        "pairs/Chopin_Op.21_1_bars1-70_piano.musicxml",
        "shared-staves/Moniuszko_Polonez.musicxml",
    ],
)
def test_real_scores_say_the_same_as_mei(scores: Path, file: str) -> None:
    """Every note of a real score: shared staves, percussion, nested tuplets, two staves.

    And as many slurs, ties, hairpins, levels, words, articulations, tremolos and tuplets.
    """
    through, itself = by_way_of_mei(scores / file)
    assert len(through.bars) == len(itself.bars)
    assert content(through) == content(itself)
    # MEI spaces voices with rests that are not printed.
    assert {**counts(through), "rests": 0} == {**counts(itself), "rests": 0}


def test_the_stroke_of_a_grace_note_is_no_tremolo() -> None:
    """Verovio writes it as a modification of the stem, as it does a tremolo's."""
    grace = "<note pname='d' oct='5' dur='8' grace='unacc' stem.mod='1slash'/>"
    tremolo = "<note pname='c' oct='5' dur='1' stem.mod='3slash'/>"
    (part, _) = read_bytes(written(("n='1'", grace + tremolo, "<mRest/>")), "x.mei").parts
    (mark,) = part.marks_of("tremolo")
    assert (mark.value, mark.note) == (3.0, "P1.0.1")
    assert part.notes[0].grace


def test_levels_without_a_name_are_levels() -> None:
    """Letters of a level that MusicXML does not name stay a level; words stay words."""
    dynam = "<dynam staff='1' tstamp='1'>sff dolce</dynam></measure>"
    data = written(("n='1'", WHOLE, WHOLE)).decode().replace("</measure>", dynam)
    part = read_bytes(data.encode(), "x.mei").parts[0]
    assert [(mark.name, mark.text) for mark in part.marks_of("level", "word")] == [
        ("other-dynamics", "sff"),
        ("words", "dolce"),
    ]


def test_staves_without_a_name_belong_to_the_name_of_their_group() -> None:
    """Two nameless staves under one name are one part; five are parts that all have it."""
    nameless = "<staffDef n='{}' lines='5' clef.shape='G' clef.line='2'/>"
    for many, names in ((2, ["Viole"]), (5, ["Viole"] * 5)):
        inner = "".join(nameless.format(number) for number in range(1, many + 1))
        staves = f"<staffGrp symbol='bracket'><label>Viole</label>{inner}</staffGrp>"
        data = written(("n='1'", *[WHOLE] * many), staves=staves)
        assert [part.name for part in read_bytes(data, "x.mei").parts] == names


def trilled(*ornaments: str) -> Part:
    """Return a part of three bars, the first two of a half and two quarters, with ornaments."""
    bars = [
        "".join(
            f"<note xml:id='n{bar}{index}' pname='c' oct='5' dur='{value}'/>"
            for index, value in enumerate("244")
        )
        for bar in (1, 2, 3)
    ]
    data = written(*[(f"n='{bar + 1}'", notes) for bar, notes in enumerate(bars)], staves=ONE)
    first, _, rest = data.decode().partition("</measure>")
    return read_bytes(f"{first}{''.join(ornaments)}</measure>{rest}".encode(), "x.mei").parts[0]


def ends_of_lines(part: Part) -> list[tuple[str, str]]:
    """Return the ids of the notes on which each wavy line begins and ends."""
    return [
        (span.start.note, span.stop.note)
        for span in part.spans_of("wavy-line")
        if span.start is not None and span.stop is not None
    ]


@pytest.mark.parametrize(
    ("end", "note"),
    [
        ("", "P1.0.0"),  # to the end of its note
        ("endid='#n12'", "P1.0.2"),
        ("endid='#n20'", "P1.1.0"),
        ("tstamp2='0m+5'", "P1.0.2"),  # the end of a bar of four beats: over its last note
        ("tstamp2='2m+3'", "P1.2.0"),
        ("tstamp2='2m+3.5'", "P1.2.1"),
        ("tstamp2='0m+1'", "P1.0.0"),
    ],
)
@pytest.mark.parametrize("start", ["startid='#n10'", "tstamp='1' staff='1'"])
def test_a_line_behind_a_trill_is_a_wavy_line(start: str, end: str, note: str) -> None:
    """It begins on the trill's note and ends where @endid or @tstamp2 says (MEI, att.extender)."""
    part = trilled(f"<trill {start} extender='true' place='above' {end}/>")
    assert ends_of_lines(part) == [("P1.0.0", note)]
    assert [mark.name for mark in part.marks_of("ornament")][:2] == ["trill-mark", "wavy-line"]


def test_accidentals_of_ornaments_are_kept() -> None:
    """@accidupper stands above, @accidlower below (MEI, att.ornamentAccid)."""
    part = trilled(
        "<trill startid='#n10' accidupper='f'/>",
        "<turn startid='#n11' accidupper='s' accidlower='n'/>",
    )
    assert [
        (mark.note, mark.text, mark.placement) for mark in part.marks_of("ornament") if mark.text
    ] == [
        ("P1.0.0", "flat", "above"),
        ("P1.0.1", "sharp", "above"),
        ("P1.0.1", "natural", "below"),
    ]


def test_what_stands_beside_an_ornament_and_is_not_known_is_told() -> None:
    """An accidental of other music, and a line behind what has none."""
    note = WHOLE.replace("<note", "<note xml:id='n1'")
    ornaments = (
        "<trill startid='#n1' accidupper='kmf'/><mordent startid='#n1' extender='true'/></measure>"
    )
    data = written(("n='1'", note, WHOLE)).decode().replace("</measure>", ornaments)
    said = read_bytes(data.encode(), "x.mei").problems[0].text
    assert "1 × accidental on an ornament, 1 × line behind a mordent" in said
