"""Parts, bars and spans that do not fit together; files that are only long."""

from collections.abc import Iterator

from tests.reading.hostile.case import WHOLE, Case, refused, repaired, sound, with_bar
from tests.reading.inline import ATTRIBUTES, NOTE, xml_of_bars, xml_of_parts

BAR = f'<measure number="1">{ATTRIBUTES}{WHOLE}</measure>'
LISTED = '<score-part id="{}"><part-name>X</part-name></score-part>'


def cases() -> Iterator[Case]:
    """Yield the cases."""
    yield repaired("a part not listed", xml_of_parts({"A": BAR}, ""), "part-not-listed")
    listed = LISTED.format("A") + LISTED.format("B")
    yield repaired("a part without bars", xml_of_parts({"A": BAR}, listed), "part-without-bars")
    yield repaired(
        "an id listed twice", xml_of_parts({"A": BAR}, LISTED.format("A") * 2), "duplicate-part"
    )
    twice = xml_of_parts({"A": BAR}).replace(
        b"</part>", b"</part>" + f'<part id="A">{BAR}</part>'.encode(), 1
    )
    yield repaired("a part twice", twice, "duplicate-part", 2)
    yield repaired(
        "a part without id",
        xml_of_parts({"A": BAR}).replace(b'<part id="A"', b"<part"),
        "no-part-id",
    )
    yield sound("an id of odd letters", xml_of_parts({"../../x y.é": BAR}))
    yield refused("bars of nothing", xml_of_parts({"A": ""}), "no bar")
    yield sound("an empty bar", xml_of_parts({"A": '<measure number="1"/>'}), 0)
    yield repaired(
        "bar without number", xml_of_parts({"A": BAR.replace(' number="1"', "")}), "no-bar-number"
    )
    yield sound(
        "bar numbers that are text",
        xml_of_parts({"A": BAR + BAR.replace('"1"', '"12a"') + BAR.replace('"1"', '"X"')}),
        3,
    )
    yield sound("bar numbers that repeat", xml_of_parts({"A": BAR * 3}), 3)
    yield repaired(
        "bars in bars", xml_of_parts({"A": BAR.replace("</measure>", BAR + "</measure>")}), "", None
    )
    yield repaired(
        "parts in parts",
        xml_of_parts({"A": BAR + f'<part id="B">{BAR}</part>'}),
        "misplaced-element",
        None,
    )
    yield repaired(
        "a bar outside a part",
        xml_of_parts({"A": BAR}).replace(b"<part-list>", BAR.encode() + b"<part-list>"),
        "misplaced-element",
    )
    short = BAR.replace("<duration>4<", "<duration>3<")
    yield repaired(
        "parts of unequal bars", xml_of_parts({"A": BAR + BAR, "B": short}), "part-ends-early", 3
    )
    yield repaired(
        "a chord first",
        with_bar(WHOLE.replace("<note>", "<note><chord/>") * 4),
        "chord-without-note",
        4,
    )
    yield from _timewise()
    yield from _spans()
    yield from _long()


def _timewise() -> Iterator[Case]:
    part = f'<part id="A">{ATTRIBUTES}{WHOLE}</part>'
    head = f"<part-list>{LISTED.format('A')}</part-list>"
    bars = "".join(f'<measure number="{number}">{part}</measure>' for number in (1, 2))
    yield sound("bar by bar", f"<score-timewise>{head}{bars}</score-timewise>".encode(), 2)
    odd = f'<measure number="1">{part}{part}</measure><measure number="2"/>'
    yield repaired(
        "bar by bar, a part twice",
        f"<score-timewise>{head}{odd}</score-timewise>".encode(),
        "duplicate-part",
        2,
    )


def _spans() -> Iterator[Case]:
    def on_note(content: str) -> bytes:
        return with_bar(NOTE.format(f"<notations>{content}</notations>"))

    def direction(content: str) -> bytes:
        return with_bar(f"<direction><direction-type>{content}</direction-type></direction>{WHOLE}")

    for kind in ("slur", "tuplet", "glissando", "slide"):
        yield repaired(
            f"{kind} without end", on_note(f"<{kind} type='start'/>"), f"{kind}-without-end"
        )
        yield repaired(
            f"{kind} without beginning",
            on_note(f"<{kind} type='stop'/>"),
            f"{kind}-without-beginning",
        )
    yield repaired("tie without end", on_note("<tied type='start'/>"), "tie-without-end")
    yield repaired("tie without beginning", on_note("<tied type='stop'/>"), "tie-without-beginning")
    for element, kind, begin in (
        ("wedge", "hairpin", "crescendo"),
        ("octave-shift", "octave-shift", "down"),
        ("dashes", "dashes", "start"),
        ("pedal", "pedal", "start"),
        ("bracket", "bracket", "start"),
    ):
        yield repaired(
            f"{element} without end",
            direction(f"<{element} type='{begin}'/>"),
            f"{kind}-without-end",
        )
        yield repaired(
            f"{element} without beginning",
            direction(f"<{element} type='stop'/>"),
            f"{kind}-without-beginning",
        )
    yield repaired("hairpin of no kind", direction("<wedge type='sideways'/>"), "bad-type")
    yield repaired(
        "one number twice", on_note("<slur number='1' type='start'/>" * 2), "slur-without-end"
    )
    cross = (
        NOTE.format("<notations><slur type='start'/></notations>")
        + "<backup><duration>4</duration></backup>"
    )
    cross += NOTE.format("<notations><slur type='stop'/></notations>").replace(
        "<voice>1<", "<voice>2<"
    )
    yield sound("a slur from voice to voice", with_bar(cross), 2)


def _long() -> Iterator[Case]:
    """Files that are only long: the time may not grow faster than they do."""
    bars = 4000
    yield sound("four thousand bars", xml_of_bars(*[WHOLE] * bars), bars)
    yield sound(
        "a bar of ten thousand notes",
        with_bar(WHOLE.replace("<duration>4<", "<duration>0<") * 10_000),
        10_000,
    )
    starts = NOTE.format("<notations>" + "<slur type='start'/>" * 10_000 + "</notations>")
    stops = NOTE.format("<notations>" + "<slur type='stop'/>" * 10_000 + "</notations>")
    yield repaired("ten thousand slurs at once", with_bar(starts + stops), "slur-without-end", 2)
    marks = "<accent/>" * 20_000
    yield sound(
        "twenty thousand accents",
        with_bar(NOTE.format(f"<notations><articulations>{marks}</articulations></notations>")),
    )
    beams = "".join(f"<beam number='{number}'>begin</beam>" for number in range(10_000))
    yield sound("ten thousand beams", with_bar(NOTE.format(beams)))
    parts = {f"P{number}": BAR for number in range(1500)}
    yield refused("fifteen hundred parts", xml_of_parts(parts), "parts")
    parts = {f"P{number}": BAR for number in range(300)}
    yield sound("three hundred parts", xml_of_parts(parts), 300)
    late = "".join(f'<part id="Q{number}">{WHOLE}</part>' for number in range(500))
    bars = '<measure number="1"/>' * 4000 + f'<measure number="x">{late}</measure>'
    yield repaired(
        "five hundred parts in the last of four thousand bars",
        f"<score-timewise><part-list/>{bars}</score-timewise>".encode(),
        "part-not-listed",
        500,
    )
    words = "<words>x</words>" * 10_000
    yield sound(
        "ten thousand words",
        with_bar(f"<direction><direction-type>{words}</direction-type></direction>{WHOLE}"),
    )
    groups = "".join(f'<part-group number="{n}" type="start"/>' for n in range(3000))
    groups += LISTED.format("A") + "".join(
        f'<part-group number="{n}" type="stop"/>' for n in range(3000)
    )
    yield sound("three thousand brackets", xml_of_parts({"A": BAR}, groups))
    ties = NOTE.format(
        "<notations>"
        + "<tied type='stop'/>" * 5000
        + "<tied type='start'/>" * 5000
        + "</notations>"
    )
    yield repaired("ten thousand ties", with_bar(ties * 2), "", 2)
    lyrics = "<lyric><text>a</text></lyric>" * 10_000
    yield sound("ten thousand syllables", with_bar(NOTE.format(lyrics)))
