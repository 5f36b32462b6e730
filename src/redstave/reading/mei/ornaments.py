"""MEI's signs on notes: trills with their lines and accidentals, fermatas, arpeggios, breaths."""

from collections.abc import Iterator
from fractions import Fraction

from lxml import etree

from redstave.reading.mei.controls import Controls, beat_to_onset
from redstave.reading.mei.values import Event, Hung, PartBar
from redstave.reading.mei.words import ACCIDENTALS, ON_NOTES
from redstave.reading.numbers import whole

Element = etree._Element
BESIDE = {"accidupper": "above", "accidlower": "below"}


def read_on_note(controls: Controls, node: Element) -> None:
    """Hang a sign on its notes, or on what sounds at its time; what has no place is counted."""
    family, name = ON_NOTES[node.tag]
    marks = [Hung(family, name, node.get("place") or ""), *_accidentals(controls, node)]
    names = (node.get("plist") or node.get("startid") or "").replace("#", "").split()
    for wanted in names:
        controls.when_there(wanted, lambda found: _hang(controls, node, found[0], found[1], marks))
    if names:
        return
    place = controls.place(node)
    if place is not None:
        part, stave, unit = place
        bar = controls.music.parts[part].bars[-1]
        event = _sounding(bar, stave, controls.onset(node, unit))
        if event is not None:
            _hang(controls, node, part, event, marks)
            return
    controls.music.left_out[node.tag] += 1


def _accidentals(controls: Controls, node: Element) -> Iterator[Hung]:
    """Yield the accidentals that tell which note an ornament leads to."""
    for attribute, placement in BESIDE.items():
        said = node.get(attribute)
        if said in ACCIDENTALS:
            yield Hung("ornaments", "accidental-mark", placement, ACCIDENTALS[said][0])
        elif said is not None:
            controls.music.left_out["accidental on an ornament"] += 1


def _hang(controls: Controls, node: Element, part: int, event: Event, marks: list[Hung]) -> None:
    event.marks += marks
    if node.get("extender") == "true" and node.tag == "trill":
        _draw_line(controls, node, part, event)
    elif node.get("extender") == "true":
        controls.music.left_out[f"line behind a {node.tag}"] += 1


def _draw_line(controls: Controls, node: Element, part: int, begun: Event) -> None:
    """Draw a trill's wavy line to where the file says that it ends, or to the end of its note."""
    number = str(controls.number(part, "wavy-line"))
    placement = node.get("place") or ""
    begun.marks.append(Hung("ornaments", "wavy-line", placement, type="start", number=number))
    stop = Hung("ornaments", "wavy-line", type="stop", number=number)
    place = controls.place(node)
    bars, _, beat = (node.get("tstamp2") or "").partition("m+")
    if node.get("endid"):
        wanted = (node.get("endid") or "").removeprefix("#")
        controls.when_there(wanted, lambda found: found[1].marks.append(stop))
    elif beat and place is not None:
        onset = beat_to_onset(beat, place[2])
        later = whole(bars) or 0

        def end(bar: PartBar) -> None:
            last = _last_before(bar, begun.stave, onset) if later or onset > begun.onset else None
            (last or begun).marks.append(stop)

        controls.when_bar(part, later, end)
    else:
        begun.marks.append(stop)


def _sounding(bar: PartBar, stave: int, onset: Fraction) -> Event | None:
    return next((e for e in _events(bar, stave) if e.onset <= onset < e.onset + e.duration), None)


def _last_before(bar: PartBar, stave: int, onset: Fraction) -> Event | None:
    """Return the last event that begins before a time: the line reaches over it."""
    before = [event for event in _events(bar, stave) if event.onset < onset and event.heads]
    return max(before, key=lambda event: event.onset, default=None)


def _events(bar: PartBar, stave: int) -> Iterator[Event]:
    for (number, _), events in bar.layers.items():
        if number == stave:
            yield from events
