"""Writes one chord, note or rest of a tiny score as MusicXML notes."""

from fractions import Fraction

from lxml import etree

from redstave.reading.tiny.values import Event, Head
from redstave.reading.tiny.vocabulary import (
    ARTICULATIONS,
    ORNAMENTS,
    TECHNICAL,
    TREMOLOS,
    VALUES,
)
from redstave.reading.tiny.xml import child


def write_event(
    measure: etree._Element, event: Event, duration: str, voice: str, stave: str, unpitched: bool
) -> None:
    """Append the event's notes; `duration` in divisions, `stave` empty in a part with one."""
    for index, head in enumerate(event.heads or [None]):
        note = child(measure, "note")
        _write_length_and_pitch(note, event, head, index, duration, unpitched)
        child(note, "voice", voice)
        _write_value(note, event, head)
        if stave:
            child(note, "staff", stave)
        if not index:
            for level, word in enumerate(event.beams, start=1):
                child(note, "beam", word, number=str(level))
        _write_notations(note, event, head, index)


def _write_length_and_pitch(
    note: etree._Element,
    event: Event,
    head: Head | None,
    index: int,
    duration: str,
    unpitched: bool,
) -> None:
    if event.grace:
        child(note, "grace", slash="yes")
    if "cue" in event.marks:
        child(note, "cue")
    if index:
        child(note, "chord")
    if head is None:
        rest = child(note, "rest")
        if event.whole_bar:
            rest.set("measure", "yes")
    else:
        _write_pitch(note, head, unpitched)
    if not event.grace:
        child(note, "duration", duration)
    if head is not None and "cue" not in event.marks:
        for kind in _tie_types(head):
            child(note, "tie", type=kind)


def _tie_types(head: Head) -> list[str]:
    return ["stop"] * head.tie_stop + ["start"] * head.tie_start


def _write_pitch(note: etree._Element, head: Head, unpitched: bool) -> None:
    step, alter, octave = head.pitch
    element = child(note, "unpitched" if unpitched else "pitch")
    prefix = "display-" if unpitched else ""
    child(element, f"{prefix}step", step)
    if alter and not unpitched:
        child(element, "alter", str(alter))
    child(element, f"{prefix}octave", str(octave))


def _write_value(note: etree._Element, event: Event, head: Head | None) -> None:
    if event.whole_bar:
        return
    child(note, "type", VALUES[event.value])
    for _ in range(event.dots):
        child(note, "dot")
    if head is not None and head.accidental:
        child(note, "accidental", head.accidental)
    if event.ratio != 1:
        _write_ratio(note, event.ratio)
    if event.stem and head is not None:
        child(note, "stem", event.stem)
    if "diamond" in event.marks or (head is not None and "diamond" in head.marks):
        child(note, "notehead", "diamond")


def _write_ratio(note: etree._Element, ratio: Fraction) -> None:
    modification = child(note, "time-modification")
    child(modification, "actual-notes", str(ratio.numerator))
    child(modification, "normal-notes", str(ratio.denominator))


def _write_notations(note: etree._Element, event: Event, head: Head | None, index: int) -> None:
    notations = etree.Element("notations")
    marks = (() if index else event.marks) + (head.marks if head is not None else ())
    if head is not None:
        for kind in _tie_types(head):
            child(notations, "tied", type=kind)
    if not index:
        _write_spans(notations, event)
    if "let-ring" in event.marks or "let-ring" in marks:
        child(notations, "tied", type="let-ring")
    _write_family(notations, "ornaments", [m for m in marks if m in ORNAMENTS or m in TREMOLOS])
    _write_family(notations, "technical", [mark for mark in marks if mark in TECHNICAL])
    _write_family(notations, "articulations", [mark for mark in marks if mark in ARTICULATIONS])
    if "fermata" in marks:
        child(notations, "fermata")
    if "arpeggiate" in marks or "arpeggiate" in event.marks:
        child(notations, "arpeggiate")
    if len(notations):
        note.append(notations)


def _write_spans(notations: etree._Element, event: Event) -> None:
    for kind, number in event.slurs:
        child(notations, "slur", type=kind, number=str(number))
    for kind, number in event.tuplets:
        child(notations, "tuplet", type=kind, number=str(number), bracket="yes")
    for kind in event.gliss:
        child(notations, "glissando", type=kind, number="1").set("line-type", "solid")


def _write_family(notations: etree._Element, family: str, marks: list[str]) -> None:
    if not marks:
        return
    element = child(notations, family)
    for mark in marks:
        if mark in TREMOLOS:
            child(element, "tremolo", str(TREMOLOS[mark]), type="single")
        elif mark == "strong-accent":
            child(element, mark, type="up")
        elif mark == "harmonic":
            child(child(element, mark), "natural")
        else:
            child(element, mark)
