"""Writes what an MEI file says as MusicXML."""

from fractions import Fraction
from math import lcm

from lxml import etree

from redstave.reading.mei.values import BarSigns, Direction, Event, Head, Hung, Music, Part, PartBar
from redstave.reading.mei.words import BARLINES
from redstave.reading.tiny.xml import child

Element = etree._Element
ATTRIBUTES_FIRST = ("key", "time", "clef")  # as the schema orders them; <staves> stand between


def write(music: Music) -> bytes:
    """Return the piece as MusicXML 4.0."""
    root = etree.Element("score-partwise", version="4.0")
    if music.title:
        child(child(root, "work"), "work-title", music.title)
    if music.composer:
        child(child(root, "identification"), "creator", music.composer, type="composer")
    _part_list(root, music)
    divisions = _divisions(music)
    for index, part in enumerate(music.parts, start=1):
        element = child(root, "part", id=f"P{index}")
        for number, bar in enumerate(part.bars):
            _bar(element, music.bars[number], part, bar, divisions, first=number == 0)
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True, pretty_print=True)


def _part_list(root: Element, music: Music) -> None:
    listed = child(root, "part-list")
    for index, part in enumerate(music.parts):
        for number, (symbol, first, _) in enumerate(music.groups, start=1):
            if first == index:
                group = child(listed, "part-group", type="start", number=str(number))
                child(group, "group-symbol", symbol)
        entry = child(listed, "score-part", id=f"P{index + 1}")
        child(entry, "part-name", part.name)
        if part.abbreviation:
            child(entry, "part-abbreviation", part.abbreviation)
        for number, (_, _, last) in enumerate(music.groups, start=1):
            if last == index:
                child(listed, "part-group", type="stop", number=str(number))


def _divisions(music: Music) -> int:
    times = [
        time
        for part in music.parts
        for bar in part.bars
        for events in bar.layers.values()
        for event in events
        for time in (event.duration, event.onset)
    ]
    times += [made.onset for part in music.parts for bar in part.bars for made in bar.directions]
    divisions = 1
    for time in times:
        if lcm(divisions, time.denominator) <= 1_000_000:
            divisions = lcm(divisions, time.denominator)
    return divisions


def _bar(
    element: Element, signs: BarSigns, part: Part, bar: PartBar, divisions: int, first: bool
) -> None:
    measure = child(element, "measure", number=signs.number)
    if signs.implicit:
        measure.set("implicit", "yes")
    if signs.break_before:
        name = "new-page" if signs.break_before == "pb" else "new-system"
        child(measure, "print").set(name, "yes")
    if signs.left or signs.ending_starts:
        _barline(measure, "left", signs.left, signs.ending_starts, "start")
    clock = _Clock(measure, divisions)
    _settings(measure, part, bar, divisions, first)
    for made in sorted(bar.directions, key=lambda made: made.onset):
        clock.go(made.onset)
        _direction(measure, made, len(part.staves))
    later = [setting for setting in bar.settings if setting.onset]
    for setting in sorted(later, key=lambda setting: setting.onset):
        clock.go(setting.onset)
        child(measure, "attributes").append(setting.element)
    for (_, voice), events in sorted(bar.layers.items()):
        clock.go(Fraction(0))
        for event in events:
            clock.go(event.onset)
            _event(measure, event, voice, len(part.staves), divisions)
            clock.now += event.duration
    if signs.right or signs.ending_stops:
        _barline(measure, "right", signs.right, signs.ending_stops, "stop")


class _Clock:
    """Moves along a bar with <backup> and <forward>."""

    def __init__(self, measure: Element, divisions: int) -> None:
        self.now = Fraction(0)
        self._measure = measure
        self._divisions = divisions

    def go(self, time: Fraction) -> None:
        if time != self.now:
            name = "forward" if time > self.now else "backup"
            length = abs(time - self.now) * self._divisions
            child(child(self._measure, name), "duration", str(round(length)))
        self.now = time


def _settings(measure: Element, part: Part, bar: PartBar, divisions: int, first: bool) -> None:
    now = [setting.element for setting in bar.settings if not setting.onset]
    if not first and not now:
        return
    attributes = child(measure, "attributes")
    if first:
        child(attributes, "divisions", str(divisions))
    for name in ATTRIBUTES_FIRST:
        if name == "clef" and first and len(part.staves) > 1:
            child(attributes, "staves", str(len(part.staves)))
        found = [element for element in now if element.tag == name]
        alike = {etree.tostring(element).partition(b">")[2] for element in found}
        if name != "clef" and len(found) == len(part.staves) and len(alike) == 1:
            found = found[:1]
            found[0].attrib.pop("number", "")
        attributes.extend(found)
    if first and part.transposition != (0, 0):
        steps, semitones = part.transposition
        transpose = child(attributes, "transpose")
        child(transpose, "diatonic", str(steps))
        child(transpose, "chromatic", str(semitones))


def _barline(measure: Element, location: str, style: str, ending: str, kind: str) -> None:
    barline = child(measure, "barline", location=location)
    if style in BARLINES:
        child(barline, "bar-style", BARLINES[style])
    if ending:
        child(barline, "ending", number=ending, type=kind)
    if style in ("rptend", "rptboth") and location == "right":
        child(barline, "repeat", direction="backward")
    if style in ("rptstart", "rptboth") and location == "left":
        child(barline, "repeat", direction="forward")


def _direction(measure: Element, made: Direction, staves: int) -> None:
    direction = child(measure, "direction")
    if made.placement in ("above", "below"):
        direction.set("placement", made.placement)
    for element in made.types:
        child(direction, "direction-type").append(element)
    if staves > 1:
        child(direction, "staff", str(made.stave))
    if made.tempo:
        child(direction, "sound", tempo=made.tempo)


def _event(measure: Element, event: Event, voice: str, staves: int, divisions: int) -> None:
    heads: list[Head | None] = list(event.heads) or [None]
    for index, head in enumerate(heads):
        note = child(measure, "note")
        if event.hidden:
            note.set("print-object", "no")
        if event.grace:
            child(note, "grace", **({"slash": "yes"} if event.grace == "unacc" else {}))
        if event.cue:
            child(note, "cue")
        if index:
            child(note, "chord")
        _pitch(note, event, head)
        if not event.grace:
            child(note, "duration", str(round(event.duration * divisions)))
        ties = sorted(head.ties & {"start", "stop"}, reverse=True) if head else []
        for kind in ties:
            child(note, "tie", type=kind)
        child(note, "voice", voice)
        _look(note, event, head, staves)
        _notations(note, event, head, index)


def _pitch(note: Element, event: Event, head: Head | None) -> None:
    if head is None:
        rest = child(note, "rest")
        if event.whole_bar:
            rest.set("measure", "yes")
        return
    if head.unpitched:
        stroke = child(note, "unpitched")
        if head.step:
            child(stroke, "display-step", head.step)
            child(stroke, "display-octave", str(head.octave))
        return
    pitch = child(note, "pitch")
    child(pitch, "step", head.step)
    if head.alter:
        child(pitch, "alter", f"{head.alter:g}")
    child(pitch, "octave", str(head.octave))


def _look(note: Element, event: Event, head: Head | None, staves: int) -> None:
    if event.type:
        child(note, "type", event.type)
        for _ in range(event.dots):
            child(note, "dot")
    if head is not None and head.accidental:
        child(note, "accidental", head.accidental)
    if event.ratio != 1:
        modification = child(note, "time-modification")
        child(modification, "actual-notes", str(event.ratio.numerator))
        child(modification, "normal-notes", str(event.ratio.denominator))
    if event.stem in ("up", "down"):
        child(note, "stem", event.stem)
    if staves > 1:
        child(note, "staff", str(event.stave))


def _notations(note: Element, event: Event, head: Head | None, index: int) -> None:
    notations = etree.Element("notations")
    for kind in sorted(head.ties, reverse=True) if head else ():
        child(notations, "tied", type=kind)
    if not index:
        _of_event(notations, event)
    if len(notations):
        note.append(notations)


def _of_event(notations: Element, event: Event) -> None:
    for kind, number in event.tuplets:
        child(notations, "tuplet", type=kind, number=str(number))
    for name, kind, number in event.spans:
        child(notations, name, type=kind, number=str(number))
    families: dict[str, Element] = {}
    if event.tremolo:
        kind, _, strokes = event.tremolo.rpartition(" ")
        families["ornaments"] = child(notations, "ornaments")
        child(families["ornaments"], "tremolo", strokes, type=kind or "single")
    for hung in event.marks:
        if hung.family and hung.family not in families:
            families[hung.family] = child(notations, hung.family)
        _hang(families[hung.family] if hung.family else notations, hung)


def _hang(around: Element, hung: Hung) -> None:
    mark = child(around, hung.name, hung.text)
    if hung.type:
        mark.set("type", hung.type)
        mark.set("number", hung.number)
    if hung.placement in ("above", "below") and hung.name != "fermata":
        mark.set("placement", hung.placement)
    elif hung.placement == "below":
        mark.set("type", "inverted")
