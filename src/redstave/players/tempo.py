"""The tempo map: seconds from ticks, repeats not unfolded, no ritardando modelled.

A metronome mark is the first evidence, a tempo for playback the second, a tempo word the third;
without any of them 90 quarters a minute are assumed. What a word means in beats a minute is data of
ours from memory (tempo_words.toml) and always counts as assumed.
"""

import tomllib
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import NamedTuple

from redstave.model.line import TempoMap
from redstave.model.score import Mark, Score
from redstave.players.words import tokens

ASSUMED_TEMPO = 90.0  # quarters a minute; an assumption, no source
_METRONOME, _SOUND, _WORD = range(3)


class TempoEvent(NamedTuple):
    """One statement about tempo; `rank` orders the evidence, best first."""

    tick: int
    rank: int
    quarters: float  # quarters a minute
    text: str


def tempo_map(score: Score) -> tuple[TempoMap, tuple[str, ...]]:
    """Return the tempo map of a score and the open questions about it."""
    events = sorted(set(_events(score)))
    chosen: dict[int, TempoEvent] = {}
    for event in events:
        chosen.setdefault(event.tick, event)
    questions = [_question(event) for event in chosen.values() if event.rank == _WORD]
    if 0 not in chosen:
        first = TempoEvent(0, _WORD, ASSUMED_TEMPO, "")
        chosen = {0: first, **chosen}
        questions.insert(
            0, f"No tempo is given at the beginning: {ASSUMED_TEMPO:g} quarters a minute assumed."
        )
    points = _points(list(chosen.values()), score.ticks_per_quarter)
    assumed = any(event.rank == _WORD for event in chosen.values())
    return TempoMap(score.ticks_per_quarter, points, assumed), tuple(questions)


def _question(event: TempoEvent) -> str:
    return (
        f"No metronome mark stands with “{event.text}”: "
        f"{event.quarters:g} quarters a minute assumed."
    )


def _points(events: list[TempoEvent], quarter: int) -> tuple[tuple[int, float, float], ...]:
    points: list[tuple[int, float, float]] = []
    for event in events:
        second = 0.0
        if points:
            tick, before, speed = points[-1]
            second = before + (event.tick - tick) / quarter * 60.0 / speed
            if speed == event.quarters:
                continue
        points.append((event.tick, second, event.quarters))
    return tuple(points)


def _events(score: Score) -> Iterator[TempoEvent]:
    meters = _meters(score)
    for part in score.parts:
        for mark in part.marks:
            if mark.kind not in {"tempo", "word"}:
                continue
            tick = score.bars[mark.bar].start + mark.offset
            if event := _event(mark, tick, _beat(meters, tick)):
                yield event


def _event(mark: Mark, tick: int, beat: float) -> TempoEvent | None:
    if mark.kind == "word":
        beats = beats_of_words(mark.text)
        return TempoEvent(tick, _WORD, beats * beat, mark.text.strip()) if beats else None
    if mark.value <= 0:
        return None
    rank = _SOUND if mark.name == "sound" else _METRONOME
    return TempoEvent(tick, rank, mark.value, mark.text)


def beats_of_words(text: str) -> float:
    """Return the assumed beats a minute of a heading such as "Andante con moto", 0 for no tempo.

    Only a text that begins with a capital counts as a heading: "animato" in a part is not one.
    """
    words = tokens(text)
    if not words or not words[0][0].isupper():
        return 0.0
    table = tempo_words()
    low = [word.lower() for word in words[:3]]
    found = [table[word] for word in low if word in table]
    return found[0] if found else 0.0


@cache
def tempo_words() -> dict[str, float]:
    """Return the assumed beats a minute by tempo word, from the data file."""
    text = files("redstave.players").joinpath("tempo_words.toml").read_text("utf-8")
    return {
        word: float(entry["beats"]["value"])
        for entry in tomllib.loads(text)["tempo"]
        for word in entry["words"]
    }


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
