"""A score opened for planting: its facts as read, and a copy of its XML to change.

Note ids lead to elements: `part.bar.n` is the n-th `<note>` of that bar of that part. Everything
here changes the copy only; facts are always those of the untouched score.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator
from copy import deepcopy
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from lxml import etree

from redstave.analysis import Analysis
from redstave.model.line import LEVEL_NUMBERS, Line, Tone, level_name
from redstave.model.score import Mark, Note, Part, Score
from redstave.reading import read_bytes, xml_of

Element = Any  # lxml's elements; its stubs do not know half of what is used here
SHARP_STEPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


@dataclass(frozen=True)
class Master:
    """An untouched score and what is known of it."""

    name: str
    xml: bytes
    analysis: Analysis

    @property
    def score(self) -> Score:
        """The score as read."""
        return self.analysis.score

    @cached_property
    def line_of(self) -> dict[str, Line]:
        """The first line of each part that has one."""
        return {line.part: line for line in reversed(self.analysis.playing.lines)}

    @cached_property
    def tones(self) -> dict[str, tuple[Tone, ...]]:
        """The tones of each part in order of time."""
        found: dict[str, list[Tone]] = defaultdict(list)
        for tone in self.analysis.playing.tones:
            found[self.analysis.playing.lines[tone.line].part].append(tone)
        return {part: tuple(sorted(some, key=lambda t: t.start)) for part, some in found.items()}

    @cached_property
    def notes(self) -> dict[str, dict[int, tuple[Note, ...]]]:
        """The notes of each part by bar, without rests, graces, cues and what is hidden."""
        parts = self.score.parts
        found: dict[str, dict[int, list[Note]]] = {p.id: defaultdict(list) for p in parts}
        for part in parts:
            for note in part.notes:
                if note.kind != "rest" and not (note.grace or note.cue or note.hidden):
                    found[part.id][note.bar].append(note)
        return {
            part: {bar: tuple(notes) for bar, notes in bars.items()} for part, bars in found.items()
        }

    def parts(self, *families: str) -> Iterator[Part]:
        """Yield the one-stave parts of the given families."""
        for part in self.score.parts:
            line = self.line_of.get(part.id)
            if line is not None and line.family in families and part.staves == 1:
                yield part

    def single(self, part: str) -> tuple[Note, ...]:
        """Return the notes of a part that sound alone, by time; no bar with several voices."""
        found: list[Note] = []
        for bar in sorted(self.notes[part]):
            notes = self.notes[part][bar]
            if len({n.offset for n in notes}) == len(notes) and len({n.voice for n in notes}) == 1:
                found.extend(notes)
        return tuple(found)

    def tick(self, note: Note | Mark) -> int:
        """Return where a note or mark stands, in ticks."""
        return self.score.tick(note.bar, note.offset)

    def seconds(self, note: Note) -> float:
        """Return how long a note lasts."""
        start, tempo = self.tick(note), self.analysis.playing.tempo
        return tempo.seconds(start + note.duration) - tempo.seconds(start)

    def level(self, part: str, tick: int) -> float | None:
        """Return the level in force in a part at a tick; None where the page names none."""
        points = self.analysis.playing.levels[self.line_of[part].id]
        at = bisect_right(points, tick, key=lambda point: point.tick) - 1
        point = points[max(0, at)]
        return point.level if point.known and not point.ramp else None

    def sounding(self, note: Note) -> float:
        """Return the sounding pitch of a note."""
        tone = self.analysis.tone_of.get(note.id)
        return note.written_midi if tone is None else tone.midi


def master(path: Path) -> Master:
    """Read an untouched score."""
    xml, _, _ = xml_of(path.read_bytes(), path.name)
    return Master(path.stem, xml, Analysis(read_bytes(xml, f"{path.stem}.xml")))


class Copy:
    """A copy of a master's XML that faults are planted in."""

    def __init__(self, of: Master) -> None:
        self.of = of
        self.root: Element = etree.fromstring(of.xml)
        self.parts: dict[str, Element] = dict(
            zip((part.id for part in of.score.parts), self.root.findall("part"), strict=True)
        )
        self.bars = {part: element.findall("measure") for part, element in self.parts.items()}
        self.elements = {
            (part, at): bar.findall("note")
            for part, bars in self.bars.items()
            for at, bar in enumerate(bars)
        }
        self.marked = {
            mark.id: self._at(part, mark) for part in of.score.parts for mark in part.marks
        }

    def read(self) -> Analysis:
        """Return the analysis of the copy as it now stands."""
        return Analysis(read_bytes(etree.tostring(self.root), f"{self.of.name}.xml"))

    def note(self, note: Note) -> Element:
        """Return the element of a note."""
        part, bar, number = note.id.rsplit(".", 2)
        return self.elements[part, int(bar)][int(number)]

    def part_of(self, note: Note) -> str:
        """Return the id of a note's part."""
        return note.id.rsplit(".", 2)[0]

    def _at(self, part: Part, mark: Mark) -> Element | None:
        element = self.bars[part.id][mark.bar] if mark.path else None
        for step in mark.path.split(".") if mark.path else ():
            if element is None or len(element) < int(step):
                return None
            element = element[int(step) - 1]
        return element

    def remove(self, marks: Iterable[Mark]) -> None:
        """Take marks off the page, each with its direction where nothing else stands in it."""
        for mark in marks:
            element = self.marked[mark.id]
            if element is not None:
                take(element)

    def before(self, note: Note, *kinds: Element) -> None:
        """Print directions where a note stands, before it (and before the chord it is part of)."""
        target = self.note(note)
        for kind in kinds:
            direction = etree.Element("direction", placement="below")
            etree.SubElement(direction, "direction-type").append(kind)
            if note.stave > 1:
                etree.SubElement(direction, "staff").text = str(note.stave)
            target.addprevious(direction)

    def level_between(self, part: str, first: Note, after: Note | None, level: float) -> None:
        """Print a level at a note, and the one that was in force again at a later note."""
        old = self.of.level(part, self.of.tick(first))
        inside = [
            mark
            for mark in self.of.score.parts_by_id[part].marks_of("level")
            if self.of.tick(first) <= self.of.tick(mark)
            and (after is None or self.of.tick(mark) < self.of.tick(after))
        ]
        self.remove(inside)
        self.before(first, dynamics(level))
        if after is not None and old is not None:
            self.before(after, dynamics(old))


def take(element: Element) -> None:
    """Take an element out, and whatever holds nothing any more once it is gone."""
    parent = element.getparent()
    if parent is None:
        return
    parent.remove(element)
    if parent.tag == "direction-type" or parent.tag in ("dynamics", "notations"):
        if len(parent) == 0:
            take(parent)
    elif parent.tag == "direction" and parent.find("direction-type") is None:
        take(parent)


def words(text: str) -> Element:
    """Return an element of words."""
    element = etree.Element("words")
    element.text = text
    return element


def dynamics(level: float) -> Element:
    """Return the element of a level between ppp and fff."""
    element = etree.Element("dynamics")
    etree.SubElement(element, level_name(level))
    return element


def set_written(element: Element, midi: float) -> None:
    """Give a note another written pitch, spelled with sharps; its ties are cut."""
    step = SHARP_STEPS[round(midi) % 12]
    pitch = element.find("pitch")
    for child in list(pitch):
        pitch.remove(child)
    etree.SubElement(pitch, "step").text = step[0]
    if len(step) > 1:
        etree.SubElement(pitch, "alter").text = "1"
    etree.SubElement(pitch, "octave").text = str(round(midi) // 12 - 1)
    for tag in ("accidental", "tie", "notations/tied"):
        for child in element.findall(tag):
            take(child)


def add_to_chord(element: Element, midi: float) -> Element:
    """Add a note to the chord of a note, and return it."""
    other = deepcopy(element)
    for tag in ("notations", "tie", "beam", "lyric", "accidental", "chord"):
        for child in other.findall(tag):
            other.remove(child)
    other.insert(0, etree.Element("chord"))
    element.addnext(other)
    set_written(other, midi)
    return other


def notation(element: Element, tag: str, into: str = "", **attributes: str) -> Element:
    """Add a sign to a note: `tag` within its notations, or within `into` inside them."""
    holder = element.find("notations")
    if holder is None:
        holder = etree.Element("notations")
        later = next((c for c in element if c.tag in ("lyric", "play", "listen")), None)
        element.append(holder) if later is None else later.addprevious(holder)
    if into:
        holder = etree.SubElement(holder, into)
    return etree.SubElement(holder, tag, attributes)


def slur(first: Element, last: Element, number: str = "6") -> None:
    """Draw a slur from one note to another."""
    notation(first, "slur", type="start", number=number)
    notation(last, "slur", type="stop", number=number)


def level_number(mark: Mark) -> int | None:
    """Return the number of a level from ppp to fff; None for any other sign of loudness."""
    return LEVEL_NUMBERS.get(mark.name)
