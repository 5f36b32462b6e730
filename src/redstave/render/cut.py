"""Cutting a passage (bars × parts) out of the page, as a small MusicXML score of its own.

The engraver gets the bars asked for with a few bars of margin on either side and is told to show
the inner ones only, so that a tie, slur or hairpin that crosses the edge is drawn as on a page
whose system ends there. What crosses even the margin is closed at the margin's outer edge.
"""

from collections.abc import Iterator, Mapping, Sequence
from copy import deepcopy
from fractions import Fraction
from typing import NamedTuple

from lxml import etree

from redstave.render.page_xml import (
    ATTRIBUTE_ORDER,
    AttributeKey,
    Element,
    Page,
    PagePart,
    amount,
    stave_of,
)
from redstave.render.spans_mended import mend_endings, mend_hairpins, mend_slurs

MARGIN = 3  # bars on either side
LONGEST_LABEL = 18  # characters of a part's name before its abbreviation is used
_SYSTEM_WIDE = ("rehearsal", "metronome", "segno", "coda")


class Passage(NamedTuple):
    """Bars `first` to `last` (indices, both included) of the parts named, in any order.

    `short` sets abbreviations before the staves, as on every system but the first.
    """

    first: int
    last: int
    parts: tuple[str, ...]
    short: bool = False


class Cut(NamedTuple):
    """A passage as MusicXML, and which of its bars to show, counted from 1 ("4-7")."""

    xml: str
    show: str


def cut(page: Page, passage: Passage) -> Cut:
    """Cut a passage; its parts keep the order of the page and multi-stave parts stay whole."""
    kept = [part for part in page.parts if part.id in passage.parts]
    start = max(0, passage.first - MARGIN)
    stop = min(page.bar_count - 1, passage.last + MARGIN)
    score = etree.Element("score-partwise", version="4.0")
    score.append(_listing(page, kept, passage.short))
    for part in kept:
        bars = _bars(part, start, stop)
        _write_levels(part, passage.first, bars[passage.first - start :])
        if part is kept[0] and part is not page.parts[0]:
            _rehome(page.parts[0], part, start, bars)
        etree.SubElement(score, "part", id=part.id).extend(bars)
    show = f"{passage.first - start + 1}-{passage.last - start + 1}"
    return Cut(etree.tostring(score, encoding="unicode"), show)


def label(part: PagePart, short: bool = False) -> str:
    """Return what stands before the stave: the name, or the abbreviation (always for a long name).

    A part without an abbreviation keeps its name, cut where it is too long.
    """
    if len(part.name) <= LONGEST_LABEL and not (short and part.abbreviation):
        return part.name
    if part.abbreviation:
        return part.abbreviation
    return f"{part.name[: LONGEST_LABEL - 1]}…"


def positions(bar: Element) -> Iterator[tuple[Fraction, Element]]:
    """Yield every child of a bar with its position in divisions from the start of the bar."""
    now, last = Fraction(0), Fraction(0)
    for child in bar:
        length = amount(child.findtext("duration"), 0)
        if child.tag == "backup":
            now = max(Fraction(0), now - length)
        elif child.tag == "forward":
            now += length
        elif child.tag == "note" and child.find("chord") is not None:
            yield last, child
        else:
            yield now, child
            last = now
            now += length if child.tag == "note" else 0


def _listing(page: Page, kept: Sequence[PagePart], short: bool) -> Element:
    """Return the part list of the passage: kept parts, and groups that still hold two of them."""
    wanted = {part.id: part for part in kept}
    listing = etree.Element("part-list")
    open_groups: dict[str, Element] = {}
    for child in page.listing:
        if child.tag == "score-part" and child.get("id") in wanted:
            listing.append(_heading(wanted[str(child.get("id"))], short))
        elif child.tag == "part-group" and child.get("type") == "start":
            open_groups[str(child.get("number", "1"))] = _group(child)
            listing.append(open_groups[str(child.get("number", "1"))])
        elif child.tag == "part-group":
            _close_group(listing, open_groups.pop(str(child.get("number", "1")), None), child)
    for group in open_groups.values():  # never closed in the file
        listing.remove(group)
    return listing


def _heading(part: PagePart, short: bool) -> Element:
    heading = etree.Element("score-part", id=part.id)
    etree.SubElement(heading, "part-name").text = label(part, short)
    etree.SubElement(heading, "part-abbreviation").text = label(part, short)
    return heading


def _group(start: Element) -> Element:
    group = deepcopy(start)
    for name in ("group-name", "group-name-display", "group-abbreviation"):
        for child in group.findall(name):
            group.remove(child)
    return group


def _close_group(listing: Element, start: Element | None, stop: Element) -> None:
    if start is None:
        return
    inside = sum(1 for sibling in start.itersiblings("score-part"))
    if inside >= 2:
        listing.append(deepcopy(stop))
    else:
        listing.remove(start)


def _bars(part: PagePart, start: int, stop: int) -> list[Element]:
    bars = [deepcopy(bar) for bar in part.bars[start : stop + 1]]
    for bar in bars:
        _strip(bar)
    if bars and start > 0:
        _lead_in(bars[0], part.standing[start].attributes)
    mend_slurs(bars)
    mend_hairpins(bars, part.standing[start].hairpins if bars else {})
    mend_endings(bars)
    return bars


def _strip(bar: Element) -> None:
    """Remove layout, colours and merged rests: they belong to the entrant's page, not to ours."""
    for details in bar.findall("attributes/staff-details"):
        details.attrib.pop("print-object", "")  # an excerpt shows every stave it was asked for
    for name in ("print", "attributes/measure-style", "sound"):
        for child in bar.findall(name):
            parent = child.getparent()
            if parent is not None:
                parent.remove(child)
    for direction in bar.iterchildren("direction"):
        if direction.find("direction-type/metronome") is not None:
            _drop_brackets(direction)
    for element in bar.iter():
        if "color" in element.attrib:
            del element.attrib["color"]


def _drop_brackets(direction: Element) -> None:
    """Remove the "[" and "]" round a metronome mark, which the engraver sets side by side."""
    for kind in direction.findall("direction-type"):
        if kind.findtext("words", "").strip() in ("[", "]", "(", ")"):
            direction.remove(kind)


def _lead_in(bar: Element, standing: Mapping[AttributeKey, Element]) -> None:
    """Write what is in force into the first bar, under whatever the bar itself sets at once."""
    own = bar[0] if len(bar) and bar[0].tag == "attributes" else None
    merged: dict[AttributeKey, Element] = dict(standing)
    for child in own if own is not None else ():
        for key in [key for key in merged if key[0] == child.tag and _same(key, child)]:
            del merged[key]
    lead = etree.Element("attributes")
    children = [deepcopy(child) for child in merged.values()]
    for child in children:
        child.attrib.pop("print-object", "")
    children += list(own) if own is not None else []
    lead.extend(sorted((c for c in children if c.tag in ATTRIBUTE_ORDER), key=_schema_place))
    if own is not None:
        bar.remove(own)
    bar.insert(0, lead)


def _same(key: AttributeKey, child: Element) -> bool:
    number = str(child.get("number", "1" if child.tag == "clef" else ""))
    return number in ("", key[1])


def _schema_place(child: Element) -> tuple[int, str]:
    return ATTRIBUTE_ORDER.index(str(child.tag)), str(child.get("number", ""))


def _write_levels(part: PagePart, first: int, bars: Sequence[Element]) -> None:
    """Print the level in force in parentheses where a stave sounds on across the left edge."""
    if first == 0 or not bars or first >= len(part.bars):
        return
    for stave, level in part.standing[first].levels.items():
        if _sounds_at_start(bars[0], stave) and _sounds(part.bars[first - 1], stave):
            bars[0].insert(_after_attributes(bars[0]), _parenthesis(stave, level))


def _sounds(bar: Element, stave: str) -> bool:
    return any(
        note.find("rest") is None and stave_of(note) == stave for note in bar.iterchildren("note")
    )


def _sounds_at_start(bar: Element, stave: str) -> bool:
    """Whether a note stands on the first beat of the stave with no level near it.

    A level at the next note would stand in the way of one in parentheses, and says enough.
    """
    here = [(at, child) for at, child in positions(bar) if stave_of(child) == stave]
    onsets = sorted(
        {at for at, child in here if child.tag == "note" and child.find("rest") is None}
    )
    if not onsets or onsets[0] > 0:
        return False
    levels = [at for at, child in here if child.find(".//dynamics") is not None]
    return not any(at <= onsets[:2][-1] for at in levels)


def _parenthesis(stave: str, level: str) -> Element:
    direction = etree.Element("direction", placement="below")
    for bracket in ("(", "", ")"):
        kind = etree.SubElement(direction, "direction-type")
        if bracket:
            etree.SubElement(kind, "words").text = bracket
        else:
            etree.SubElement(etree.SubElement(kind, "dynamics"), level)
    etree.SubElement(direction, "staff").text = stave
    return direction


def _after_attributes(bar: Element) -> int:
    return 1 if len(bar) and bar[0].tag == "attributes" else 0


def _rehome(top: PagePart, part: PagePart, start: int, bars: Sequence[Element]) -> None:
    """Carry tempo and rehearsal marks of the page's top stave to the first kept stave."""
    for index, bar in enumerate(bars, start):
        if index >= len(top.bars) or any(_system_wide(child) for child in bar):
            continue
        scale = _divisions(part, index) / _divisions(top, index)
        for position, child in reversed(list(positions(top.bars[index]))):
            if _system_wide(child):
                bar.insert(_after_attributes(bar), _moved(child, position * scale))


def _system_wide(child: Element) -> bool:
    if child.tag != "direction":
        return False
    if child.get("system") in ("only-top", "also-top"):
        return True
    kinds = child.iterchildren("direction-type")
    if any(kind.find(name) is not None for kind in kinds for name in _SYSTEM_WIDE):
        return True
    sound = child.find("sound")
    return sound is not None and sound.get("tempo") is not None


def _moved(direction: Element, position: Fraction) -> Element:
    moved = etree.Element("direction", placement="above")
    moved.extend(deepcopy(kind) for kind in direction.iterchildren("direction-type"))
    if moved.find("direction-type/metronome") is not None:
        _drop_brackets(moved)
    if position:
        etree.SubElement(moved, "offset").text = f"{float(position):g}"
    return moved


def _divisions(part: PagePart, bar: int) -> Fraction:
    """Return the divisions of a quarter in force in a bar (set before it, or at its start)."""
    own = part.bars[bar].findtext("attributes/divisions") if bar < len(part.bars) else None
    standing = part.standing[min(bar, len(part.standing) - 1)].attributes.get(("divisions", ""))
    return amount(own or (standing.text if standing is not None else None), 1) or Fraction(1)
