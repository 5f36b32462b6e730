"""MEI's control events: what hangs on notes, and what stands at a time in the bar."""

import re
from collections import Counter
from collections.abc import Callable
from fractions import Fraction

from lxml import etree

from redstave.reading.mei.staves import text_in
from redstave.reading.mei.values import Direction, Event, Head, Music, PartBar
from redstave.reading.mei.words import LEVELS, TYPES
from redstave.reading.numbers import decimal, exact, whole
from redstave.reading.tiny.xml import child

Element = etree._Element
Named = dict[str, tuple[int, Event, Head | None]]
_LETTERS = re.compile("(?=.*[pf])[fmprsz]{2,}")  # of a level that MusicXML has no name for: sff
NUMBERS = 16  # MusicXML 4.0 tells that many spans of one kind apart


class Controls:
    """Places control events; what ends in a later bar waits until that bar is there."""

    def __init__(self, music: Music) -> None:
        self.music = music
        self.staves: dict[str, tuple[int, int, int]] = {}
        self._named: Named = {}
        self._seen: Named = {}
        self._wanted: list[tuple[str, Callable[[tuple[int, Event, Head | None]], None]]] = []
        self._later: list[tuple[int, int, Callable[[PartBar], None]]] = []
        self._numbers: Counter[tuple[int, str]] = Counter()

    def begin_bar(self, named: Named, staves: dict[str, tuple[int, int, int]]) -> None:
        """Take the names of a bar's notes, and each stave's part, number and unit of the metre."""
        self._named, self.staves = named, staves
        self._seen.update(named)
        waiting, self._wanted = self._wanted, []
        for name, act in waiting:
            self.when_there(name, act)

    def when_there(self, name: str, act: Callable[[tuple[int, Event, Head | None]], None]) -> None:
        """Do something with a named note or chord: now, or when its bar has come."""
        found = self._named.get(name) or self._seen.get(name)
        if found is None:
            self._wanted.append((name, act))
        else:
            act(found)

    def finish(self) -> None:
        """Put what waits for a bar into it, and count what waited for a note in vain."""
        self.music.left_out["reference to nothing"] += len(self._wanted)
        for part, measure, act in self._later:
            first = self.music.first_bars[min(measure, len(self.music.first_bars) - 1)]
            act(self.music.parts[part].bars[first])
        self.music.left_out = +self.music.left_out  # drop what is nought

    def number(self, part: int, kind: str) -> int:
        """Return the next number for a span of a kind in a part."""
        self._numbers[part, kind] += 1
        return (self._numbers[part, kind] - 1) % NUMBERS + 1

    def place(self, node: Element) -> tuple[int, int, int] | None:
        """Return part, stave and unit of the metre, or None where the file names none."""
        stave = (node.get("staff") or "").split(" ")[0]
        if stave in self.staves:
            return self.staves[stave]
        found = self._named.get((node.get("startid") or "").removeprefix("#"))
        if found is None:
            return next(iter(self.staves.values()), None) if node.tag in FIRST_STAVE else None
        part, event, _ = found
        return next((s for s in self.staves.values() if s[:2] == (part, event.stave)), None)

    def onset(self, node: Element, unit: int) -> Fraction:
        """Return when in the bar something begins, in quarters."""
        found = self._named.get((node.get("startid") or "").removeprefix("#"))
        if found is not None:
            return found[1].onset
        return beat_to_onset(node.get("tstamp"), unit)

    def later(self, part: int, bars: int, make: Callable[[], Direction]) -> None:
        """Keep a direction for a bar so many measures of the file on."""
        self.when_bar(part, bars, lambda bar: bar.directions.append(make()))

    def when_bar(self, part: int, bars: int, act: Callable[[PartBar], None]) -> None:
        """Do something with a bar so many measures of the file on, when all are there."""
        self._later.append((part, len(self.music.first_bars) - 1 + bars, act))


FIRST_STAVE = frozenset(["tempo", "reh"])


def beat_to_onset(beat: str | None, unit: int) -> Fraction:
    """Return the time in quarters of a beat counted from 1."""
    number = exact(beat or "1") or Fraction(1)
    return max(Fraction(0), (number - 1) * Fraction(4, unit))


def read_control(controls: Controls, node: Element) -> None:
    """Place one control event; what has no counterpart is counted."""
    if node.tag in SPANS:
        _span_on_notes(controls, node, *SPANS[node.tag])
    elif node.tag in TIMED:
        TIMED[node.tag](controls, node)
    else:
        controls.music.left_out[node.tag] += 1


def _span_on_notes(controls: Controls, node: Element, kind: str, name: str) -> None:
    start, stop = ((node.get(end) or "").removeprefix("#") for end in ("startid", "endid"))
    if not start or (not stop and kind != "let-ring"):
        controls.music.left_out[node.tag] += 1
        return
    number = 0

    def begin(found: tuple[int, Event, Head | None]) -> None:
        nonlocal number
        part, event, head = found
        if kind in ("tie", "let-ring"):
            for one in [head] if head is not None else event.heads:
                one.ties.add("let-ring" if kind == "let-ring" else "start")
            return
        number = controls.number(part, kind)
        event.spans.append((name, "start", number))

    def end(found: tuple[int, Event, Head | None]) -> None:
        _, event, head = found
        if kind == "tie":
            for one in [head] if head is not None else event.heads:
                one.ties.add("stop")
        else:
            event.spans.append((name, "stop", number or 1))

    controls.when_there(start, begin)
    if kind != "let-ring":
        controls.when_there(stop, end)


def _timed(controls: Controls, node: Element, types: list[Element]) -> Direction | None:
    place = controls.place(node)
    if place is None or not types:
        controls.music.left_out[node.tag] += 1
        return None
    part, stave, unit = place
    made = Direction(controls.onset(node, unit), stave, types, node.get("place") or "")
    controls.music.parts[part].bars[-1].directions.append(made)
    return made


def _words(text: str, bold: bool = False) -> list[Element]:
    words = etree.Element("words")
    words.text = text
    if bold:
        words.set("font-weight", "bold")
    return [words] if text else []


def _dynam(controls: Controls, node: Element) -> None:
    types: list[Element] = []
    run: list[str] = []
    for word in text_in(node).split(" "):
        if word in LEVELS or _LETTERS.fullmatch(word):
            types += _words(" ".join(run))
            run = []
            level = etree.Element("dynamics")
            if word in LEVELS:
                child(level, word)
            else:
                child(level, "other-dynamics", word)
            types.append(level)
        else:
            run.append(word)
    _timed(controls, node, types + _words(" ".join(run)))


def _dir(controls: Controls, node: Element) -> None:
    _timed(controls, node, _words(text_in(node)))


def _reh(controls: Controls, node: Element) -> None:
    letter = etree.Element("rehearsal")
    letter.text = text_in(node)
    _timed(controls, node, [letter])


def _tempo(controls: Controls, node: Element) -> None:
    types = _words(text_in(node), bold=True)
    unit, speed = TYPES.get(node.get("mm.unit") or "", ""), node.get("mm") or ""
    if unit and speed:
        mark = etree.Element("metronome")
        child(mark, "beat-unit", unit)
        for _ in range(min(whole(node.get("mm.dots")) or 0, 3)):
            child(mark, "beat-unit-dot")
        child(mark, "per-minute", speed)
        types.append(mark)
    made = _timed(controls, node, types)
    played = decimal(node.get("midi.bpm"))
    if made is not None and played:
        made.tempo = f"{played:g}"


def _two_ends(element: str, start: str, kind: str) -> Callable[[Controls, Element], None]:
    def read(controls: Controls, node: Element) -> None:
        place = controls.place(node)
        if place is None:
            controls.music.left_out[node.tag] += 1
            return
        part, stave, unit = place
        number = str(controls.number(part, kind))
        begun = _start_name(node, start)
        made = _timed(controls, node, [etree.Element(element, type=begun, number=number)])
        bars, _, beat = (node.get("tstamp2") or "0m+1").partition("m+")
        ended = [etree.Element(element, type="stop", number=number)]
        placement = made.placement if made is not None else ""
        if node.get("endid"):
            wanted = (node.get("endid") or "").removeprefix("#")

            def end(found: tuple[int, Event, Head | None]) -> None:
                onset = found[1].onset
                controls.later(part, 0, lambda: Direction(onset, stave, ended, placement))

            controls.when_there(wanted, end)
        else:
            onset = beat_to_onset(beat or "1", unit)
            controls.later(
                part, whole(bars) or 0, lambda: Direction(onset, stave, ended, placement)
            )

    return read


def _start_name(node: Element, usual: str) -> str:
    if node.tag == "hairpin":
        return "diminuendo" if node.get("form") == "dim" else "crescendo"
    if node.tag == "octave":
        return "up" if node.get("dis.place") == "below" else "down"
    return usual


def _pedal(controls: Controls, node: Element) -> None:
    kind = {"down": "start", "up": "stop", "bounce": "change"}.get(node.get("dir") or "", "start")
    _timed(controls, node, [etree.Element("pedal", type=kind, line="yes")])


SPANS = {
    "slur": ("slur", "slur"),
    "phrase": ("slur", "slur"),
    "tie": ("tie", "tied"),
    "lv": ("let-ring", "tied"),
    "gliss": ("glissando", "glissando"),
}
TIMED: dict[str, Callable[[Controls, Element], None]] = {
    "dynam": _dynam,
    "dir": _dir,
    "reh": _reh,
    "tempo": _tempo,
    "hairpin": _two_ends("wedge", "crescendo", "hairpin"),
    "octave": _two_ends("octave-shift", "down", "octave-shift"),
    "bracketSpan": _two_ends("bracket", "start", "bracket"),
    "pedal": _pedal,
}
