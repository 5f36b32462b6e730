"""Everything a page says about tempo, gathered from all parts and put in the order of time."""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from redstave.model.score import Part, Score, Span
from redstave.players.page import tick_of
from redstave.players.tempo_words import Said, read_words

METRONOME, NUMBER, PLAYBACK, EQUATION, WORD = range(5)
OPEN = -1  # a change whose end is not printed
NEW = ("number", "equal", "first", "same", "compared", "heading", "back")
CHANGES = ("slowing", "quickening", "held")
Meters = tuple[tuple[int, str, str], ...]  # tick, "6/8", name of the mark
# Note values of MusicXML in quarters, for marks such as "quarter = eighth".
_VALUES = {
    "breve": 8.0, "whole": 4.0, "half": 2.0, "quarter": 1.0, "eighth": 0.5, "16th": 0.25,
    "32nd": 0.125,
}  # fmt: skip
_EQUATION = re.compile(r"(\w+)(\.*) = (\w+)(\.*)")


class Statement(NamedTuple):
    """One statement about tempo; `rank` orders the evidence, best first.

    `stop` is where the dashes behind a gradual change end, OPEN without dashes.
    """

    tick: int
    rank: int
    said: Said
    text: str
    stop: int = OPEN


def statements(score: Score) -> tuple[Statement, ...]:
    """Return what all parts say about tempo, by time, the best evidence first, each thing once.

    Of several spellings of one thing at one place the most frequent comes first.
    """
    known = meters(score)
    found = Counter(one for part in score.parts for one in _of_part(score, part, known))
    order = sorted(found, key=lambda one: (*_order(one), -found[one], one.text, one.stop))
    return tuple(_without_repetitions(order, max((bar.length for bar in score.bars), default=0)))


def _order(one: Statement) -> tuple[int, int, int, float]:
    kinds = (*NEW, *CHANGES, "free")
    return one.tick, one.rank, kinds.index(one.said.kind), one.said.value


def _without_repetitions(order: Sequence[Statement], longest: int) -> Iterator[Statement]:
    """Leave out words that say again within a bar what is in force: parts print them unevenly."""
    last: Statement | None = None
    moved: list[Statement] = []  # the changes since, and at its place
    for one in order:
        if one.said.kind in CHANGES:
            moved.append(one)
        elif one.said.kind in NEW:
            begun = {change.said.kind for change in moved if last and change.tick == last.tick}
            fresh = any(change.said.kind not in begun for change in moved)
            near = last is not None and one.tick - last.tick <= longest
            if last and near and not fresh and one.tick > last.tick and _says_again(one, last):
                continue
            moved = [change for change in moved if change.tick == one.tick]
            last = one
        yield one


def _says_again(one: Statement, last: Statement) -> bool:
    return one.rank == last.rank == WORD and one.said == last.said


def _of_part(score: Score, part: Part, known: Meters) -> Iterator[Statement]:
    texts: dict[int, list[str]] = defaultdict(list)
    for mark in part.marks_of("tempo", "word"):
        tick = tick_of(score, mark)
        if mark.kind == "word":
            texts[tick].append(mark.text)
        elif mark.value > 0:
            printed = mark.name != "sound"
            rank = METRONOME if printed else PLAYBACK
            text = mark.text if printed else ""
            yield Statement(tick, rank, Said("number", mark.value), text)
        elif said := _equation(mark.text):
            yield Statement(tick, EQUATION, said, mark.text)
    dashes = [span for span in part.spans_of("dashes") if span.start and span.stop]
    for tick, words in texts.items():
        beat = beat_at(known, tick)
        shown = _shown(words, beat)
        for said in read_words(" ".join(words), beat):
            stop = _dashes_end(score, dashes, tick) if said.kind in CHANGES else OPEN
            yield Statement(tick, _rank(said), said, shown, stop)


def _shown(words: Sequence[str], beat: float) -> str:
    """Return the words that tell the tempo; all of them where only together they do."""
    telling = [word for word in words if read_words(word, beat)]
    return " ".join(" ".join(telling or words).split())


def _rank(said: Said) -> int:
    return {"number": NUMBER, "equal": EQUATION}.get(said.kind, WORD)


def _equation(text: str) -> Said | None:
    match = _EQUATION.fullmatch(text)
    if not match or match[1] not in _VALUES or match[3] not in _VALUES:
        return None
    old, new = (_VALUES[match[i]] * (2 - 0.5 ** len(match[i + 1])) for i in (1, 3))
    return Said("equal", new / old)


def _dashes_end(score: Score, dashes: list[Span], tick: int) -> int:
    """Return where the dashes behind a word end; they begin within two quarters of it.

    Dashes of less than a quarter tell nothing: files draw them to give the word room.
    """
    latest = tick + 2 * score.ticks_per_quarter
    ends = [
        tick_of(score, span.stop)
        for span in dashes
        if span.start and span.stop and tick <= tick_of(score, span.start) <= latest
    ]
    return min((end for end in ends if end >= tick + score.ticks_per_quarter), default=OPEN)


def meters(score: Score) -> Meters:
    """Return the meters by time, from whatever part prints them."""
    return tuple(
        sorted(
            {
                (tick_of(score, mark), mark.text, mark.name)
                for part in score.parts
                for mark in part.marks_of("meter")
            }
        )
    )


def beat_at(known: Meters, tick: int) -> float:
    """Return the beat of the meter at a tick in quarters: dotted quarter in 6/8, half in 2/2."""
    meter = next((text for at, text, _ in reversed(known) if at <= tick), "4/4")
    beats, _, unit = meter.partition("/")
    if not unit.isdecimal() or not int(unit):
        return 1.0
    compound = int(unit) > 4 and beats in {"6", "9", "12"}
    return (12.0 if compound else 4.0) / int(unit)
