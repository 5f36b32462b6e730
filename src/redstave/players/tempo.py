"""The tempo map: seconds from ticks, repeats not unfolded, no ritardando modelled.

At one place a metronome mark is the first evidence, a number among the words ("Maestoso = 138") the
second, a tempo for playback the third, words the last; without any of them 90 quarters a minute are
assumed. What a word means in beats a minute is data of ours from memory (tempo_words.toml) and
always counts as assumed.
"""

import re
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import NamedTuple

from redstave.base.citation import Quantity, Source, quantity
from redstave.model.line import OpenQuestion, TempoMap
from redstave.model.score import Score
from redstave.players.words import tokens

ASSUMED_TEMPO = 90.0  # quarters a minute; an assumption, no source
_METRONOME, _NUMBER, _SOUND, _WORD = range(4)
_NUMBER_IN_WORDS = re.compile(r"([♩♪\uECA0-\uECB7]*)\s*=\s*(?:ca?\.?\s*)?(\d{2,3})(?!\d)")
# SMuFL 1.4, range "Metronome marks", and the notes of Unicode's Miscellaneous Symbols, in quarters.
_NOTE_LETTERS = {"\ueca2": 4.0, "\ueca3": 2.0, "\ueca5": 1.0, "\ueca7": 0.5, "♩": 1.0, "♪": 0.5}
_DOT = "\uecb7"
_FIRST_TEMPO = frozenset(
    {
        ("tempo", "i"),
        ("tempo", "1"),
        ("tempo", "primo"),
        ("erstes", "tempo"),
        ("erstes", "zeitmass"),
        ("premier", "mouvement"),
        ("1", "er"),
    }
)


class TempoEvent(NamedTuple):
    """One statement about tempo; `rank` orders the evidence, best first.

    `quarters` is quarters a minute; when it is 0, the tempo is the last stated one times `factor`,
    or the first of all when that is 0 too.
    """

    tick: int
    rank: int
    quarters: float
    factor: float
    text: str


def tempo_map(score: Score) -> tuple[TempoMap, tuple[OpenQuestion, ...]]:
    """Return the tempo map of a score and the open questions about it."""
    chosen: dict[int, TempoEvent] = {}
    for event in sorted(set(_events(score))):
        chosen.setdefault(event.tick, event)
    questions: list[OpenQuestion] = []
    if 0 not in chosen or not chosen[0].quarters:
        chosen[0] = TempoEvent(0, _WORD, ASSUMED_TEMPO, 0.0, "")
        text = f"No tempo is given at the beginning: {ASSUMED_TEMPO:g} quarters a minute assumed."
        questions.append(OpenQuestion("no-first-tempo", text, 0))
    settled = _settled([chosen[tick] for tick in sorted(chosen)])
    questions.extend(
        _question(event, score.bar_at(event.tick))
        for event in settled
        if event.rank == _WORD and event.text
    )
    assumed = any(event.rank == _WORD for event in settled)
    points = _points(settled, score.ticks_per_quarter)
    return TempoMap(score.ticks_per_quarter, points, assumed), tuple(dict.fromkeys(questions))


def _settled(events: list[TempoEvent]) -> list[TempoEvent]:
    """Work out the tempos that are given by comparison: "Più mosso", "Tempo I"."""
    settled: list[TempoEvent] = []
    base = 0.0  # the last tempo that is no comparison: "a tempo ma più lento" twice is no slower
    for event in events:
        if event.factor:
            event = event._replace(quarters=round(base * event.factor, 1))
        else:
            base = event.quarters or settled[0].quarters
            event = event._replace(quarters=base)
        settled.append(event)
    return settled


def _question(event: TempoEvent, bar: int) -> OpenQuestion:
    text = (
        f"No metronome mark stands with “{event.text}”: "
        f"{event.quarters:g} quarters a minute assumed."
    )
    return OpenQuestion("tempo-word-without-number", text, bar)


def _points(
    events: Iterable[TempoEvent], ticks_per_quarter: int
) -> tuple[tuple[int, float, float], ...]:
    points: list[tuple[int, float, float]] = []
    for event in events:
        second = 0.0
        if points:
            tick, before, speed = points[-1]
            if speed == event.quarters:
                continue
            second = before + (event.tick - tick) / ticks_per_quarter * 60.0 / speed
        points.append((event.tick, second, event.quarters))
    return tuple(points)


def _events(score: Score) -> Iterator[TempoEvent]:
    meters = _meters(score)
    for part in score.parts:
        texts: dict[int, list[str]] = defaultdict(list)
        for mark in part.marks_of("tempo", "word"):
            tick = score.bars[mark.bar].start + mark.offset
            if mark.kind == "word":
                texts[tick].append(mark.text)
            elif mark.value > 0:
                rank = _SOUND if mark.name == "sound" else _METRONOME
                yield TempoEvent(tick, rank, mark.value, 0.0, "")
        for tick, words in texts.items():
            if event := read_tempo(" ".join(words), tick, _beat(meters, tick)):
                yield event


def read_tempo(text: str, tick: int = 0, beat: float = 1.0) -> TempoEvent | None:
    """Read a tempo in words; `beat` is the beat of the meter in quarters.

    Only a text that begins with a capital counts as a heading: "animato" in a part is not one.
    """
    shown = " ".join(text.split())
    if match := _NUMBER_IN_WORDS.search(text):
        return TempoEvent(tick, _NUMBER, float(match[2]) * _unit(match[1]), 0.0, shown)
    words = tokens(text)
    low = tuple(word.lower() for word in words)
    if any(pair in _FIRST_TEMPO for pair in pairwise(low)):
        return TempoEvent(tick, _WORD, 0.0, 0.0, shown)
    if factor := _comparison(low):
        return TempoEvent(tick, _WORD, 0.0, factor, shown)
    if words and words[0][0].isupper():
        beats = next((headings()[word] for word in low[:3] if word in headings()), None)
        if beats is not None:
            return TempoEvent(tick, _WORD, beats.number * beat, 0.0, shown)
    return None


def _unit(letters: str) -> float:
    """Return the beat unit drawn before "=" in quarters; a quarter when none is drawn."""
    unit = next((_NOTE_LETTERS[letter] for letter in letters if letter in _NOTE_LETTERS), 1.0)
    return unit * (1.5 if _DOT in letters else 1.0)


def _comparison(low: tuple[str, ...]) -> float:
    known = comparisons()
    low = low[:6]  # a heading begins with it; deep inside a sentence it tells something else
    for length in (3, 2, 1):
        for start in range(len(low) - length + 1):
            if found := known.get(low[start : start + length]):
                return found.number
    return 0.0


@cache
def headings() -> dict[str, Quantity]:
    """Return the assumed beats a minute by tempo word."""
    return {word: value for words, value in _data("heading") for word in words}


@cache
def comparisons() -> dict[tuple[str, ...], Quantity]:
    """Return the assumed ratio of tempos by phrase ("più mosso")."""
    return {tokens(word): value for words, value in _data("comparison") for word in words}


def _data(table: str) -> Iterator[tuple[list[str], Quantity]]:
    name = "tempo_words.toml"
    page = tomllib.loads(files("redstave.players").joinpath(name).read_text("utf-8"))
    sources = {
        key: Source(key, entry["title"], entry["read"]) for key, entry in page["sources"].items()
    }
    for entry in page[table]:
        yield entry["words"], quantity(entry["tempo"], f"{name} [{table}]", sources)


def _meters(score: Score) -> list[tuple[int, str]]:
    """Return the meters as (tick, "6/8"), from whatever part prints them."""
    found = {
        (score.bars[mark.bar].start + mark.offset, mark.text)
        for part in score.parts
        for mark in part.marks_of("meter")
    }
    return sorted(found)


def _beat(meters: list[tuple[int, str]], tick: int) -> float:
    """Return the beat of the meter at a tick in quarters: dotted quarter in 6/8, half in 2/2."""
    meter = next((text for at, text in reversed(meters) if at <= tick), "4/4")
    beats, _, unit = meter.partition("/")
    if unit == "8" and beats in {"6", "9", "12"}:
        return 1.5
    return 2.0 if meter == "2/2" else 1.0
