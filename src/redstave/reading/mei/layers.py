"""From MEI's `<layer>` to events with their times."""

from collections.abc import Callable
from fractions import Fraction
from typing import NamedTuple

from lxml import etree

from redstave.reading.mei.staves import clef_of
from redstave.reading.mei.values import Event, Head, Hung, Music, Setting
from redstave.reading.mei.words import ACCIDENTALS, ARTICULATIONS, TYPES
from redstave.reading.notevalues import TYPE_QUARTERS
from redstave.reading.numbers import whole

Element = etree._Element
WRAPPERS = [
    "beam",
    "graceGrp",
    "supplied",
    "corr",
    "sic",
    "unclear",
    "add",
    "orig",
    "reg",
    "lem",
    "rdg",
]
CHOICES = ["app", "choice", "subst"]
ELSEWHERE = frozenset(["artic", "accid", "barLine"])  # read with their note, or with the bar
LOWEST_LINE = 4 * 7 + 2  # E4, the lowest line under a treble clef, in steps above C0
MOST_PULSES = 1_000_000  # of one note
MOST_NOTES = 64  # of a tuplet; what is longer or shorter otherwise is a performance
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"


class Ground(NamedTuple):
    """What is in force on a stave: its number in the part, the bar's length in quarters, the key.

    `pulses` are those of a quarter, 0 where the file does not count in pulses; `transposes` is
    whether the part sounds elsewhere than it is written.
    """

    stave: int
    length: Fraction
    key: int
    pulses: int
    transposes: bool


class Layer:
    """Reads one layer of one stave."""

    def __init__(self, ground: Ground, music: Music) -> None:
        self.events: list[Event] = []
        self.settings: list[Setting] = []
        self.by_id: dict[str, tuple[Event, Head | None]] = {}
        self._stave, self._length, self._key, self._pulses, self._transposes = ground
        self._in_force: dict[tuple[str, int], float] = {}
        self._music = music
        self._onset = Fraction(0)
        self._ratios: list[Fraction] = []
        self._tremolo = ""

    def read(self, element: Element) -> None:
        """Take the children of a layer, or of something in it that only holds others."""
        for node in element.iterchildren(etree.Element):
            handle = HANDLERS.get(str(node.tag))
            if handle is not None:
                handle(self, node)
            elif node.tag not in ELSEWHERE:
                self._leave_out(str(node.tag))

    def _leave_out(self, name: str) -> None:
        self._music.left_out[name] += 1

    def read_first(self, element: Element) -> None:
        """Take the first of several readings."""
        first = next(element.iterchildren(etree.Element), None)
        if first is not None:
            self.read(first)

    def silence(self, node: Element) -> None:
        """Take a rest or a space."""
        self._add(node, self._event(node, hidden=node.tag == "space"))

    def clef(self, node: Element) -> None:
        """Take a clef that changes within the bar."""
        made = clef_of(node.get("shape"), node.get("line"), node)
        made.set("number", str(self._stave))
        self.settings.append(Setting(self._onset, made))

    def _event(self, node: Element, hidden: bool = False) -> Event:
        name = TYPES.get(node.get("dur") or "", "")
        dots = len(list(node.iterchildren("dot"))) or whole(node.get("dots")) or 0
        grace = node.get("grace") or ("unacc" if _in_grace_group(node) else "")
        plain = Fraction(TYPE_QUARTERS.get(name, 0.0)) * (2 - Fraction(1, 2 ** min(dots, 8)))
        ratio = self._ratio(node, plain)
        return Event(
            onset=self._onset,
            duration=Fraction(0) if grace else plain / ratio,
            type=name,
            dots=dots,
            hidden=hidden or node.get("visible") == "false",
            grace=grace,
            cue=node.get("cue") == "true",
            stem=node.get("stem.dir") or "",
            stave=self._stave,
            ratio=ratio,
        )

    def _ratio(self, node: Element, plain: Fraction) -> Fraction:
        """Return how many times shorter than its plain value something is in its tuplets.

        Where the file counts the pulses of it, they tell: which of two tuplets that begin together
        stands in the other, MEI made from other formats tells wrongly at times.
        """
        pulses = whole(node.get("dur.ppq"))
        if self._pulses and pulses and 0 < pulses < MOST_PULSES and plain:
            told = plain * self._pulses / pulses
            if max(told.numerator, told.denominator) <= MOST_NOTES:
                return told
        ratio = Fraction(1)
        for inner in self._ratios:
            ratio *= inner
        return ratio

    def sounding(self, node: Element) -> None:
        """Take a note or a chord."""
        if not node.get("dur") and node.get("grace") is None:
            self._leave_out("note without a duration")
            return
        event = self._event(node)
        if not event.grace:  # the stroke through a grace note's stem is no tremolo
            event.tremolo = _strokes(node) or self._tremolo
        notes = [node] if node.tag == "note" else list(node.iterchildren("note"))
        for note in notes:
            head = self._head(note)
            if head is not None:
                event.heads.append(head)
                self._name(note, event, head)
        _articulate(event, node)
        for note in notes if node.tag == "chord" else ():
            _articulate(event, note)
        self._add(node, event)

    def _head(self, note: Element) -> Head | None:
        step, octave = (note.get("pname") or "").upper(), whole(note.get("oct"))
        if note.get("oct.ges") and not self._transposes:
            octave = whole(note.get("oct.ges"))  # under an octave line MusicXML says what sounds
        if not step and octave is None:
            return _unpitched(note)
        if step not in tuple("ABCDEFG") or octave is None:
            self._leave_out("note with half a pitch")
            return None
        sign = note.find("accid")
        printed = note.get("accid") or (sign.get("accid") if sign is not None else None)
        sounding = note.get("accid.ges") or (sign.get("accid.ges") if sign is not None else None)
        if printed in ACCIDENTALS:
            self._in_force[step, octave] = ACCIDENTALS[printed][1]
        if sounding in ACCIDENTALS:
            alter = ACCIDENTALS[sounding][1]
        elif self._music.tells_sounding:  # what is neither printed nor sounding is natural
            alter = ACCIDENTALS[printed][1] if printed in ACCIDENTALS else 0.0
        else:
            alter = self._in_force.get((step, octave), _alter_of_key(step, self._key))
            self._music.infers = self._music.infers or (bool(alter) and printed is None)
        word = ACCIDENTALS[printed][0] if printed in ACCIDENTALS else ""
        ties = {"i": {"start"}, "m": {"start", "stop"}, "t": {"stop"}}.get(
            note.get("tie") or "", set()
        )
        return Head(step, alter, octave, word, ties=set(ties))

    def _add(self, node: Element, event: Event) -> None:
        self._name(node, event, None)
        self.events.append(event)
        self._onset += event.duration

    def _name(self, node: Element, event: Event, head: Head | None) -> None:
        if name := node.get(XML_ID) or node.get("id"):
            self.by_id[name] = (event, head)

    def whole_bar(self, node: Element) -> None:
        """Take a silence that lasts the whole bar."""
        event = Event(Fraction(0), self._length, whole_bar=True, stave=self._stave)
        event.hidden = node.tag == "mSpace"
        self._onset = Fraction(0)
        self._add(node, event)

    def tuplet(self, node: Element) -> None:
        """Take a tuplet and what is in it."""
        number, base = whole(node.get("num")) or 3, whole(node.get("numbase")) or 2
        if not (node.get("num") and node.get("numbase")) and not self._pulses:
            self._leave_out("proportion of a tuplet (3 to 2 was assumed)")
        if number < 1 or base < 1:
            number, base = 1, 1
        first = len(self.events)
        self._ratios.append(Fraction(number, base))
        self.read(node)
        self._ratios.pop()
        inside = [event for event in self.events[first:] if not event.grace]
        if inside:
            level = len(self._ratios) + 1
            inside[0].tuplets.append(("start", level))
            inside[-1].tuplets.append(("stop", level))

    def tremolos(self, node: Element) -> None:
        """Take a tremolo on one or between two notes."""
        strokes = _strokes(node) or "3"
        first = len(self.events)
        if node.tag == "bTrem":
            self._tremolo = strokes
            self.read(node)
            self._tremolo = ""
            return
        self._ratios.append(Fraction(2))
        self.read(node)
        self._ratios.pop()
        pair = self.events[first:]
        if len(pair) == 2:
            pair[0].tremolo, pair[1].tremolo = f"start {strokes}", f"stop {strokes}"


def _strokes(node: Element) -> str:
    for name in ("stem.mod", "beams.float", "unitdur"):
        said = node.get(name) or ""
        if name == "stem.mod" and said.endswith("slash"):
            return said.removesuffix("slash")
        if name == "unitdur" and said in ("8", "16", "32", "64"):
            return str(("8", "16", "32", "64").index(said) + 1)
    return ""


def _articulate(event: Event, node: Element) -> None:
    for element in (node, *node.iterchildren("artic")):
        for word in (element.get("artic") or "").split():
            family, name = ARTICULATIONS.get(word, ("articulations", "other-articulation"))
            event.marks.append(Hung(family, name, element.get("place") or ""))


def _unpitched(note: Element) -> Head:
    """Return a stroke by its place on the stave: 0 is the lowest line, 1 the space above it."""
    place = whole(note.get("loc"))
    if place is None or not -20 <= place <= 30:
        return Head("", 0, 0, unpitched=True)
    octave, step = divmod(LOWEST_LINE + place, 7)
    return Head("CDEFGAB"[step], 0, octave, unpitched=True)


def _in_grace_group(node: Element) -> bool:
    return any(True for _ in node.iterancestors("graceGrp"))


def _alter_of_key(step: str, fifths: int) -> float:
    order = "FCGDAEB"
    if fifths >= 0:
        return float(step in order[:fifths])
    return -float(step in order[fifths:])


HANDLERS: dict[str, Callable[[Layer, Element], None]] = {
    "note": Layer.sounding,
    "chord": Layer.sounding,
    "rest": Layer.silence,
    "space": Layer.silence,
    "mRest": Layer.whole_bar,
    "multiRest": Layer.whole_bar,
    "mSpace": Layer.whole_bar,
    "tuplet": Layer.tuplet,
    "bTrem": Layer.tremolos,
    "fTrem": Layer.tremolos,
    "clef": Layer.clef,
    **dict.fromkeys(CHOICES, Layer.read_first),
    **dict.fromkeys([*WRAPPERS, "lem", "rdg"], Layer.read),
}
