"""Faults of a whole score or part: names, keys, order, tempo, letters, labels."""

import re
from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

from lxml import etree

from benchmarks.seeding.kind import Place
from benchmarks.seeding.page import Copy, Master, take
from redstave.model.score import Note, Part

LABEL = re.compile(r"^\W*(a ?2|à ?2|a due|I+|1|2|1mo|2do)\W*$")
LEAST_NOTES = 40  # a part with fewer is hardly there
KEY = re.compile(r"\b(?:[A-G](?:b|♭)?) (?=Horn|Trumpet|Clarinet)")


def _everywhere(of: Master, parts: tuple[str, ...], plant: partial[None]) -> Place:
    return Place(0, len(of.score.bars) - 1, parts, plant)


def tempo_taken(of: Master) -> Iterator[Place]:
    """Take away every tempo, and every word printed in the first bar."""
    yield _everywhere(of, (), partial(_no_tempo))


def _no_tempo(copy: Copy) -> None:
    for element in list(copy.root.iter("metronome")):
        take(element)
    for sound in list(copy.root.iter("sound")):
        sound.attrib.pop("tempo", None)
    for bars in copy.bars.values():
        for element in list(bars[0].iter("words")):
            take(element)
    for credit in copy.root.findall("credit"):
        copy.root.remove(credit)


def letters_taken(of: Master) -> Iterator[Place]:
    """Take away all rehearsal letters."""
    if any(True for part in of.score.parts for _ in part.marks_of("rehearsal")):
        yield _everywhere(of, (), partial(_no_letters))


def _no_letters(copy: Copy) -> None:
    for element in list(copy.root.iter("rehearsal")):
        take(element)


def arranger_named(of: Master) -> Iterator[Place]:
    """Name an arranger in the file."""
    yield _everywhere(of, (), partial(_arranger))


def _arranger(copy: Copy) -> None:
    facts = copy.root.find("identification")
    if facts is None:
        facts = etree.Element("identification")
        copy.root.find("part-list").addprevious(facts)
    creator = etree.Element("creator", type="arranger")
    creator.text = "N. N. Nemo"
    facts.insert(0, creator)


def names_alike(of: Master) -> Iterator[Place]:
    """Take the numbers off the names of two winds of one instrument."""
    parts = list(of.parts("woodwind", "brass"))
    for one, two in pairwise(parts):
        if one.name.rstrip().endswith("1") and two.name.rstrip().endswith("2"):
            plant = partial(_rename, parts=(one, two), cut=r"\s*\d")
            yield _everywhere(of, (one.id, two.id), plant)


def key_unnamed(of: Master) -> Iterator[Place]:
    """Take the key off the name of a transposing wind."""
    for part in of.parts("woodwind", "brass"):
        shift = next((mark.value for mark in part.marks_of("transposition")), 0.0)
        if shift % 12 and KEY.search(part.name):
            yield _everywhere(of, (part.id,), partial(_rename, parts=(part,), cut=KEY.pattern))


def _rename(copy: Copy, parts: Sequence[Part], cut: str) -> None:
    entries = copy.root.findall("part-list/score-part")
    for part, entry in zip(copy.of.score.parts, entries, strict=True):
        if part not in parts:
            continue
        for tag in ("part-name-display", "part-abbreviation", "part-abbreviation-display"):
            for element in entry.findall(tag):
                entry.remove(element)
        entry.find("part-name").text = re.sub(cut, "", part.name.strip())
        for name in entry.findall("score-instrument/instrument-name"):
            name.text = entry.find("part-name").text


def strings_on_top(of: Master) -> Iterator[Place]:
    """Move the last stave of strings to the top of the score."""
    last = of.score.parts[-1]
    if of.line_of[last.id].family == "strings":
        yield _everywhere(of, (), partial(_to_top))


def _to_top(copy: Copy) -> None:
    entries = copy.root.findall("part-list/score-part")
    for group in copy.root.findall("part-list/part-group"):
        group.getparent().remove(group)
    entries[0].addprevious(entries[-1])
    parts = list(copy.parts.values())
    parts[0].addprevious(parts[-1])


def octave_in_transposition(of: Master) -> Iterator[Place]:
    """Let a whole wind part sound two octaves lower than it does."""
    for part in of.parts("woodwind", "brass"):
        if of.line_of[part.id].instrument not in ("horn", "bass-clarinet"):
            yield _everywhere(of, (part.id,), partial(_two_octaves, part=part.id))


def _two_octaves(copy: Copy, part: str) -> None:
    shifts = [element for bar in copy.bars[part] for element in bar.iter("transpose")]
    if not shifts:
        attributes = copy.bars[part][0].find("attributes")
        shift = etree.SubElement(attributes, "transpose")
        etree.SubElement(shift, "chromatic").text = "0"
        shifts = [shift]
    for shift in shifts:
        change = shift.find("octave-change")
        if change is None:
            change = etree.SubElement(shift, "octave-change")
        change.text = str(int(change.text or 0) - 2)


def rest_taken(of: Master) -> Iterator[Place]:
    """Take a rest out of a bar that has notes too, in a part of one voice."""
    for part in of.parts("woodwind", "brass", "strings"):
        by_bar = {bar: notes for bar, notes in of.notes[part.id].items() if notes}
        for note in part.notes:
            here = by_bar.get(note.bar, ())
            single = {one.voice for one in here} == {note.voice}
            if note.kind == "rest" and single and not (note.hidden or note.whole_bar):
                yield Place(note.bar, note.bar, (part.id,), partial(_take_rest, rest=note))


def _take_rest(copy: Copy, rest: Note) -> None:
    take(copy.note(rest))


def transposition_left_out(of: Master) -> Iterator[Place]:
    """Let a transposing wind sound as it is written."""
    for part in of.parts("woodwind", "brass"):
        shifts = {round(mark.value) % 12 for mark in part.marks_of("transposition")}
        notes = sum(note.kind == "pitched" for note in part.notes)
        if any(shifts) and notes >= LEAST_NOTES:
            yield _everywhere(of, (part.id,), partial(_as_written, part=part.id))


def _as_written(copy: Copy, part: str) -> None:
    for bar in copy.bars[part]:
        for shift in bar.iter("transpose"):
            for child in list(shift):
                shift.remove(child)
            etree.SubElement(shift, "chromatic").text = "0"


def division_words_taken(of: Master) -> Iterator[Place]:
    """Take every word about dividing off a part of strings that has double notes under one."""
    for part in of.parts("strings"):
        said = [m for m in part.marks_of("word") if re.search(r"\bdiv", m.text, re.IGNORECASE)]
        after = [n for n in part.notes if said and n.chord and n.bar >= said[0].bar]
        if len(after) > 7:
            other = [m for m in part.marks_of("word") if re.search(r"unis", m.text, re.IGNORECASE)]
            yield _everywhere(of, (part.id,), partial(Copy.remove, marks=(*said, *other)))


def second_player_without_label(of: Master) -> Iterator[Place]:
    """Name two players on a wind stave that has one line and no label."""
    for part in of.parts("woodwind", "brass"):
        labelled = any(LABEL.match(mark.text.strip()) for mark in part.marks_of("word"))
        if not labelled and re.search(r" [12]$", part.name):
            yield _everywhere(of, (part.id,), partial(_second, part=part))


def _second(copy: Copy, part: Part) -> None:
    _rename(copy, (part,), r"\s*\d$")
    at = copy.of.score.parts.index(part)
    entry = copy.root.findall("part-list/score-part")[at]
    entry.find("part-name").text += " 1. 2"
