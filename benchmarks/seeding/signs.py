"""Faults of signs: slurs, words of technique, mutes, pauses."""

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import pairwise
from random import Random

from benchmarks.seeding.kind import Place
from benchmarks.seeding.page import Copy, Master, notation, slur, take, words
from redstave.model.score import Mark, Note, Part

TAKEN_OFF = "senza sord."
LONG_BOW_S = 10.0
LONG_BREATH_S = {"flute": 16.0, "oboe": 32.0, "clarinet": 24.0, "bassoon": 22.0, "horn": 22.0}


def runs(of: Master, part: Part) -> Iterator[tuple[Note, ...]]:
    """Yield the runs of single notes of a part that follow each other without a rest."""
    run: list[Note] = []
    for note in of.single(part.id):
        if run and of.tick(run[-1]) + run[-1].duration != of.tick(note):
            yield tuple(run)
            run = []
        run.append(note)
    if run:
        yield tuple(run)


def slurred(part: Part) -> set[int]:
    """Return the bars of a part in which a slur stands."""
    found: set[int] = set()
    for span in part.spans_of("slur"):
        if span.start and span.stop:
            found.update(range(span.start.bar, span.stop.bar + 1))
    return found


def wind_slur_over_equals(of: Master) -> Iterator[Place]:
    """Slur two equal notes of a wind part that bear no sign."""
    yield from _equal(of, ("woodwind", "brass"))


def string_slur_over_equals(of: Master) -> Iterator[Place]:
    """Slur two equal notes of a string part that bear no sign."""
    yield from _equal(of, ("strings",))


def _equal(of: Master, families: tuple[str, ...]) -> Iterator[Place]:
    for part in of.parts(*families):
        busy = slurred(part)
        marked = {mark.note for mark in part.marks if mark.note}
        for run in runs(of, part):
            for one, two in pairwise(run):
                same = one.kind == "pitched" and one.written_midi == two.written_midi
                if not same or one.tie_start or one.tie_stop or two.tie_start:
                    continue
                if not {one.id, two.id} & marked and not {one.bar, two.bar} & busy:
                    plant = partial(_slur, one=one, two=two)
                    yield Place(one.bar, two.bar, (part.id,), plant)


def _slur(copy: Copy, one: Note, two: Note) -> None:
    slur(copy.note(one), copy.note(two))


def nested_slur(of: Master) -> Iterator[Place]:
    """Draw a small slur under a long one of a wind part."""
    for part in of.parts("woodwind"):
        for notes in _under(of, part):
            if len(notes) > 4:
                plant = partial(_slur, one=notes[1], two=notes[2])
                yield Place(notes[0].bar, notes[-1].bar, (part.id,), plant)


def _under(of: Master, part: Part) -> Iterator[tuple[Note, ...]]:
    notes = of.single(part.id)
    at = {note.id: index for index, note in enumerate(notes)}
    for span in part.spans_of("slur"):
        if span.start and span.stop and span.start.note in at and span.stop.note in at:
            yield notes[at[span.start.note] : at[span.stop.note] + 1]


def slur_beyond_bow(of: Master) -> Iterator[Place]:
    """Draw one slur over ten seconds and more of moving notes of loud strings."""
    bows = dict.fromkeys(("violin", "viola", "cello", "double-bass"), LONG_BOW_S)
    yield from _long_slur(of, ("strings",), bows, 5)


def slur_beyond_breath(of: Master) -> Iterator[Place]:
    """Draw one slur over so many seconds of a wind line as nobody has breath for."""
    yield from _long_slur(of, ("woodwind", "brass"), LONG_BREATH_S, 3)


def _long_slur(
    of: Master, families: Sequence[str], longest: Mapping[str, float], level: float
) -> Iterator[Place]:
    seconds = of.analysis.playing.tempo.seconds
    for part in of.parts(*families):
        plucked = {tone.bar for tone in of.tones.get(part.id, ()) if tone.technique}
        least = longest.get(of.line_of[part.id].instrument, 1e9)
        for run in runs(of, part):
            for first in range(0, len(run), 4):
                start = seconds(of.tick(run[first]))
                last = next(
                    (n for n in run[first + 4 :] if seconds(of.tick(n)) - start >= least), None
                )
                soft = (of.level(part.id, of.tick(run[first])) or 0) < level
                if last is None or soft or plucked & set(range(run[first].bar, last.bar + 1)):
                    continue
                plant = partial(_one_slur, part=part, first=run[first], last=last)
                yield Place(run[first].bar, last.bar, (part.id,), plant)


def _one_slur(copy: Copy, part: Part, first: Note, last: Note) -> None:
    for bar in range(first.bar, last.bar + 1):
        for element in copy.bars[part.id][bar].findall("note/notations/slur"):
            take(element)
    slur(copy.note(first), copy.note(last))


def doubled_slurs_taken(of: Master) -> Iterator[Place]:
    """Take the slurs off one of two string sections that play the same in unison or octaves."""
    parts = [p for p in of.parts("strings") if not divides(p)]
    parts = [p for p in parts if of.line_of[p.id].instrument != "double-bass"]
    for one, two in ((a, b) for a in parts for b in parts if a is not b):
        busy = _whole_slurs(one) & _whole_slurs(two)
        single_one, single_two = set(of.single(one.id)), set(of.single(two.id))
        for bar in busy:
            first, second = of.notes[one.id].get(bar, ()), of.notes[two.id].get(bar, ())
            alone = single_one >= set(first) and single_two >= set(second)
            if len(first) > 3 and alone and _classes(first) == _classes(second):
                yield Place(bar, bar, (one.id, two.id), partial(_unslur, part=one.id, bar=bar))


def _whole_slurs(part: Part) -> set[int]:
    """Return the bars in which a slur begins and ends."""
    slurs = [(s.start, s.stop) for s in part.spans_of("slur") if s.start and s.stop]
    return {start.bar for start, stop in slurs if start.bar == stop.bar}


def divides(part: Part) -> bool:
    """Tell whether a word on a stave divides its players, anywhere."""
    return any("div" in mark.text.lower() for mark in part.marks_of("word"))


def _classes(notes: Sequence[Note]) -> list[tuple[int, int, int]]:
    return [(n.offset, n.duration, round(n.written_midi) % 12) for n in notes]


def _unslur(copy: Copy, part: str, bar: int) -> None:
    open_slurs: set[str] = set()
    for element in copy.bars[part][bar].findall("note/notations/slur"):
        if element.get("type") == "start":
            open_slurs.add(element.get("number", "1"))
            take(element)
        elif element.get("number", "1") in open_slurs:
            open_slurs.discard(element.get("number", "1"))
            take(element)
    _end_elsewhere(copy, part, bar, open_slurs)


def _end_elsewhere(copy: Copy, part: str, bar: int, numbers: set[str]) -> None:
    """Take off the ends, in later bars, of slurs whose beginnings have been taken off."""
    for later in copy.bars[part][bar + 1 :]:
        for element in later.findall("note/notations/slur"):
            if element.get("type") == "stop" and element.get("number", "1") in numbers:
                numbers.discard(element.get("number", "1"))
                take(element)
        if not numbers:
            return


def bowed_word_for_winds(of: Master) -> Iterator[Place]:
    """Print "arco" over a wind part."""
    yield from _word(of, ("woodwind", "brass"), "arco")


def a_2_for_strings(of: Master) -> Iterator[Place]:
    """Print "a 2" over a string part."""
    yield from _word(of, ("strings",), "a 2")


def _word(of: Master, families: Sequence[str], text: str) -> Iterator[Place]:
    for part in of.parts(*families):
        for bar, notes in of.notes[part.id].items():
            yield Place(bar, bar, (part.id,), partial(_say, told=((notes[0], text),)))


def _say(copy: Copy, told: Sequence[tuple[Note, str]]) -> None:
    for note, text in told:
        copy.before(note, words(text))


def string_mute_at_once(of: Master) -> Iterator[Place]:
    """Ask strings for mutes between two notes that touch, and take them off five bars later."""
    yield from _switch(of, ("strings",), ("con sord.", TAKEN_OFF), 60.0, 5)


def brass_mute_at_once(of: Master) -> Iterator[Place]:
    """Ask brass for a mute between two notes that touch, and take it off five bars later."""
    yield from _switch(of, ("brass",), ("con sord.", TAKEN_OFF), 60.0, 5)


def pluck_at_once(of: Master) -> Iterator[Place]:
    """Print "pizz." in the midst of quick bowed notes, and "arco" two bars later."""
    yield from _switch(of, ("strings",), ("pizz.", "arco"), 0.2, 2)


def _switch(
    of: Master, families: Sequence[str], said: tuple[str, str], longest: float, bars: int
) -> Iterator[Place]:
    for part in of.parts(*families):
        told = {m.bar for m in part.marks_of("word")}
        if divides(part):
            continue
        notes = of.single(part.id)
        odd = {tone.bar for tone in of.tones.get(part.id, ()) if tone.technique}
        for run in runs(of, part):
            for one, two in pairwise(run):
                span = set(range(two.bar - 2, two.bar + bars + 2))
                back = next((n for n in notes if n.bar >= two.bar + bars and not n.tie_stop), None)
                tied = one.tie_start or one.tie_stop or two.tie_start
                if tied or back is None or of.seconds(one) > longest or span & (told | odd):
                    continue
                plant = partial(_say, told=((two, said[0]), (back, said[1])))
                yield Place(two.bar, two.bar, (part.id,), plant)


def bow_word_taken(of: Master) -> Iterator[Place]:
    """Take the word "arco" away after plucked notes."""
    for part in of.parts("strings"):
        said = [m for m in part.marks_of("word") if _about_bow(m.text) and not divides(part)]
        for one, two in pairwise(said):
            if "pizz" in one.text.lower() and "arco" in two.text.lower():
                after = next((m.bar for m in said if m.bar > two.bar), len(of.score.bars))
                starts = [span.start.bar for span in part.spans_of("slur") if span.start]
                bowed = [bar for bar in starts if two.bar < bar < after]
                if len(bowed) > 2:
                    plant = partial(Copy.remove, marks=(two,))
                    yield Place(two.bar, max(two.bar, after - 1), (part.id,), plant)


def _about_bow(text: str) -> bool:
    return "pizz" in text.lower() or "arco" in text.lower()


def let_ring(of: Master) -> Iterator[Place]:
    """Draw a let-ring tie from every plucked note of a part."""
    for part in of.parts("strings"):
        plucked = [t for t in of.tones.get(part.id, ()) if t.technique.startswith("pizz")]
        ids = {note for tone in plucked for note in tone.notes}
        notes = [note for note in part.notes if note.id in ids]
        if len(plucked) > 7:
            plant = partial(_ring, notes=notes)
            yield Place(notes[0].bar, notes[-1].bar, (part.id,), plant)


def _ring(copy: Copy, notes: Sequence[Note]) -> None:
    for note in notes:
        notation(copy.note(note), "tied", type="let-ring")


def pause_taken(of: Master) -> Iterator[Place]:
    """Take a pause that all parts share away from a third of them."""
    there: dict[int, dict[str, list[Mark]]] = {}
    for part in of.score.parts:
        for mark in part.marks_of("fermata"):
            there.setdefault(mark.bar, {}).setdefault(part.id, []).append(mark)
    for bar, by_part in there.items():
        if len(by_part) == len(of.score.parts):
            some = sorted(Random(bar).sample(sorted(by_part), len(by_part) // 3))
            marks = [mark for part in some for mark in by_part[part]]
            yield Place(bar, bar, tuple(some), partial(Copy.remove, marks=marks))
