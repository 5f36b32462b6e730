"""The tempo map: seconds from ticks, repeats not unfolded.

At one place a metronome mark is the first evidence, a number among the words ("Maestoso = 138") the
second, a tempo for playback the third, an equation of note values the fourth, words the last but
one; at the beginning a tempo that only the title names is the last. Without any of them 90
quarters a minute are assumed. Gradual changes move the tempo evenly by position in the score;
fermatas stretch it.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from redstave.model.line import OpenQuestion, TempoMap, TempoPoint, ramp_seconds
from redstave.model.score import Score
from redstave.players.tempo_course import (
    ASSUMED_TEMPO,
    Change,
    Course,
    Stretch,
    course,
    opening,
)
from redstave.players.tempo_marks import (
    EQUATION,
    PLAYBACK,
    Meters,
    Statement,
    meters,
    statements,
)
from redstave.players.tempo_pauses import Hold, Silence, holds, silences
from redstave.players.tempo_title import TITLE, with_title

_UNLIKELY = 2.0  # ratio of a tempo for playback to that of the word; our assumption, no source
_SAME = 0.02  # tempos that differ by less than this share do not contradict each other


def tempo_map(score: Score) -> tuple[TempoMap, tuple[OpenQuestion, ...]]:
    """Return the tempo map of a score and the open questions about it."""
    known = meters(score)
    said = with_title(score, statements(score), known, opening(score))
    found = course(score, said, known)
    held, silent = holds(score), silences(score)
    points = tempo_points(found.stretches, held, silent, score.ticks_per_quarter)
    assumed = any(one.assumed for one in found.tempos)
    questions = (
        *_about_tempos(score, found),
        *_about_changes(score, found.changes),
        *_about_pauses(score, held, silent),
        *_about_evidence(score, said, known),
    )
    return TempoMap(score.ticks_per_quarter, points, assumed), tuple(dict.fromkeys(questions))


def tempo_points(
    stretches: Sequence[Stretch],
    held: Sequence[Hold],
    silent: Sequence[Silence],
    ticks_per_quarter: int,
) -> tuple[TempoPoint, ...]:
    """Return the points of a tempo map; the first stretch begins at 0."""
    pauses = {one.tick: one.seconds for one in silent}
    points: list[TempoPoint] = []
    for piece in _cut(stretches, held, pauses):
        pause = pauses.get(piece.tick, 0.0)
        second = 0.0
        if points:
            last = points[-1]
            if not pause and last.quarters == last.goal == piece.quarters == piece.goal:
                continue
            length = (piece.tick - last.tick) / ticks_per_quarter
            second = last.second + ramp_seconds(last.quarters, last.goal, length, length)
        points.append(TempoPoint(piece.tick, second + pause, piece.quarters, piece.goal, pause))
    return tuple(points)


def _cut(
    stretches: Sequence[Stretch], held: Sequence[Hold], pauses: Iterable[int]
) -> Iterator[Stretch]:
    """Yield the stretches cut where a hold or a pause stands, slower inside the holds."""
    edges = {tick for one in held for tick in (one.start, one.stop)}
    ticks = sorted({one.tick for one in stretches} | edges | set(pauses))
    starts = [one.tick for one in stretches]
    for tick, following in zip(ticks, [*ticks[1:], ticks[-1]], strict=True):
        index = bisect_right(starts, tick) - 1
        after = stretches[index + 1].tick if index + 1 < len(stretches) else following
        times = next((one.times for one in held if one.start <= tick < one.stop), 1.0)
        speed, goal = (_speed(stretches[index], after, at) / times for at in (tick, following))
        yield Stretch(tick, speed, goal)


def _speed(stretch: Stretch, after: int, tick: int) -> float:
    """Return the tempo at a tick of a stretch that ends at the tick `after`."""
    if after <= stretch.tick or stretch.goal == stretch.quarters:
        return stretch.quarters
    share = (tick - stretch.tick) / (after - stretch.tick)
    return stretch.quarters + share * (stretch.goal - stretch.quarters)


def _about_tempos(score: Score, found: Course) -> Iterator[OpenQuestion]:
    first = found.tempos[0]
    if first.assumed and not first.text:
        text = f"No tempo is given at the beginning: {ASSUMED_TEMPO:g} quarters a minute assumed."
        yield OpenQuestion("no-first-tempo", text, 0)
    for one in found.tempos:
        if one.text:
            text = (
                f"No metronome mark stands with “{one.text}”: "
                f"{one.quarters:g} quarters a minute assumed."
            )
            yield OpenQuestion("tempo-word-without-number", text, score.bar_at(one.tick))


def _about_changes(score: Score, changes: Sequence[Change]) -> Iterator[OpenQuestion]:
    for one in changes:
        bar = score.bar_at(one.start)
        if not one.told:
            share = round(100 * one.ratio)
            text = f"“{one.text}” names no goal: {share} % of the tempo assumed."
            yield OpenQuestion("tempo-change-without-goal", text, bar)
        if one.returns:
            text = f"No word ends “{one.text}”: the old tempo is taken to come back after it."
            yield OpenQuestion("tempo-change-without-end", text, bar)


def _about_pauses(
    score: Score, held: Sequence[Hold], silent: Sequence[Silence]
) -> Iterator[OpenQuestion]:
    for one in held:
        times = "twice" if one.times == 2 else f"{one.times:g} times"
        text = f"A fermata is taken to make its note last {times} as long."
        yield OpenQuestion("fermata-length", text, score.bar_at(one.start))
    for gap in silent:
        name = "caesura" if gap.kind == "caesura" else "fermata over a barline"
        text = f"A {name} is taken as {gap.seconds:g} s of silence."
        yield OpenQuestion("silence-length", text, score.bar_at(max(0, gap.tick - 1)))


def _about_evidence(
    score: Score, said: Sequence[Statement], known: Meters
) -> Iterator[OpenQuestion]:
    for tick, ones in groupby(said, key=lambda one: one.tick):
        together = list(ones)
        bar = score.bar_at(tick)
        numbers = [one for one in together if one.said.kind == "number"]
        if numbers:
            texts = (*_contradiction(numbers), *_unlikely(numbers[0], together))
            yield from (OpenQuestion("tempo-contradicted", text, bar) for text in texts)
        elif any(one.rank == EQUATION for one in together):
            text = "Of two note values joined by “=” the first is taken as old, the second as new."
            yield OpenQuestion("tempo-equation", text, bar)
        for one in together:
            if one.rank == TITLE:
                text = f"Only the title names a tempo, “{one.text}”: it is taken for the beginning."
                yield OpenQuestion("tempo-only-in-title", text, bar)
            if one.said.kind == "free":
                text = f"“{one.text}” frees the time: it is taken as strict."
                yield OpenQuestion("tempo-free", text, bar)
    for tick, _, name in known:
        if name == "senza-misura":
            text = "Here no metre holds: the notes are taken in time, as long as written."
            yield OpenQuestion("tempo-free", text, score.bar_at(tick))


def _contradiction(numbers: Sequence[Statement]) -> Iterator[str]:
    values = sorted({one.said.value for one in numbers})
    if values[-1] > (1.0 + _SAME) * values[0]:
        shown = " and ".join(f"{value:g}" for value in values)
        yield (
            f"The tempos given here contradict each other ({shown} quarters a minute): "
            f"{numbers[0].said.value:g} taken."
        )


def _unlikely(number: Statement, together: Sequence[Statement]) -> Iterator[str]:
    """Doubt a tempo that only playback gives and the printed word does not bear out."""
    word = next((one for one in together if one.said.kind == "heading"), None)
    if number.rank != PLAYBACK or word is None:
        return
    ratio = number.said.value / word.said.value
    if max(ratio, 1.0 / ratio) > _UNLIKELY:
        yield (
            f"“{word.text}” has no metronome mark; playback takes {number.said.value:g} quarters a "
            f"minute, which the word does not suggest (about {word.said.value:g})."
        )
