"""Faults of level: choirs, swells, entries, tunes and plucked lines buried, registers."""

from collections import defaultdict
from collections.abc import Iterator
from functools import partial
from itertools import pairwise
from math import ceil
from statistics import fmean

from benchmarks.seeding.kind import Place
from benchmarks.seeding.page import Copy, Master, level_number, set_written, words
from redstave.model.score import Mark, Note, Part, Span

Rhythm = tuple[tuple[int, int], ...]
SOFT, FORTE, FULL = 2.0, 6.0, 7.0  # pp, f, ff
PIANO = 3.0


def homorhythms(of: Master, family: str, least: int) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Yield a bar and the parts of a family that have one rhythm in it and in the next bar."""
    rhythms: dict[tuple[int, Rhythm, Rhythm], list[str]] = defaultdict(list)
    for part in of.parts(family):
        rhythm_of = {bar: _rhythm(notes) for bar, notes in of.notes[part.id].items()}
        bars = {bar: rhythm for bar, rhythm in rhythm_of.items() if rhythm}
        for bar, rhythm in bars.items():
            if bar + 1 in bars and len(rhythm) > 1 and len(rhythm) + len(bars[bar + 1]) > 3:
                rhythms[bar, rhythm, bars[bar + 1]].append(part.id)
    for (bar, _, _), parts in rhythms.items():
        if len(parts) >= least:
            yield bar, tuple(parts)


def _rhythm(notes: tuple[Note, ...]) -> Rhythm:
    single = len({note.offset for note in notes}) == len(notes)
    tied = any(note.tie_start or note.tie_stop for note in notes)
    return tuple((n.offset, n.duration) for n in notes) if single and not tied else ()


def raised_in_choir(of: Master, family: str = "woodwind") -> Iterator[Place]:
    """Raise an inner member of a choir of four by two levels for two bars."""
    for bar, parts in homorhythms(of, family, 4):
        first = {part: of.notes[part][bar][0] for part in parts}
        level = {part: steady(of, part, bar) for part in parts}
        common = level[parts[0]]
        if common is None or len(set(level.values())) > 1 or common > 6:
            continue
        if not all(_told(of, part, bar) for part in parts):
            continue
        odd = sorted(parts, key=lambda part: of.sounding(first[part]))[1]
        after = next((n[0] for at, n in of.notes[odd].items() if at > bar + 1), None)
        plant = partial(_raise, part=odd, first=first[odd], after=after, level=common + 2)
        yield Place(bar, bar + 1, (odd,), plant)


def _told(of: Master, part: str, bar: int) -> bool:
    """Tell whether a part has read a level, and no word, since it last rested for a bar."""
    start = bar
    while start - 1 in of.notes[part]:
        start -= 1
    marks = [m for m in of.score.parts_by_id[part].marks_of("level", "word") if m.bar >= start]
    before = [m for m in marks if m.bar < bar or (m.bar == bar and m.offset == 0)]
    return bool(before) and all(m.kind == "level" for m in before)


def steady(of: Master, part: str, bar: int) -> float | None:
    """Return the level a part keeps through two bars; None where it changes or is not printed."""
    levels = {
        of.level(part, of.tick(n)) for at in (bar, bar + 1) for n in of.notes[part].get(at, ())
    }
    return levels.pop() if len(levels) == 1 else None


def _raise(copy: Copy, part: str, first: Note, after: Note | None, level: float) -> None:
    copy.level_between(part, first, after, level)


def swells(of: Master) -> Iterator[tuple[Part, Span, Mark, Mark]]:
    """Yield the hairpins that lead from one printed level to the next, with both levels.

    Nothing else about loudness, no word and no other hairpin stands near, and the part plays on.
    """
    quarter = of.score.ticks_per_quarter
    for part in of.parts("woodwind", "brass", "strings"):
        marks = [m for m in part.marks if m.kind in ("level", "word")]
        for span in part.spans_of("hairpin"):
            if span.start is None or span.stop is None or _crowded(part, span):
                continue
            start = of.score.tick(span.start.bar, span.start.offset)
            stop = of.score.tick(span.stop.bar, span.stop.offset)
            before = [m for m in marks if start - 16 * quarter < of.tick(m) <= start]
            after = [m for m in marks if start < of.tick(m) <= stop + quarter]
            if before and len(after) == 1 and stop - start > 2 * quarter:
                one, two = before[-1], after[0]
                numbers = level_number(one), level_number(two)
                if None not in numbers and _plays_on(of, part.id, of.tick(one), of.tick(two)):
                    yield part, span, one, two


def _crowded(part: Part, span: Span) -> bool:
    assert span.start is not None
    assert span.stop is not None
    return any(
        other is not span
        and other.start is not None
        and span.start.bar - 1 <= other.start.bar <= span.stop.bar + 1
        for other in part.spans_of("hairpin")
    )


def _plays_on(of: Master, part: str, start: int, goal: int) -> bool:
    """Tell whether a part plays several notes from a level to a goal that a note begins at."""
    tones = [tone for tone in of.tones[part] if start <= tone.start <= goal]
    joined = all(a.stop >= b.start for a, b in pairwise(tones))
    return len(tones) > 2 and joined and tones[-1].start == goal


def swell_turned(of: Master) -> Iterator[Place]:
    """Turn a hairpin round, so that it leads away from the level at its end."""
    for part, span, one, two in swells(of):
        low, high = level_number(one) or 0, level_number(two) or 0
        if low != high and (span.name == "crescendo") == (high > low):
            yield _at_span(part, span, partial(_turn, part=part.id, span=span))


def _turn(copy: Copy, part: str, span: Span) -> None:
    assert span.start is not None
    element = copy.bars[part][span.start.bar]
    for step in span.start.path.split("."):
        element = element[int(step) - 1]
    element.set("type", "diminuendo" if element.get("type") == "crescendo" else "crescendo")


def swell_levelled(of: Master) -> Iterator[Place]:
    """Print at the end of a hairpin the level it began from."""
    for part, span, one, two in swells(of):
        if level_number(one) != level_number(two):
            yield _at_span(part, span, partial(_level_out, one=one, two=two))


def _level_out(copy: Copy, one: Mark, two: Mark) -> None:
    element = copy.marked[two.id]
    assert element is not None
    element.tag = one.name


def swell_without_goal(of: Master) -> Iterator[Place]:
    """Take the level away that a hairpin leads to."""
    for part, span, _, two in swells(of):
        yield _at_span(part, span, partial(Copy.remove, marks=(two,)))


def _at_span(part: Part, span: Span, plant: partial[None]) -> Place:
    assert span.start is not None
    assert span.stop is not None
    return Place(span.start.bar, span.stop.bar, (part.id,), plant)


def entry_without_level(of: Master) -> Iterator[Place]:
    """Take the level away at an entry after eight bars of rest or more, or at the first one."""
    for part in of.parts("woodwind", "brass", "strings"):
        spans = {span.start.bar for span in part.spans_of("hairpin") if span.start}
        last = -1
        for bar in sorted(of.notes[part.id]):
            marks = [m for m in part.marks_of("level", "word") if last < m.bar <= bar + 1]
            if (
                (bar - last > 8 or last < 0)
                and len(marks) == 1
                and level_number(marks[0]) is not None
                and not spans & {bar, bar + 1}
            ):
                yield Place(bar, bar, (part.id,), partial(Copy.remove, marks=marks))
            last = bar


def bars_of(of: Master, bar: int, quarters: int) -> range:
    """Return the bars from one on that last so many quarters."""
    length = of.score.bars[bar].length / of.score.ticks_per_quarter
    return range(bar, bar + ceil(quarters / length))


def holds(of: Master, part: str, bars: range) -> bool:
    """Tell whether a part has notes nearly all the time in some bars."""
    notes = of.notes[part]
    return all(
        at in notes and sum(n.duration for n in notes[at]) >= of.score.bars[at].length * 0.9
        for at in bars
    )


def heights(of: Master, part: str, bars: range) -> list[float]:
    """Return the sounding pitches of a part's notes in some bars."""
    return [of.sounding(n) for at in bars for n in of.notes[part].get(at, ())]


def on_top(of: Master, part: str, bars: range) -> bool:
    """Tell whether a part moves all the time, on the whole above everybody else."""
    if not holds(of, part, bars) or any(len(of.notes[part][at]) < 2 for at in bars):
        return False
    others = [p.id for p in of.parts("woodwind", "brass", "strings") if p.id != part]
    below = [found for other in others if (found := heights(of, other, bars))]
    return all(fmean(found) < fmean(heights(of, part, bars)) for found in below)


def _all_at(copy: Copy, parts: tuple[str, ...], bars: range, level: float) -> None:
    """Give all parts one level for some bars, and what they had after them."""
    for part in parts:
        notes = copy.of.notes[part]
        first = next((notes[at][0] for at in bars if at in notes), None)
        after = next((notes[at][0] for at in sorted(notes) if at > bars[-1]), None)
        if first is not None:
            copy.level_between(part, first, after, level)


def stretches(of: Master, part: Part) -> Iterator[range]:
    """Yield the stretches of two to sixteen bars that a part plays between bars of rest.

    Those in which a hairpin stands are left out.
    """
    starts_of = [span.start.bar for span in part.spans_of("hairpin") if span.start]
    swelling = {bar - back for bar in starts_of for back in (0, 1)}
    bars = sorted(of.notes[part.id])
    starts = [bar for bar in bars if bar - 1 not in of.notes[part.id]]
    for start in starts:
        stop = start
        while stop in of.notes[part.id]:
            stop += 1
        if 2 <= stop - start <= 16 and not swelling & set(range(start, stop)):
            yield range(start, stop)


def solo_buried(of: Master) -> Iterator[Place]:
    """Mark a moving woodwind line solo at pianissimo and let everybody else play fortissimo."""
    for part in of.parts("woodwind"):
        for bars in stretches(of, part):
            others = _sounding_with(of, part.id, bars)
            moving = len(set(heights(of, part.id, bars))) > 3
            if moving and len(others) > 5 and not _doubled(of, part.id, bars):
                plant = partial(_bury, part=part.id, others=others, bars=bars, word="Solo")
                yield Place(bars[0], bars[-1], (part.id,), plant)


def plucked_buried(of: Master) -> Iterator[Place]:
    """Pluck a line of strings at pianissimo under a fortissimo of everybody else."""
    for part in of.parts("strings"):
        for bars in stretches(of, part):
            others = _sounding_with(of, part.id, bars)
            tones = [tone for tone in of.tones[part.id] if tone.bar in bars]
            plucked = len(tones) > 3 and all(t.technique.startswith("pizz") for t in tones)
            if plucked and len(others) > 3 and not _doubled(of, part.id, bars):
                plant = partial(_bury, part=part.id, others=others, bars=bars)
                yield Place(bars[0], bars[-1], (part.id,), plant)


def _sounding_with(of: Master, part: str, bars: range) -> tuple[str, ...]:
    """Return the parts that play in every one of some bars, beside a given one."""
    return tuple(
        other.id
        for other in of.parts("woodwind", "brass", "strings")
        if other.id != part and all(bar in of.notes[other.id] for bar in bars)
    )


def _doubled(of: Master, part: str, bars: range) -> bool:
    """Tell whether another part has a third of a part's attacks, octaves left aside."""
    mine = _struck(of, part, bars)
    others = (other.id for other in of.score.parts if other.id != part)
    return any(3 * len(mine & _struck(of, other, bars)) > len(mine) for other in others)


def _struck(of: Master, part: str, bars: range) -> set[tuple[int, int]]:
    notes = [n for at in bars for n in of.notes[part].get(at, ()) if n.kind == "pitched"]
    return {(of.tick(n), round(of.sounding(n)) % 12) for n in notes}


def _bury(copy: Copy, part: str, others: tuple[str, ...], bars: range, word: str = "") -> None:
    _all_at(copy, others, bars, FULL)
    _all_at(copy, (part,), bars, SOFT)
    if word:
        copy.before(copy.of.notes[part][bars[0]][0], words(word))


# Sounding pitches at the ends of the compass that orchestration handbooks call loud, or faint.
SHRILL = {"flute": 96, "oboe": 58, "bassoon": 34, "clarinet": 91, "trumpet": 82, "horn": 77}
FAINT = {"flute": 61, "oboe": 89, "clarinet": 67}


def soft_at_the_end(of: Master) -> Iterator[Place]:
    """Move a long wind note to where only loud notes speak, and mark it pianissimo."""
    yield from _moved(of, SHRILL, SOFT, 0)


def loud_in_the_faint(of: Master) -> Iterator[Place]:
    """Move a long woodwind note to where only soft notes speak, and mark it fortissimo."""
    yield from _moved(of, FAINT, FULL, 9)


def _moved(of: Master, pitches: dict[str, int], level: float, company: int) -> Iterator[Place]:
    for part in of.parts("woodwind", "brass"):
        midi = pitches.get(of.line_of[part.id].instrument)
        notes = of.single(part.id)
        for note, after in pairwise(notes):
            tied = note.tie_start or note.tie_stop
            if midi is None or tied or note.kind != "pitched" or of.seconds(note) < 1.6:
                continue
            if len(_sounding_with(of, part.id, range(note.bar, note.bar + 1))) >= company:
                written = midi + note.written_midi - of.sounding(note)
                plant = partial(_move, note=note, after=after, midi=written, level=level)
                yield Place(note.bar, note.bar, (part.id,), plant)


def _move(copy: Copy, note: Note, after: Note, midi: float, level: float) -> None:
    copy.level_between(copy.part_of(note), note, after, level)
    set_written(copy.note(note), midi)


def inner_doubled(of: Master) -> Iterator[Place]:
    """Let two inner players of a soft choir of winds play one note, in every chord of two bars."""
    for family in ("woodwind", "brass"):
        for bar, parts in homorhythms(of, family, 5):
            voices = [of.notes[part][bar] + of.notes[part][bar + 1] for part in parts]
            chords = list(zip(*voices, strict=True))
            order = sorted(range(len(parts)), key=lambda at: of.sounding(chords[0][at]))
            one, two = order[1], order[2]
            told = all(_told(of, part, bar) for part in parts)
            if not told or min(len(of.notes[parts[0]][at]) for at in (bar, bar + 1)) < 3:
                continue
            if any(_bad_choir(of, chord, one, two) for chord in chords):
                continue
            plant = partial(_double, chords=chords, one=one, two=two)
            yield Place(bar, bar + 1, (parts[one], parts[two]), plant)


def _bad_choir(of: Master, chord: tuple[Note, ...], one: int, two: int) -> bool:
    """Tell whether doubling would not leave every other note of a chord to one player."""
    pitches = [of.sounding(note) for note in chord]
    rest = [pitch for at, pitch in enumerate(pitches) if at != two]
    level = of.level(chord[one].id.rsplit(".", 2)[0], of.tick(chord[one]))
    inner = min(pitches) < pitches[one] < max(rest)
    return len(set(rest)) < len(rest) or not inner or level is None or level > PIANO


def _double(copy: Copy, chords: list[tuple[Note, ...]], one: int, two: int) -> None:
    for chord in chords:
        same = copy.of.sounding(chord[one])
        written = chord[two].written_midi - copy.of.sounding(chord[two]) + same
        set_written(copy.note(chord[two]), written)
