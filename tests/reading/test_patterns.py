"""Texts that differ only in words, numbers or notations: read once, and told for each as it is.

What the tree says is the measure: lxml's parse, without the text, is the reader's plain way.
"""

from itertools import product

import pytest

from redstave.model.score import Score
from redstave.reading import account_of, read_bytes
from tests.reading.inline import NOTE, score_of_bars, xml_of_bars
from tests.reading.test_source import WHOLE, by_tree, left_of, outcome

PITCH = "<pitch><step>C</step><octave>5</octave></pitch>"
SLUR = '<slur type="{}" number="1" default-x="{}"/>'
PRINT = (
    '<print new-page="yes" page-number="{0}"><system-layout><system-margins>'
    "<left-margin>{1}</left-margin><right-margin>{2}</right-margin></system-margins>"
    "<top-system-distance>{0}</top-system-distance></system-layout></print>"
)
BARLINE = '<barline location="{}"><bar-style>{}</bar-style><repeat direction="forward"/></barline>'
STAVES = "<attributes><staves>2</staves><clef number='{}'><sign>F</sign></clef></attributes>"


def note(
    length: str = "4",
    voice: str = "1",
    kind: str = "whole",
    middle: str = "",
    stave: str = "1",
    end: str = "",
    pitch: str = PITCH,
) -> str:
    """Return a note with these words in it."""
    return (
        f"<note>{pitch}<duration>{length}</duration><voice>{voice}</voice><type>{kind}</type>"
        f"{middle}<staff>{stave}</staff>{end}</note>"
    )


def signs(*inner: str) -> str:
    """Return notations that hold these."""
    return f"<notations>{''.join(inner)}</notations>"


WORDS = ["2", "eighth", "up", "sharp", "begin", "3", "quarter", "down", "flat", "end"]
TUPLET = "<time-modification><actual-notes>3</actual-notes><{0}>2</{0}></time-modification>"
BARS = {
    "lengths, voices and types": "".join(note(*words) for words in product("42", "12", "xy")),
    "words with space around them": note(" 4 ", " 1 ", " whole ") + note("4", "1", "whole") * 2,
    "words that are no words": note("", "", "")
    + note("x", "\u00fc", "a b")
    + note("1/2", "-", "."),
    "staves": "".join(note(stave=stave) for stave in ("1", "2", "0", "x", "12", " 1", "3", "")),
    "staves that stand elsewhere": "".join(
        note(end=f"<foo><staff>{stave}</staff></foo>") for stave in "121"
    ),
    "words twice": "".join(
        note(middle=f"<voice>{word}</voice><type>{word}</type><staff>1</staff>") for word in WORDS
    ),
    "words with attributes": "".join(
        note(
            middle=f'<accidental cautionary="yes">{word}</accidental><stem default-y="{n}">{word}'
            f'</stem><beam number="{n % 2 + 1}">{word}</beam>'
        )
        for n, word in enumerate(WORDS)
    ),
    "words in elements that hold none": "".join(
        note(middle=f"<time-modification><voice>{word}</voice></time-modification>")
        + note(middle=f"<beam><duration>{word}</duration></beam>")
        + note(middle=f"<voice><b/>{word}</voice>")
        for word in WORDS
    ),
    "faults that quote a word": "".join(
        note(middle=TUPLET.format("beam").replace(">2<", f">{word}<")) for word in WORDS
    ),
    "words among notations": "".join(
        note(end=signs(f"<foo><type>{word}</type></foo>")) for word in WORDS
    ),
    "rests and notes without pitch": "".join(
        note(length, voice, pitch=pitch)
        for length, voice in product("42", "12")
        for pitch in ("<rest/>", "<unpitched/>", '<rest measure="yes"/>')
    ),
    "notations of notes of every kind": "".join(
        note(
            length,
            middle=middle,
            end=signs(SLUR.format(end, x), "<articulations><accent/></articulations>"),
        )
        for x, (length, middle, end) in enumerate(
            product("42", ("", "<dot/>", "<dot default-x='1' default-y='2'/>"), ("start", "stop"))
        )
    ),
    "lines above notations": "".join(
        note(middle=middle, end=end, pitch=pitch)
        for middle in ("", "\n", "\n\n<dot/>\n")
        for pitch in (PITCH, PITCH.replace("<octave", "\n<octave"), PITCH.replace("><", ">\n\n<"))
        for end in (signs("\n", SLUR.format("x", 1)), signs(SLUR.format("start", 2), "\n") + "\n")
    ),
    "ties in notations, and outside": "".join(
        note(middle=tie, end=signs(*[f'<tied type="{kind}" default-x="{n}"/>' for kind in kinds]))
        for n, (tie, kinds) in enumerate(
            product(
                ("", '<tie type="start"/>', '<tie type="stop"/>', '<tie type="x"/>'),
                ((), ("start",), ("stop", "start"), ("let-ring",), ("x",), ("continue",)),
            )
        )
    ),
    "notations that hold nothing": note(end="<notations/>") * 2
    + note(end=signs()) * 2
    + note(end="<notations>x</notations>") * 2
    + note(end=signs("<foo/>")) * 2,
    "notations twice": note(end=signs("<fermata/>") * 2) * 2
    + note(end=signs("<fermata/>") + '<notations print-object="no"><fermata/></notations>') * 2,
    "something behind notations": "".join(
        note(end=signs("<fermata/>") + behind)
        for behind in ("<lyric><text>a</text></lyric>", "x", "<!-- -->", "<dot/>", "<play/>") * 2
    ),
    "what hangs on a note before its notations": (
        note(middle="<normal-notes>2</normal-notes>", end=signs("<fermata/>"))
        + note(middle="<foo/>", end=signs("<fermata/>"))
    )
    * 2,
    "notations in notations": note(end=signs(signs("<fermata/>"))) * 2,
    "layouts": "".join(PRINT.format(n, n / 4, -n) + WHOLE for n in range(5)),
    "layouts without content": ("<print/>" + WHOLE + '<print new-system="yes"/>' + WHOLE) * 2,
    "layouts with words and numbers": "".join(
        f'<print page-number="{n}">{n} a {n}<x y="a {n}"/><z>{n}</z></print>{WHOLE}'
        for n in range(4)
    ),
    "barlines": "".join(
        BARLINE.format(place, style) + WHOLE
        for place, style in product(("left", "right", "middle", "x"), ("heavy", "", "heavy"))
    ),
    "an ending": ('<barline><ending number="1" type="start" default-y="3"/></barline>' + WHOLE) * 2,
    "attributes in the middle": "".join(
        f"<attributes><divisions>{n}</divisions></attributes>{WHOLE}" for n in "1221x0xx"
    ),
    "staves that attributes announce": "".join(
        STAVES.format(n) + note(stave="2") for n in ("1", "2", "2", "x")
    ),
    "metres": "".join(
        f"<attributes><time><beats>{beats}</beats><beat-type>4</beat-type></time></attributes>"
        + WHOLE
        for beats in ("3", "4", "3+2", "x", "3")
    )
    + ("<attributes><time><senza-misura/></time></attributes>" + WHOLE) * 2,
    "attributes that hold what they cannot": (
        "<attributes><foo/><key><fifths>x</fifths></key><divisions><a/>1</divisions></attributes>"
        + WHOLE
    )
    * 2,
    "what stands between notes again and again": "".join(
        f"{WHOLE}\n{gap}\n{note(kind=kind)}"
        for kind in ("x", "y", "x y", "x", "z z")
        for gap in (
            "<backup>\n<duration>4</duration>\n</backup>",
            "<backup><duration>9</duration></backup>\n<forward><duration>2</duration></forward>",
            BARLINE.format("left", "heavy") + "\n" + PRINT.format(1, 2, 3),
            "<direction><direction-type>\n<words/></direction-type></direction>",
            "<direction placement='\n'/>" + "<harmony/>",
            "text",
        )
    ),
    "asides that do not end": "<print>" + WHOLE + "</print>" + WHOLE,
    "asides of a longer name": ("<printer/>" + WHOLE) * 2 + ("<barlines></barlines>" + WHOLE) * 2,
    "asides in asides": ("<attributes><print/></attributes>" + WHOLE) * 2,
    "asides with a line in their tag": ('<print\nnew-page="yes"/>' + WHOLE) * 2,
    "asides with a sign in their tag": ('<print a="/>"/>' + WHOLE) * 2,
    "an end too many": WHOLE + "</note>" + WHOLE,
    "signs that stand for words": note(kind="\x7fw0\x7f", stave="\x7fw1\x7f") * 2,
    "what stands between pieces": note(kind="a\0b") * 2,
}


@pytest.mark.parametrize("name", BARS)
def test_bars_say_the_same_by_text_and_by_tree(name: str) -> None:
    """The same Score with the same lines and problems, or the same error, however often it comes.

    No element of it is lost.
    """
    bar = BARS[name]
    for bars in ((bar,), (bar, bar), (WHOLE, bar, WHOLE, bar, WHOLE + bar)):
        data = xml_of_bars(*bars)
        said = outcome(data)
        assert said == by_tree(data)
        if isinstance(said, Score):
            assert [row for row in account_of(said, data) if row.lost] == []


def test_notes_that_differ_in_words_alone_are_left_to_the_parser_once() -> None:
    """Of all combinations of a few words the parser sees two notes, each with other notations."""
    lengths = [("4", "whole"), ("2", "half"), ("1", "quarter")]
    notes = [
        note(length, voice, kind, f"<stem>{stem}</stem>", stave, end)
        for (length, kind), voice, stem, stave, end in product(
            lengths, "123", ("up", "down"), "12", (signs("<fermata/>"), signs(SLUR.format("x", 1)))
        )
    ]
    assert left_of(xml_of_bars("".join(notes))).count(b"<pitch") == 2
    staves = "<attributes><divisions>1</divisions><staves>2</staves></attributes>"
    read = score_of_bars("".join(notes), attributes=staves).parts[0].notes
    assert [(one.duration, one.voice, one.type, one.stem, one.stave) for one in read[::2]] == [
        (int(length), voice, kind, stem, int(stave))
        for (length, kind), voice, stem, stave in product(lengths, "123", ("up", "down"), "12")
    ]


def test_notations_are_told_apart_from_notes() -> None:
    """Where each half has been met, a note that has both is not left to the parser."""
    dotted = "<dot/>"
    halves = [("", ""), ("", "<fermata/>"), (dotted, SLUR.format("start", 1))]
    new = [(dotted, "<fermata/>"), ("", SLUR.format("stop", 2)), (dotted, SLUR.format("start", 3))]
    known = "".join(note(middle=middle, end=signs(inner)) for middle, inner in halves)
    data = xml_of_bars(known + note(end=signs(SLUR.format("stop", 1))))
    more = xml_of_bars(
        known
        + note(end=signs(SLUR.format("stop", 1)))
        + "".join(note(middle=middle, end=signs(inner)) for middle, inner in new)
    )
    assert left_of(more).count(b"<pitch") == left_of(data).count(b"<pitch")
    marks = [mark for mark in read_bytes(more, "x.xml").parts[0].marks if mark.kind == "fermata"]
    assert [(mark.note, mark.path) for mark in marks] == [("P1.0.1", "3.6.1"), ("P1.0.4", "6.7.1")]


def test_layouts_that_differ_in_numbers_are_left_to_the_parser_once() -> None:
    """Whatever the margins of a page are; each keeps its own."""
    bars = [PRINT.format(n, n / 4, -n) + WHOLE for n in range(20)]
    assert left_of(xml_of_bars(*bars)).count(b"<left-margin>") == 1
    marks = score_of_bars(*bars).parts[0].marks
    margins = [mark.inside[0].inside[0].text for mark in marks if mark.name == "system-layout"]
    assert margins == [str(n / 4) for n in range(20)]


def test_bars_with_known_attributes_and_barlines_are_not_left_to_the_parser() -> None:
    """What they set is in force in each of them."""
    bar = "<attributes><divisions>2</divisions></attributes>" + NOTE.format("")
    other = bar.replace(">2<", ">1<") + BARLINE.format("right", "heavy")
    assert left_of(xml_of_bars(bar, other, bar, other, bar)).count(b"<measure") == 2
    part = score_of_bars(bar, other, bar, other).parts[0]
    assert [one.duration for one in part.notes] == [4, 8, 4, 8]
    assert [(mark.bar, mark.offset) for mark in part.marks if mark.kind == "barline"] == [
        (1, 8), (3, 8)
    ]  # fmt: skip
