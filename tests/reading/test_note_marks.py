"""Every kind of mark that hangs on a note, against MusicXML 4.0's definition of its element."""

import pytest

from redstave.model.same_page import same_page
from redstave.reading import counts, read_bytes
from redstave.writing import to_musicxml
from tests.reading.inline import NOTE, only_mark, only_span, part_of_note, score_of_bars

# Element names: MusicXML 4.0 schema, complex types articulations, ornaments and technical.
ARTICULATIONS = [
    "accent",
    "strong-accent",
    "staccato",
    "tenuto",
    "detached-legato",
    "staccatissimo",
    "spiccato",
    "scoop",
    "plop",
    "doit",
    "falloff",
    "stress",
    "unstress",
    "soft-accent",
]
ORNAMENTS = [
    "trill-mark",
    "turn",
    "delayed-turn",
    "inverted-turn",
    "delayed-inverted-turn",
    "vertical-turn",
    "inverted-vertical-turn",
    "shake",
    "mordent",
    "inverted-mordent",
    "schleifer",
    "haydn",
]
TECHNICAL = [
    "up-bow",
    "down-bow",
    "open-string",
    "thumb-position",
    "double-tongue",
    "triple-tongue",
    "stopped",
    "snap-pizzicato",
    "brass-bend",
    "flip",
    "smear",
    "open",
    "golpe",
]


@pytest.mark.parametrize("name", ARTICULATIONS)
def test_articulations_are_kept_under_their_names(name: str) -> None:
    """Each articulation becomes one mark that names its note."""
    part = part_of_note(f"<notations><articulations><{name}/></articulations></notations>")
    mark = only_mark(part, "articulation")
    assert (mark.name, mark.note, mark.offset) == (name, "P1.0.0", 0)


@pytest.mark.parametrize("name", ORNAMENTS)
def test_ornaments_are_kept_under_their_names(name: str) -> None:
    """Each ornament becomes one mark."""
    part = part_of_note(f"<notations><ornaments><{name}/></ornaments></notations>")
    assert only_mark(part, "ornament").name == name


@pytest.mark.parametrize("name", TECHNICAL)
def test_technical_marks_are_kept_under_their_names(name: str) -> None:
    """Each technical mark becomes one mark."""
    part = part_of_note(f"<notations><technical><{name}/></technical></notations>")
    assert only_mark(part, "technical").name == name


@pytest.mark.parametrize("name", ["breath-mark", "caesura"])
def test_breath_marks_are_a_kind_of_their_own(name: str) -> None:
    """Breath marks and caesuras stand among articulations in the file but are breaths."""
    part = part_of_note(f"<notations><articulations><{name}/></articulations></notations>")
    assert only_mark(part, "breath").name == name


def test_other_articulation_keeps_its_smufl_name() -> None:
    """A sign that MusicXML has no element for keeps the name of its character."""
    part = part_of_note(
        "<notations><articulations>"
        '<other-articulation smufl="articLaissezVibrerAbove">tr</other-articulation>'
        "</articulations></notations>"
    )
    mark = only_mark(part, "articulation")
    assert (mark.name, mark.text) == ("other-articulation", "tr")
    assert dict(mark.attributes)["smufl"] == "articLaissezVibrerAbove"


def test_harmonic_says_which_kind_it_is() -> None:
    """What stands inside a technical mark is its text."""
    part = part_of_note(
        "<notations><technical><harmonic><artificial/><touching-pitch/></harmonic>"
        "<fingering>2</fingering><string>3</string></technical></notations>"
    )
    marks = [(mark.name, mark.text) for mark in part.marks_of("technical")]
    assert marks == [
        ("harmonic", "artificial touching-pitch"),
        ("fingering", "2"),
        ("string", "3"),
    ]


def test_tremolo_carries_its_strokes() -> None:
    """The number of strokes is the mark's value."""
    part = part_of_note(
        '<notations><ornaments><tremolo type="single">3</tremolo></ornaments></notations>'
    )
    mark = only_mark(part, "tremolo")
    assert (mark.name, mark.value) == ("single", 3.0)


def test_tremolo_between_two_notes_is_a_span_and_two_marks() -> None:
    """A tremolo between notes joins them and tells its strokes on both."""
    half = (
        "<note><pitch><step>C</step><octave>5</octave></pitch><duration>2</duration>"
        '<notations><ornaments><tremolo type="{}">2</tremolo></ornaments></notations></note>'
    )
    part = score_of_bars(half.format("start") + half.format("stop")).parts[0]
    span = only_span(part, "tremolo")
    assert span.start is not None
    assert span.stop is not None
    assert (span.start.note, span.stop.note) == ("P1.0.0", "P1.0.1")
    assert [mark.value for mark in part.marks_of("tremolo")] == [2.0, 2.0]


def test_levels_on_notes_are_levels() -> None:
    """A level inside notations is a level that names its note."""
    part = part_of_note('<notations><dynamics placement="below"><pp/></dynamics></notations>')
    mark = only_mark(part, "level")
    assert (mark.name, mark.note, mark.placement) == ("pp", "P1.0.0", "below")


@pytest.mark.parametrize(
    ("element", "kind", "text"),
    [
        ("<fermata>angled</fermata>", "fermata", "angled"),
        ('<arpeggiate direction="down"/>', "arpeggio", ""),
        ('<non-arpeggiate type="top"/>', "arpeggio", ""),
        ("<other-notation>x</other-notation>", "other", "x"),
        ("<accidental-mark>sharp</accidental-mark>", "other", "sharp"),
    ],
)
def test_other_notations_are_kept(element: str, kind: str, text: str) -> None:
    """Fermata, arpeggio and the rest keep their names and what they say."""
    mark = only_mark(part_of_note(f"<notations>{element}</notations>"), kind)
    assert mark.text == text
    assert element.startswith(f"<{mark.name}")


def test_lyrics_are_kept_with_their_verse() -> None:
    """A lyric's syllables are one text, its verse the name."""
    part = part_of_note(
        '<lyric number="2"><syllabic>begin</syllabic><text>ky</text><elision/><text>ri</text>'
        "</lyric>"
    )
    mark = only_mark(part, "lyric")
    assert (mark.name, mark.text) == ("2", "ky_ri")
    assert dict(mark.attributes)["syllabic"] == "begin"


def test_a_note_keeps_what_else_it_carries() -> None:
    """Notehead, beam, accidental, stem and instrument stay with the note."""
    content = (
        "<accidental cautionary='yes'>sharp</accidental><stem>up</stem>"
        "<notehead filled='no'>diamond</notehead><beam number='1'>begin</beam>"
    )
    note = part_of_note(content).notes[0]
    details = dict(note.details)
    assert note.stem == "up"
    assert details["accidental"] == "sharp"
    assert details["accidental-cautionary"] == "yes"
    assert details["notehead"] == "diamond"
    assert details["beam"] == "begin"


def test_unpitched_notes_keep_instrument_place_and_marks() -> None:
    """An unpitched note has a place on the stave, an instrument and marks, but no pitch."""
    score = score_of_bars(
        "<note><unpitched><display-step>E</display-step><display-octave>4</display-octave>"
        '</unpitched><duration>4</duration><instrument id="P1-I2"/><voice>1</voice>'
        "<notations><ornaments><trill-mark/></ornaments></notations></note>"
    )
    note = score.parts[0].notes[0]
    assert (note.kind, note.step, note.octave) == ("unpitched", "E", 4)
    assert note.instrument == "P1-I2"
    assert only_mark(score.parts[0], "ornament").note == note.id


def test_hidden_cue_and_grace_notes_are_told_apart() -> None:
    """print-object, cue and grace are flags of the note; graces take no time."""
    pitch = "<pitch><step>C</step><octave>5</octave></pitch>"
    score = score_of_bars(
        f'<note><grace slash="yes"/>{pitch}<type>eighth</type></note>'
        f'<note print-object="no">{pitch}<duration>2</duration></note>'
        f"<note><cue/>{pitch}<duration>2</duration></note>"
    )
    grace, hidden, cue = score.parts[0].notes
    assert (grace.grace, grace.slash, grace.duration, grace.offset) == (True, True, 0, 0)
    assert (hidden.hidden, hidden.cue, hidden.offset) == (True, False, 0)
    assert (cue.hidden, cue.cue, cue.offset) == (False, True, 2)


def test_unknown_elements_are_kept_and_reported() -> None:
    """An element that MusicXML does not have is a mark and a problem, never lost."""
    score = score_of_bars(NOTE.format("<notations><wobble>3</wobble></notations>"))
    assert only_mark(score.parts[0], "other").name == "wobble"
    assert [problem.code for problem in score.problems] == ["unknown-element"]


def test_a_trill_in_disguise_is_a_trill() -> None:
    """A trill sign written as another articulation is an ornament, counted as the file has it.

    The names of the signs are those of SMuFL 1.4, "Common ornaments".
    """
    signs = "".join(
        f"<other-articulation smufl='{sign}'/>"
        for sign in ("ornamentTrill", "ornamentTurn", "articSoftAccentAbove")
    )
    score = score_of_bars(
        NOTE.format(f"<notations><articulations>{signs}</articulations></notations>")
    )
    part = score.parts[0]
    assert [mark.name for mark in part.marks_of("ornament")] == ["trill-mark", "turn"]
    assert [mark.name for mark in part.marks_of("articulation")] == ["other-articulation"]
    assert (counts(score)["articulations"], counts(score)["ornaments"]) == (3, 0)
    assert same_page(score, read_bytes(to_musicxml(score), "x.xml"))
