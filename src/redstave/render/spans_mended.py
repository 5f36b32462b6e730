"""Giving every slur, hairpin and ending of a cut passage two ends inside it.

All functions change the copied bars in place and never touch the page itself.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from lxml import etree

from redstave.render.page_xml import Element, stave_of

Slur = tuple[Element, Element]  # the note and its <slur>


def mend_slurs(bars: Sequence[Element]) -> None:
    """Hang the missing end of each slur on the outermost note of its voice, or remove the slur."""
    starts: dict[str, Slur] = {}
    for note, slur in list(_slurs(bars)):
        number = str(slur.get("number", "1"))
        if slur.get("type") == "start":
            if number in starts:
                _drop(starts.pop(number)[1])
            starts[number] = (note, slur)
        elif slur.get("type") == "stop" and starts.pop(number, None) is None:
            _hang(bars[:1], note, slur, "start")
    for note, slur in starts.values():
        _hang(reversed(bars[-1:]), note, slur, "stop")


def mend_hairpins(bars: Sequence[Element], before: Mapping[str, Element]) -> None:
    """Open at the left edge what began before it; close at the right edge what goes beyond it."""
    if not bars:
        return
    for key, direction in before.items():
        for wedge in direction.iterfind("direction-type/wedge"):
            lead = 1 if len(bars[0]) and bars[0][0].tag == "attributes" else 0
            bars[0].insert(lead, _wedge(key, str(wedge.get("type"))))
    still_open: dict[str, str] = {}
    for direction, wedge in list(_wedges(bars)):
        key = f"{stave_of(direction)}/{wedge.get('number', '1')}"
        if wedge.get("type") != "stop":
            still_open[key] = str(wedge.get("type"))
        elif still_open.pop(key, None) is None:
            _drop(wedge)
    for key in still_open:
        bars[-1].append(_wedge(key, "stop"))


def mend_endings(bars: Sequence[Element]) -> None:
    """Remove first and second endings that are not whole inside the passage."""
    endings = [ending for bar in bars for ending in bar.iterfind("barline/ending")]
    opened: Element | None = None
    for ending in endings:
        if ending.get("type") == "start":
            if opened is not None:
                _drop(opened)
            opened = ending
        elif opened is None:
            _drop(ending)
        else:
            opened = None
    if opened is not None:
        _drop(opened)


def _slurs(bars: Iterable[Element]) -> Iterator[Slur]:
    for bar in bars:
        for note in bar.iterchildren("note"):
            for slur in note.iterfind("notations/slur"):
                yield note, slur


def _hang(edge: Iterable[Element], note: Element, slur: Element, kind: str) -> None:
    """Write the other end of a slur on the outermost fitting note of the edge bar."""
    outer = [
        other
        for bar in edge
        for other in bar.iterchildren("note")
        if other.find("rest") is None
        and other.find("chord") is None
        and other.findtext("voice") == note.findtext("voice")
    ]
    other = (outer[0] if kind == "start" else outer[-1]) if outer else note
    if other is note:
        _drop(slur)
        return
    notations = other.find("notations")
    if notations is None:
        notations = etree.SubElement(other, "notations")
    etree.SubElement(notations, "slur", type=kind, number=str(slur.get("number", "1")))


def _wedges(bars: Iterable[Element]) -> Iterator[tuple[Element, Element]]:
    for bar in bars:
        for direction in bar.iterchildren("direction"):
            for wedge in direction.iterfind("direction-type/wedge"):
                yield direction, wedge


def _wedge(key: str, kind: str) -> Element:
    stave, number = key.split("/", 1)
    direction = etree.Element("direction", placement="below")
    wedge = etree.SubElement(etree.SubElement(direction, "direction-type"), "wedge", type=kind)
    wedge.set("number", number)
    etree.SubElement(direction, "staff").text = stave
    return direction


def _drop(element: Element) -> None:
    """Remove an element, and a direction or direction type that it leaves empty."""
    parent = element.getparent()
    if parent is None:
        return
    parent.remove(element)
    empty = len(parent) == 0 and parent.tag in ("direction-type", "notations", "barline")
    if empty or (parent.tag == "direction" and parent.find("direction-type") is None):
        _drop(parent)
