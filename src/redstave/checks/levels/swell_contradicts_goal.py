"""The check `swell-contradicts-goal`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.dynamics import Event, Kind
from redstave.analysis.page import spot
from redstave.analysis.swells import Course, courses
from redstave.checks.grouping import gathered
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import LEVEL_NAMES
from redstave.model.score import Part, Score


@check("swell-contradicts-goal", Claim.IMPOSSIBLE, sources=("common-practice",))
def swell_contradicts_goal(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find hairpins that point away from the level they lead to.

    What it reports
        A crescendo hairpin that leads to a softer printed level than it starts from, or a
        diminuendo hairpin that leads to a louder one. A hairpin between two equal levels is a risk:
        players cannot know whether they are to come back, or how far to go.

    Why it matters
        The players cannot obey both signs. Some follow the hairpin, some the level, and rehearsal
        time goes on asking which of them counts.

    How it is computed
        The level before is the last one printed, with nothing about loudness and no rest of a bar
        between it and the hairpin. The level after must stand no later than the next note, and no
        rest may come between. Left alone: swells that turn back, fp and its like, levels with
        subito, hairpins with any other word about loudness beside them.

    Limits
        A sudden piano after a crescendo is a device of its own; where it is meant, the word subito
        makes it plain. This check can only see that the word is missing.

    Sources
        Common practice, no source.
    """
    score = analysis.score
    found = (item for part in score.parts for item in _contradictions(score, part))
    for (direction, start, goal), spots in gathered(found):
        before, after = LEVEL_NAMES[start], LEVEL_NAMES[goal]
        yield Finding(
            "swell-contradicts-goal",
            spots,
            (Evidence("step", goal - start, "levels", 1 if direction == "crescendo" else -1),),
            _words(direction, before, after),
            Claim.RISK if goal == start else Claim.IMPOSSIBLE,
        )


def _words(direction: str, before: str, after: str) -> tuple[tuple[str, str], ...]:
    level = f"{before}, {direction}, {after}"
    return ("direction", direction), ("level", level), ("before", before), ("after", after)


def _contradictions(score: Score, part: Part) -> Iterator[tuple[tuple[str, int, int], Spot]]:
    for course in courses(score, part):
        start, goal = _start(course), _goal(course)
        if start is None or goal is None or len(course.swells) > 1:
            continue
        if goal <= start if course.rising else goal >= start:
            direction = "crescendo" if course.rising else "diminuendo"
            yield (direction, start, goal), _spot(part, course)


def _start(course: Course) -> int | None:
    """Return the level the swell starts from, None where the page leaves it open."""
    last = course.before[-1] if course.before else None
    return last.level if last is not None else None


def _goal(course: Course) -> int | None:
    """Return the level printed as the goal, None where it is none or a new beginning."""
    if course.arrival is None or course.silence > 0 or not course.goals:
        return None
    first = course.goals[0]
    plain = all(event.kind is Kind.LEVEL and not event.sudden for event in course.goals)
    return first.level if plain and _on_arrival(first, course) else None


def _on_arrival(goal: Event, course: Course) -> bool:
    return course.arrival is not None and goal.tick <= course.arrival.start


def _spot(part: Part, course: Course) -> Spot:
    under = spot(part, course.chords)
    swell = course.swells[0]
    return under._replace(
        bar=swell.bar, offset=swell.offset, stave=swell.stave, last_bar=swell.last_bar
    )
