"""What changes for a player between two ticks: levels, hairpins, techniques, tempo, words."""

import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby, pairwise
from typing import NamedTuple

from redstave.instruments.wording import read_name
from redstave.model.line import LevelPoint, Line, TechniquePoint, Tone, level_name
from redstave.model.score import Part, Score
from redstave.players.dynamics import NOTHING, SUDDEN, from_nothing, read_levels, to_nothing
from redstave.players.numbering import player_numbers
from redstave.players.page import Place, places, spelled, tick_of
from redstave.players.stand.view import Sign
from redstave.players.tempo_marks import METRONOME, PLAYBACK, Statement
from redstave.players.tempo_words import read_words
from redstave.players.words import senses, tokens

ANY_NUMBER = tuple(range(1, 9))
_TOGETHER = frozenset({"two", "three", "four", "all"})
_NUMBERS = re.compile(r"^\s*(?:(?:\d|[IV]+)[.º°]?[a-z]{0,2}[.,/+& -]*)+(?=\s|$)")


class Printed(NamedTuple):
    """Everything of one part that a player may see, gathered once.

    `causes` gives the bar (index) and the text of each level, word and hairpin by id.
    """

    score: Score
    places: tuple[Place, ...]
    causes: Mapping[str, tuple[int, str]]
    tempos: tuple[Statement, ...]
    letters: tuple[tuple[int, str], ...]

    def spot(self, tick: int) -> tuple[int, int]:
        """Return bar (index) and offset of a position in ticks."""
        bar = self.score.bar_at(tick)
        return bar, tick - self.score.bars[bar].start


class Window(NamedTuple):
    """The ticks of a passage: the end of the note before it, its entry, its end."""

    before: int
    entry: int
    stop: int


def printed_of(score: Score, part: Part, tempos: Sequence[Statement]) -> Printed:
    """Gather what is printed in a part; `tempos` is what the whole page says about tempo."""
    causes = {
        mark.id: (mark.bar, " ".join(spelled(mark).split()))
        for mark in part.marks_of("level", "word")
    }
    for span in part.spans_of("hairpin"):
        if span.start is not None:
            circle = " dal niente" * from_nothing(span) + " al niente" * to_nothing(span)
            causes[span.id] = span.start.bar, span.name + circle
    shown = tuple(one for one in tempos if one.rank != PLAYBACK and one.text)
    rehearsals = (mark for one in score.parts for mark in one.marks_of("rehearsal"))
    letters = sorted({(tick_of(score, mark), mark.text) for mark in rehearsals})
    return Printed(score, places(score, part), causes, shown, tuple(letters))


def level_signs(page: Printed, points: Sequence[LevelPoint], window: Window) -> Iterator[Sign]:
    """Yield levels and swells that begin behind the entry, or at it for a swell."""
    first = max(0, bisect_right(points, window.entry, key=_tick) - 1)
    swell = ""  # the cause of the swell before
    for point, after in pairwise([*points[first:], points[-1]]):
        if point.tick >= window.stop:
            return
        bar, offset = page.spot(max(point.tick, window.entry))
        if point.ramp and after.tick > window.entry:
            yield _swell(page, points, point, after, bar, offset)
            swell = point.cause
        elif point.tick > window.entry and point.cause in page.causes:
            reached = point.cause == swell or (swell and not _is_news(points, point))
            if not reached:
                yield Sign("level", bar, offset, _level_text(page, point))
                swell = ""


def _level_text(page: Printed, point: LevelPoint) -> str:
    """Return a level as printed, with the "subito" that stands beside it."""
    text = page.causes[point.cause][1]
    beside = (place.text for place in page.places if place.cause == point.cause)
    sudden = any(word.lower() in SUDDEN for word in tokens(next(beside, "")))
    told = any(word.lower() in SUDDEN for word in tokens(text))
    return f"{text} subito" if sudden and not told else text


def _swell(
    page: Printed,
    points: Sequence[LevelPoint],
    point: LevelPoint,
    after: LevelPoint,
    bar: int,
    offset: int,
) -> Sign:
    kind = "crescendo" if after.level > point.level else "diminuendo"
    goal = _own_goal(page, point)
    told = bool(goal) or _goal_told(points, after, point.cause, page.score.ticks_per_quarter)
    last = page.score.bar_at(max(point.tick, after.tick - 1))
    return Sign(kind, bar, offset, goal or (level_name(after.level) if told else ""), last, told)


def _own_goal(page: Printed, point: LevelPoint) -> str:
    """Return the level that a swell itself names, "cresc. al ff" or by a circle; "" if none."""
    text = page.causes.get(point.cause, (-1, ""))[1]
    goals = (level for kind, _, level in read_levels(text) if kind == "swell" and level)
    return next(("niente" if goal == NOTHING else level_name(goal) for goal in goals), "")


def _goal_told(points: Sequence[LevelPoint], end: LevelPoint, cause: str, quarter: int) -> bool:
    """Whether a mark within a beat of a swell's end says what level it leads to."""
    near = points[bisect_left(points, end.tick, key=_tick) :]
    return any(
        one.cause != cause and not one.ramp and one.level == end.level
        for one in near
        if one.tick <= end.tick + quarter
    )


def _is_news(points: Sequence[LevelPoint], point: LevelPoint) -> bool:
    """Whether a mark says more than where the swell just before it has led."""
    before = points[max(0, points.index(point) - 1)]
    return not before.ramp and before.level != point.level


def _tick(point: LevelPoint | TechniquePoint) -> int:
    return point.tick


class Origin(NamedTuple):
    """What set a level: its tick, its bar (index, -1 if nothing did), its text, whether a swell."""

    tick: int
    bar: int
    text: str
    swell: bool


def origin(page: Printed, points: Sequence[LevelPoint], tick: int) -> Origin:
    """Return what set the level in force at a tick.

    A swell that begins from a level is not what set it; one that has led there, or leads on, is.
    """
    index = max(0, bisect_right(points, tick, key=_tick) - 1)
    while index and points[index].ramp and points[index].tick == tick and not _level_at(page, tick):
        index -= 1
    point = points[index]
    bar, text = page.causes.get(point.cause, (-1, ""))
    printed = _level_at(page, point.tick)
    if point.ramp and point.tick == tick:
        return Origin(tick, page.score.bar_at(tick), printed, False)
    swell = bool(text) and not printed and not _sets(text)
    return Origin(point.tick, bar, text, swell)


def _sets(text: str) -> bool:
    return any(kind in {"set", "bound", "step"} for kind, _, _ in read_levels(text))


def _level_at(page: Printed, tick: int) -> str:
    """Return the level printed at a tick, "" where none stands."""
    texts = (place.text for place in page.places if place.tick == tick)
    words = next((text for text in texts if _sets(text)), "").split()
    return next((word for word in words if _sets(word)), "")


def stress_signs(page: Printed, starts: frozenset[int], window: Window) -> Iterator[Sign]:
    """Yield sf, fz, fp and their kin where the player attacks."""
    for place in page.places:
        if window.entry <= place.tick < window.stop and place.tick in starts:
            letters = [word for word in tokens(place.text) if _is_stress(word)]
            if letters:
                yield Sign("stress", *page.spot(place.tick), letters[0])


def _is_stress(word: str) -> bool:
    return any(kind == "accent" for kind, _, _ in read_levels(word))


def technique_signs(
    page: Printed, points: Sequence[TechniquePoint], tones: Sequence[Tone], window: Window
) -> Iterator[Sign]:
    """Yield what words put in force or out of it, in the rest before the passage too.

    Only what hands must be moved for has a time: bow, mute, snares.
    """
    last = ("", -1)
    for before, point in pairwise(points):
        if not window.before <= point.tick < window.stop or _state(point) == _state(before):
            continue
        text = _technique_words(page, point)
        spot = page.spot(point.tick)
        if (text, spot[0]) != last:
            seconds = time_for(tones, point.tick) if _hands(point) != _hands(before) else None
            yield Sign("technique", *spot, text, seconds=seconds)
        last = text, spot[0]


def _state(point: TechniquePoint) -> TechniquePoint:
    return point._replace(tick=0, cause="")


def _hands(point: TechniquePoint) -> tuple[object, ...]:
    return point.bow, point.mute, point.mute_kind, point.snares


def _technique_words(page: Printed, point: TechniquePoint) -> str:
    """Return the words that changed the technique, without a level beside them."""
    place = next((one for one in page.places if one.cause == point.cause), None)
    words = place.words if place else ()
    told = [_tidy(word) for word in words if senses(word, "technique")]
    return " ".join(told) or page.causes.get(point.cause, (-1, ""))[1]


def time_for(tones: Sequence[Tone], tick: int) -> float | None:
    """Return the seconds from the last note begun before a tick to the first one from it on."""
    earlier = [tone.stop_s for tone in tones if tone.start < tick]
    later = min((tone.start_s for tone in tones if tone.start >= tick), default=None)
    if not earlier or later is None:
        return None
    return max(0.0, later - max(earlier))


def tempo_signs(page: Printed, window: Window) -> Iterator[Sign]:
    """Yield what the page says about tempo while the player plays."""
    for tick, ones in groupby(page.tempos, key=lambda one: one.tick):
        if window.entry <= tick < window.stop:
            yield Sign("tempo", *page.spot(tick), _tempo_text(list(ones)))


def _tempo_text(together: Sequence[Statement]) -> str:
    """Return words first, then the number, each once whatever its capitals and stops."""
    numbers = [one.text.replace(".", "") for one in together if one.rank == METRONOME]
    dotted = any("." in one.text for one in together if one.rank == METRONOME)
    said = {
        tokens(one.text.lower()): one.text for one in reversed(together) if one.rank > METRONOME
    }
    words = " ".join(reversed(said.values()))
    number = f"{'dotted ' if dotted else ''}{numbers[0]}" if numbers else ""
    return f"{words} ({number})" if words and number else words or number


def rehearsal_signs(page: Printed, window: Window) -> Iterator[Sign]:
    """Yield the rehearsal letters behind the entry."""
    for tick, text in page.letters:
        if window.entry < tick < window.stop:
            yield Sign("rehearsal", *page.spot(tick), text)


def word_signs(page: Printed, line: Line, window: Window) -> Iterator[Sign]:
    """Yield the other words: dolce, solo, div.; each once in a passage.

    Words for another player on the stave are left out; so are those far ahead in the rest.
    """
    seen: set[str] = set()
    first = window.entry - page.score.ticks_per_quarter
    for place in page.places:
        if not max(first, window.before) <= place.tick < window.stop:
            continue
        for text in (_own_words(word, line.numbers) for word in place.words):
            if text and text not in seen and _is_other(text, line.section):
                seen.add(text)
                yield Sign("word", *page.spot(place.tick), text)


def _own_words(text: str, own: Sequence[int]) -> str:
    """Return a word without the number it begins with, "" when the number is another player's."""
    numbers = player_numbers(text, ANY_NUMBER)
    if not numbers:
        return _tidy(text)
    theirs = own and not set(own).intersection(numbers)
    return "" if theirs else _tidy(_NUMBERS.sub("", text, count=1))


def _tidy(text: str) -> str:
    return " ".join(text.split())


def _is_other(text: str, section: bool) -> bool:
    """Whether a word is none of those that are told in another way.

    "a 2" says who plays, and the page of one wind player has been sorted by it already.
    """
    if not any(letter.isalpha() for letter in text):
        return False
    if not section and {one.meaning for one in senses(text, "sharing")} & _TOGETHER:
        return False
    if any(senses(text, heading) for heading in ("technique", "level", "tempo")):
        return False
    if read_words(text) or {word.lower() for word in tokens(text)} <= SUDDEN:
        return False
    reading = read_name(text)
    return not read_levels(text) and (not reading.instruments or bool(reading.leftover))
