"""Every kind of mark that stands above or below the stave, and what bars and attributes set."""

import pytest

from tests.reading.inline import (
    ATTRIBUTES,
    NOTE,
    only_mark,
    only_span,
    part_of_direction,
    score_of_bars,
)


def test_each_child_of_dynamics_is_a_level_in_order() -> None:
    """`sempre` and `pp` in one printed level are two marks; the second says that it continues."""
    part = part_of_direction("<dynamics><other-dynamics>sempre </other-dynamics><pp/></dynamics>")
    first, second = part.marks_of("level")
    assert (first.name, first.text) == ("other-dynamics", "sempre ")
    assert second.name == "pp"
    assert ("continues", "yes") not in first.attributes
    assert ("continues", "yes") in second.attributes


@pytest.mark.parametrize(
    ("characters", "name"),
    # SMuFL 1.4, range "Dynamics": code points from memory.
    [
        ("\ue520", "p"),
        ("\ue522", "f"),
        ("\ue52b", "pp"),
        ("\ue52c", "mp"),
        ("\ue52d", "mf"),
        ("\ue52f", "ff"),
        ("\ue522\ue520", "fp"),
    ],
)
def test_levels_drawn_in_words_are_levels(characters: str, name: str) -> None:
    """Words that are music characters become the level and say that they came from words."""
    mark = only_mark(part_of_direction(f"<words>{characters}</words>"), "level", "word")
    assert (mark.kind, mark.name, mark.text) == ("level", name, characters)
    assert ("from", "words") in mark.attributes


def test_a_level_within_words_stands_beside_them() -> None:
    """Words that hold a drawn level among others are kept whole, and the level with them."""
    part = part_of_direction("<words>sempre \ue520</words>")
    word, level = part.marks_of("word", "level")
    assert (word.kind, word.text) == ("word", "sempre \ue520")
    assert (level.kind, level.name) == ("level", "p")
    assert ("within", "words") in level.attributes


def test_words_keep_every_character() -> None:
    """Dots, spaces and line breaks in words are kept as written."""
    assert only_mark(part_of_direction("<words>1. con sord.\n</words>"), "word").text == (
        "1. con sord.\n"
    )


def test_types_of_one_direction_share_a_group() -> None:
    """Words, level and hairpin of one direction are one printed group."""
    score = score_of_bars(
        "<direction><direction-type><words>sub.</words></direction-type>"
        "<direction-type><dynamics><p/></dynamics></direction-type></direction>"
        "<direction><direction-type><words>cresc.</words></direction-type></direction>"
        + NOTE.format("")
    )
    groups = [mark.group for mark in score.parts[0].marks_of("word", "level")]
    assert groups[0] == groups[1]
    assert groups[2] not in (0, groups[0])


def test_offset_moves_a_direction_and_staff_places_it() -> None:
    """A direction's offset is in divisions from where it stands in the file."""
    part = part_of_direction(
        "<dynamics><p/></dynamics>", "<offset>2</offset><voice>2</voice><staff>1</staff>"
    )
    mark = only_mark(part, "level")
    assert (mark.offset, mark.voice, mark.stave) == (2, "2", 1)


@pytest.mark.parametrize(
    ("content", "text", "quarters"),
    [
        ("<beat-unit>quarter</beat-unit><per-minute>96</per-minute>", "quarter = 96", 96.0),
        (
            "<beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute>",
            "quarter. = 60",
            90.0,
        ),
        ("<beat-unit>half</beat-unit><per-minute>ca. 50</per-minute>", "half = ca. 50", 100.0),
        (
            "<beat-unit>eighth</beat-unit><beat-unit>quarter</beat-unit>",
            "eighth = quarter",
            0.0,
        ),
    ],
)
def test_metronome_marks_give_quarters_a_minute(content: str, text: str, quarters: float) -> None:
    """A metronome mark's value is in quarters a minute, whatever unit it is printed in."""
    mark = only_mark(part_of_direction(f"<metronome>{content}</metronome>"), "tempo")
    assert (mark.name, mark.text, mark.value) == ("metronome", text, quarters)


def test_tempo_of_playback_is_a_tempo_of_its_own() -> None:
    """`<sound tempo>` is a tempo beside the printed one; what else it says is a sound."""
    part = part_of_direction("<words>Vivo</words>", '<sound tempo="120" dynamics="80"/>')
    tempo, sound = part.marks_of("tempo", "sound")
    assert (tempo.name, tempo.value) == ("sound", 120.0)
    assert ("dynamics", "80") in sound.attributes


@pytest.mark.parametrize(
    ("element", "kind", "text"),
    [
        ("<rehearsal>A</rehearsal>", "rehearsal", "A"),
        ("<segno/>", "segno", ""),
        ("<coda/>", "coda", ""),
        ('<string-mute type="on"/>', "other", ""),
        ("<other-direction>x</other-direction>", "other", "x"),
        (
            "<harp-pedals><pedal-tuning><pedal-step>D</pedal-step>"
            "<pedal-alter>-1</pedal-alter></pedal-tuning></harp-pedals>",
            "harp-pedals",
            "pedal-tuning pedal-step=D pedal-alter=-1",
        ),
    ],
)
def test_other_directions_are_kept(element: str, kind: str, text: str) -> None:
    """Rehearsal letters, signs, mutes and pedal settings keep names and content."""
    mark = only_mark(part_of_direction(element), kind)
    assert mark.text == text
    assert element.startswith(f"<{mark.name}")


@pytest.mark.parametrize(
    ("element", "kind", "name"),
    [
        ('<wedge type="{}"/>', "hairpin", "crescendo"),
        ('<dashes type="{}"/>', "dashes", ""),
        ('<bracket type="{}" line-end="down"/>', "bracket", ""),
        ('<octave-shift type="{}" size="8"/>', "octave-shift", "down"),
        ('<pedal type="{}" line="yes"/>', "pedal", ""),
    ],
)
def test_directions_with_two_ends_are_spans(element: str, kind: str, name: str) -> None:
    """A span knows both of its places and its variety."""
    direction = "<direction><direction-type>{}</direction-type></direction>"
    begin = direction.format(element.format(name or "start"))
    end = direction.format(element.format("stop"))
    score = score_of_bars(begin + NOTE.format(""), end + NOTE.format(""))
    span = only_span(score.parts[0], kind)
    assert score.problems == ()
    assert span.name == name
    assert span.start is not None
    assert span.stop is not None
    assert (span.start.bar, span.stop.bar) == (0, 1)


def test_attributes_are_marks_with_values() -> None:
    """Key, metre, clef and transposition carry fifths, quarters, line and semitones."""
    score = score_of_bars(
        NOTE.format(""),
        attributes=(
            "<attributes><divisions>1</divisions><key><fifths>-3</fifths><mode>minor</mode></key>"
            "<time symbol='common'><beats>4</beats><beat-type>4</beat-type></time>"
            "<clef><sign>F</sign><line>4</line></clef>"
            "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic>"
            "<octave-change>-1</octave-change></transpose></attributes>"
        ),
    )
    part = score.parts[0]
    assert only_mark(part, "key").value == -3
    assert only_mark(part, "key").name == "minor"
    assert (only_mark(part, "meter").text, only_mark(part, "meter").value) == ("4/4", 4.0)
    assert (only_mark(part, "clef").name, only_mark(part, "clef").value) == ("F", 4.0)
    assert only_mark(part, "transposition").value == -14


def test_transposition_may_change_in_mid_part() -> None:
    """A second transposition stands where the file puts it."""
    change = "<attributes><transpose><chromatic>-3</chromatic></transpose></attributes>"
    score = score_of_bars(NOTE.format(""), change + NOTE.format(""))
    mark = only_mark(score.parts[0], "transposition")
    assert (mark.bar, mark.value) == (1, -3.0)


def test_compound_metres_add_up() -> None:
    """3+2 eighths and a quarter are three and a half quarters."""
    score = score_of_bars(
        "<note><rest/><duration>7</duration></note>",
        attributes="<attributes><divisions>2</divisions><time><beats>3+2</beats>"
        "<beat-type>8</beat-type><beats>1</beats><beat-type>4</beat-type></time></attributes>",
    )
    assert score.problems == ()
    assert only_mark(score.parts[0], "meter").value == 3.5


def test_barlines_repeats_and_endings_are_marks() -> None:
    """A right barline stands at the bar's end, with its repeat and its ending."""
    score = score_of_bars(
        NOTE.format("")
        + '<barline location="right"><bar-style>light-heavy</bar-style>'
        + '<ending number="1, 2" type="stop"/><repeat direction="backward" times="3"/></barline>'
    )
    part = score.parts[0]
    barline, repeat, ending = (only_mark(part, kind) for kind in ("barline", "repeat", "ending"))
    assert (barline.name, barline.offset) == ("light-heavy", 4)
    assert (repeat.name, repeat.value) == ("backward", 3.0)
    assert (ending.name, ending.text) == ("stop", "1, 2")


def test_layout_and_instrument_changes_are_marks() -> None:
    """A page break and a change of instrument are kept where they stand."""
    score = score_of_bars(
        '<print new-page="yes"/><sound><instrument-change id="P1-I2">'
        "<instrument-sound>wind.flutes.flute.piccolo</instrument-sound>"
        "</instrument-change></sound>" + NOTE.format("")
    )
    part = score.parts[0]
    assert ("new-page", "yes") in only_mark(part, "layout").attributes
    change = only_mark(part, "instrument")
    assert ("id", "P1-I2") in change.attributes
    assert change.text == "instrument-sound=wind.flutes.flute.piccolo"


def test_marks_know_their_line_and_their_place() -> None:
    """The line is that of the element in the file; a mark after a note stands where it ends."""
    half = NOTE.format("").replace("<duration>4", "<duration>2")
    score = score_of_bars(
        f"\n{half}\n<direction><direction-type>\n<words>x</words></direction-type></direction>{half}",
        attributes=ATTRIBUTES,
    )
    word = only_mark(score.parts[0], "word")
    assert (word.line, word.offset, word.bar) == (4, 2, 0)


def test_chord_symbols_stand_on_their_stave_at_their_place() -> None:
    """A chord symbol is read on the stave and at the offset that it names itself."""
    symbol = (
        "<harmony><root><root-step>C</root-step></root><kind>major</kind>"
        "<offset>2</offset><staff>2</staff></harmony>"
    )
    (mark,) = (
        m for m in score_of_bars(symbol + NOTE.format("")).parts[0].marks if m.kind == "other"
    )
    assert (mark.name, mark.offset, mark.stave) == ("harmony", 2, 2)
