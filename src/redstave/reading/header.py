"""What stands before the music: titles, makers, the list of parts and their brackets."""

from collections.abc import Callable
from dataclasses import dataclass, field

from redstave.model.score import Inner, PartGroup, ScoreInstrument
from redstave.reading.element import Element, line_of
from redstave.reading.inner import inner, inside
from redstave.reading.keep import content
from redstave.reading.numbers import whole
from redstave.reading.problems import Problems


@dataclass(slots=True)
class PartEntry:
    """One part as the list of parts announces it."""

    id: str
    name: str
    abbreviation: str
    instruments: tuple[ScoreInstrument, ...]
    heading: tuple[Inner, ...] = ()


@dataclass(slots=True)
class Header:
    """What has been read of the file's head."""

    problems: Problems
    metadata: list[tuple[str, str]] = field(default_factory=list)
    parts: list[PartEntry] = field(default_factory=list)
    groups: list[PartGroup] = field(default_factory=list)
    head: list[Inner] = field(default_factory=list)

    def said(self, name: str) -> str:
        """Return the first thing said under a name, or an empty text."""
        return next((text for key, text in self.metadata if key == name and text), "")

    @property
    def title(self) -> str:
        """The title: work and movement, or what is printed as title on the first page."""
        work, movement = self.said("work-title"), self.said("movement-title")
        if work and movement and movement != work:
            return f"{work}: {movement}"
        return work or movement or self.said("credit-title")


def read_head(header: Header, element: Element) -> None:
    """Take one of the elements that stand before the parts."""
    HANDLERS[element.tag](header, element)
    if element.tag != "part-list":
        header.head.append(inner(element))


def _keep_text(header: Header, element: Element) -> None:
    header.metadata.append((element.tag, content(element)))


def _keep_children(header: Header, element: Element) -> None:
    for child in element:
        if isinstance(child.tag, str):
            name = child.get("type") or child.get("name") or child.tag
            if child.tag in ("encoding", "miscellaneous"):
                _keep_children(header, child)
            elif child.tag == "supports":
                header.metadata.append(("supports", child.get("element") or ""))
            else:
                header.metadata.append((name, content(child)))


def _defaults(header: Header, element: Element) -> None:
    # Of the page's layout only this bears on the music: parts are notated at concert pitch.
    if element.find("concert-score") is not None:
        header.metadata.append(("concert-score", "yes"))


def _credit(header: Header, element: Element) -> None:
    kinds = [(child.text or "").strip() for child in element.iterchildren("credit-type")]
    words = "".join(child.text or "" for child in element.iterchildren("credit-words"))
    if words.strip():
        header.metadata.append((f"credit-{kinds[0]}" if kinds else "credit", words.strip()))


def _part_list(header: Header, element: Element) -> None:
    seen: set[str] = set()
    open_groups: list[tuple[str, Element, int]] = []
    for child in element:
        if child.tag == "score-part":
            entry = _score_part(header, child)
            if entry.id in seen:
                text = f"The list of parts names {entry.id!r} twice; the first was used."
                header.problems.add("duplicate-part", text, line_of(child))
            else:
                header.parts.append(entry)
            seen.add(entry.id)
        elif child.tag == "part-group":
            _part_group(header, child, open_groups)
        elif isinstance(child.tag, str):
            text = f"<{child.tag}> has no meaning in the list of parts; it was not read."
            header.problems.add("unknown-element", text, line_of(child))
    for number, start, first in reversed(open_groups):  # the inner ones first
        text = (
            "A bracket of parts that begins in the list of parts never ends; the last part ends it."
        )
        header.problems.add("group-without-end", text, line_of(start))
        _close_group(header, number, start, first)


def _score_part(header: Header, element: Element) -> PartEntry:
    said = {child.tag: child for child in element}
    sounds = {child.get("id"): child for child in element.iterchildren("midi-instrument")}
    header.metadata.extend(("player", content(player)) for player in element.iterchildren("player"))
    return PartEntry(
        element.get("id") or "",
        _name(said, "part-name"),
        _name(said, "part-abbreviation"),
        tuple(
            _instrument(child, sounds.get(child.get("id")))
            for child in element.iterchildren("score-instrument")
        ),
        inside(element),
    )


def _name(said: dict[str, Element], tag: str) -> str:
    display = said.get(f"{tag}-display")
    if display is not None:
        text = "".join(
            child.text or "" if child.tag == "display-text" else _accidental(child.text)
            for child in display
            if child.tag in ("display-text", "accidental-text")
        )
        if text.strip():
            return text.strip()
    element = said.get(tag)
    return "" if element is None else (element.text or "").strip()


def _accidental(text: str | None) -> str:
    return {"flat": "♭", "sharp": "♯", "natural": "♮"}.get((text or "").strip(), text or "")


def _instrument(element: Element, midi: Element | None) -> ScoreInstrument:
    def number(tag: str) -> int:
        return 0 if midi is None else whole(midi.findtext(tag)) or 0

    return ScoreInstrument(
        element.get("id") or "",
        (element.findtext("instrument-name") or "").strip(),
        (element.findtext("instrument-sound") or "").strip(),
        number("midi-program"),
        number("midi-unpitched"),
    )


def _part_group(
    header: Header, element: Element, open_groups: list[tuple[str, Element, int]]
) -> None:
    number, kind = element.get("number") or "1", element.get("type")
    if kind == "start":
        open_groups.append((number, element, len(header.parts)))
        return
    if kind != "stop":
        text = (
            f"A bracket of parts should say 'start' or 'stop' and says {kind!r}; it was left out."
        )
        header.problems.add("bad-type", text, line_of(element))
        return
    for index in reversed(range(len(open_groups))):
        if open_groups[index][0] == number:
            _close_group(header, *open_groups.pop(index))
            return
    text = (
        f"A bracket of parts with the number {number!r} ends but does not begin; it was left out."
    )
    header.problems.add("group-without-beginning", text, line_of(element))


def _close_group(header: Header, number: str, start: Element, first: int) -> None:
    members = header.parts[first:]
    if not members:
        text = "A bracket of parts holds no part; it was left out."
        header.problems.add("empty-group", text, line_of(start))
        return
    said = {child.tag: child for child in start}
    symbol = (start.findtext("group-symbol") or "").strip()
    name = _name(said, "group-name")
    first_id, last_id = members[0].id, members[-1].id
    header.groups.append(PartGroup(number, symbol, name, first_id, last_id, inside(start)))


HANDLERS: dict[str, Callable[[Header, Element], None]] = {
    "work": _keep_children,
    "movement-number": _keep_text,
    "movement-title": _keep_text,
    "identification": _keep_children,
    "defaults": _defaults,
    "credit": _credit,
    "part-list": _part_list,
}
