"""The printed page kept as XML, with our ids on it, ready to have passages cut from it.

The reader turns the file into values; the engraver needs the file. Both give every note the same
id (`part.bar-index.n`, n counting each `<note>` of the bar), so a finding, a note of the Score
and a note head in the engraving are one and the same thing.

Beside the ids the page knows, for every bar of every part, what is in force when it begins:
clef, key, metre, divisions and transposition, the last printed level of each stave, and the
hairpins still open.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from lxml import etree

from redstave.base.errors import InputError
from redstave.model.line import LEVEL_NUMBERS
from redstave.reading.ids import new_part_id
from redstave.reading.numbers import exact

Element = etree._Element
AttributeKey = tuple[str, str]  # element name and stave number, "" for all staves

#: The order the MusicXML 4.0 schema asks for inside `<attributes>`; the rest is not carried on.
ATTRIBUTE_ORDER = ("divisions", "key", "time", "staves", "clef", "staff-details", "transpose")
_BY_STAVE = frozenset({"key", "time", "clef", "staff-details", "transpose"})
#: fp leaves a soft level behind it; sf, sfz, fz and rf leave the level as it was.
_LEVEL_LEFT = {name: name for name in LEVEL_NUMBERS} | {"fp": "p", "sfp": "p", "pf": "f"}


class Standing(NamedTuple):
    """What is in force when a bar begins."""

    attributes: Mapping[AttributeKey, Element]
    levels: Mapping[str, str]  # by stave number: the last printed level, if no hairpin followed
    hairpins: Mapping[str, Element]  # by stave and number: the direction that opened it


@dataclass(frozen=True)
class PagePart:
    """One part of the page: its heading in the part list, its bars, what stands before each."""

    id: str
    heading: Element
    bars: tuple[Element, ...]
    standing: tuple[Standing, ...]

    def staves_at(self, bar: int) -> int:
        """Return how many staves the part has in a bar."""
        own = self.bars[bar].findtext("attributes/staves") if bar < len(self.bars) else None
        standing = self.standing[min(bar, len(self.standing) - 1)].attributes.get(("staves", ""))
        return int(amount(own or (standing.text if standing is not None else None), 1)) or 1

    @property
    def name(self) -> str:
        """The printed name, display name first."""
        return _printed(self.heading, "part-name-display", "part-name")

    @property
    def abbreviation(self) -> str:
        """The printed abbreviation, display form first."""
        return _printed(self.heading, "part-abbreviation-display", "part-abbreviation")


@dataclass(frozen=True)
class Page:
    """A whole score as XML. `listing` is the `<part-list>`; parts stand in the page's order."""

    listing: Element
    parts: tuple[PagePart, ...]

    @cached_property
    def by_id(self) -> dict[str, PagePart]:
        """Every part under its id."""
        return {part.id: part for part in self.parts}

    @cached_property
    def bar_count(self) -> int:
        """The number of bars of the longest part."""
        return max((len(part.bars) for part in self.parts), default=0)


def page(xml: bytes) -> Page:
    """Read uncompressed MusicXML into a page with our ids; raises InputError for anything else."""
    parser = etree.XMLParser(
        resolve_entities=False,
        load_dtd=False,
        no_network=True,
        remove_comments=True,
        remove_pis=True,
        remove_blank_text=True,
    )
    try:
        root = etree.fromstring(xml, parser)
    except etree.XMLSyntaxError as error:
        raise InputError(f"the score is not well-formed XML ({error})") from error
    if str(root.tag).startswith("{"):
        _drop_namespaces(root)
    if root.tag not in ("score-partwise", "score-timewise"):
        raise InputError(f"expected a MusicXML score, found <{root.tag}>; export it as MusicXML")
    listing = root.find("part-list")
    if listing is None:
        listing = etree.Element("part-list")
    parts = tuple(
        _part(str(heading.get("id")), heading, bars)
        for heading, bars in _listed(listing, _bars(root))
    )
    return Page(listing, parts)


def note_id(part: str, bar: int, n: int) -> str:
    """Return the id of the n-th `<note>` of a bar."""
    return f"{part}.{bar}.{n}"


def amount(text: str | None, otherwise: int) -> Fraction:
    """Return a number of the file; what is no number, or a negative one, counts as `otherwise`."""
    number = exact(text)
    return Fraction(otherwise) if number is None or number < 0 else number


def stave_of(element: Element) -> str:
    """Return the number of the stave a note or direction stands on."""
    return element.findtext("staff", "1").strip() or "1"


def _drop_namespaces(root: Element) -> None:
    for element in root.iter():
        element.tag = etree.QName(element).localname


def _bars(root: Element) -> list[tuple[str, list[Element]]]:
    """Return the bars of every part under the part's id in the file."""
    if root.tag == "score-partwise":
        parts = root.iterchildren("part")
        return [(str(part.get("id", "")), list(part.iterchildren("measure"))) for part in parts]
    turned: dict[str, list[Element]] = {}
    for measure in root.iterchildren("measure"):
        for part in list(measure.iterchildren("part")):
            turned.setdefault(str(part.get("id", "")), []).append(part)
            part.tag = "measure"
            part.attrib.clear()
            part.attrib.update(measure.attrib)
    return list(turned.items())


def _listed(
    listing: Element, content: list[tuple[str, list[Element]]]
) -> Iterator[tuple[Element, list[Element]]]:
    """Yield heading and bars of every part in the reader's order, the headings given our ids.

    First the parts as the list names them, then those it does not name, for which a heading is
    added; ids are given out in the order of the parts in the file.
    """
    taken: list[str] = []
    for raw, _ in content:
        taken.append(new_part_id(raw, taken))
    waiting = [(raw, part, bars) for part, (raw, bars) in zip(taken, content, strict=True)]
    for heading in list(listing.iterchildren("score-part")):
        found = next((one for one in waiting if one[0] == heading.get("id", "")), None)
        if found is None:
            listing.remove(heading)
            continue
        waiting.remove(found)
        heading.set("id", found[1])
        yield heading, found[2]
    for raw, part, bars in waiting:
        heading = etree.SubElement(listing, "score-part", id=part)
        etree.SubElement(heading, "part-name").text = raw
        yield heading, bars


def _part(part: str, heading: Element, bars: list[Element]) -> PagePart:
    for index, bar in enumerate(bars):
        bar.set("id", f"{part}.{index}")
        for n, note in enumerate(bar.iterchildren("note")):
            note.set("id", note_id(part, index, n))
    return PagePart(part, heading, tuple(bars), tuple(_standing(bars)))


def _standing(bars: list[Element]) -> Iterator[Standing]:
    """Yield what stands before each bar; mappings are shared while nothing changes."""
    attributes: dict[AttributeKey, Element] = {}
    levels: dict[str, str] = {}
    hairpins: dict[str, Element] = {}
    for bar in bars:
        yield Standing(attributes, levels, hairpins)
        for child in bar:
            if child.tag == "attributes":
                attributes = _with_attributes(attributes, child)
            elif child.tag == "direction":
                levels = _with_level(levels, child)
                hairpins = _with_hairpin(hairpins, child)


def _with_attributes(
    standing: dict[AttributeKey, Element], change: Element
) -> dict[AttributeKey, Element]:
    now = dict(standing)
    for child in change:
        if child.tag not in ATTRIBUTE_ORDER:
            continue
        if child.tag == "staff-details" and child.find("staff-lines") is None:
            continue  # hides or shows a stave; its lines stay as they were
        number = str(child.get("number", "")) if child.tag in _BY_STAVE else ""
        if child.tag == "clef":
            number = number or "1"
        elif not number:  # one for all staves replaces those of single staves
            now = {key: value for key, value in now.items() if key[0] != child.tag}
        now[(str(child.tag), number)] = child
    return now


def _with_level(standing: dict[str, str], direction: Element) -> dict[str, str]:
    now = standing
    for kind in direction.iterchildren("direction-type"):
        for child in kind:
            if child.tag == "wedge" and stave_of(direction) in now:
                now = {key: value for key, value in now.items() if key != stave_of(direction)}
            elif child.tag == "dynamics":
                left = [_LEVEL_LEFT[name] for name in _names(child) if name in _LEVEL_LEFT]
                now = now | {stave_of(direction): left[-1]} if left else now
    return now


def _names(dynamics: Element) -> Iterator[str]:
    return (str(child.tag) for child in dynamics)


def _with_hairpin(standing: dict[str, Element], direction: Element) -> dict[str, Element]:
    now = standing
    for wedge in direction.iterfind("direction-type/wedge"):
        key = f"{stave_of(direction)}/{wedge.get('number', '1')}"
        if wedge.get("type") in ("crescendo", "diminuendo"):
            now = now | {key: direction}
        elif wedge.get("type") == "stop":
            now = {other: value for other, value in now.items() if other != key}
    return now


def _printed(heading: Element, display: str, plain: str) -> str:
    shown = heading.find(display)
    words = heading.findtext(plain, "")
    if shown is not None:
        words = "".join(map(str, shown.itertext()))
    return " ".join(words.split())
