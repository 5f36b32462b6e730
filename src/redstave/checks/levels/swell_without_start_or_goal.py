"""The check `swell-without-start-or-goal`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import spot
from redstave.analysis.swells import Course, courses
from redstave.checks.grouping import gathered
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.score import Part, Score


@check(
    "swell-without-start-or-goal",
    Claim.QUESTION,
    sources=("bennew", "mwiz", "common-practice"),
    settings=(
        Setting(
            "short_quarters",
            2.0,
            "quarter notes",
            "a hairpin no longer than this is an inflection and needs no level",
            "common-practice",
        ),
        Setting(
            "rest_bars",
            2.0,
            "bars",
            "after a rest this long the next entry needs a level of its own",
            "common-practice",
        ),
    ),
)
def swell_without_start_or_goal(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Find hairpins that do not say from where, or how far.

    What it reports
        A crescendo or diminuendo hairpin after which the page names no level, or which begins at
        the first entry of the part and finds no level there.

    Why it matters
        A hairpin gives a direction but no distance. Each player chooses an arrival of his own, and
        the balance at the goal is left to chance.

    How it is computed
        Hairpins that follow each other within a beat are one swell. Its goal is any word or level
        about loudness from its beginning to one beat after the next note; its start is any at or
        before its beginning. Left alone: a swell that turns back (a rise and a fall, or the
        reverse), one no longer than short_quarters, one on a single held note, a diminuendo into a
        rest, and a swell into a rest so long that the next entry is judged by itself.

    Limits
        Crescendo and diminuendo written as words are not judged. That a swell that turns back needs
        a level at its peak is a view this check does not take. Entries after a rest are judged by
        entry-level-missing, with or without a hairpin.

    Sources
        bennew and mwiz: a level at the start and at the end of a hairpin. The exceptions are common
        practice.
    """
    score = analysis.score
    found = [item for part in score.parts for item in _open_ends(score, part, limits)]
    for missing, spots in gathered(found):
        yield Finding(
            "swell-without-start-or-goal",
            spots,
            (Evidence("swells", len(spots), "hairpins"),),
            (("missing", missing),),
        )


def _open_ends(score: Score, part: Part, limits: Limits) -> Iterator[tuple[str, Spot]]:
    for course in courses(score, part):
        missing = ["start"] if _begins_nowhere(course) else []
        if not course.goals and not _may_stay_open(score, course, limits):
            missing.append("goal")
        if missing and course.chords:
            yield " and ".join(missing), _spot(part, course)


def _begins_nowhere(course: Course) -> bool:
    """Tell whether a swell begins at the first entry of the part, which has no level."""
    return course.entry is not None and course.entry.first and not course.before


def _may_stay_open(score: Score, course: Course, limits: Limits) -> bool:
    """Tell whether a swell without a goal still leaves no player in doubt."""
    short = limits["short_quarters"] * score.ticks_per_quarter
    if course.turns or len(course.chords) == 1 or course.stop - course.start <= short:
        return True
    if not course.rising:
        return course.arrival is None or course.silence > 0
    bar = score.bars[course.swells[-1].last_bar]
    return course.silence >= limits["rest_bars"] * bar.length


def _spot(part: Part, course: Course) -> Spot:
    under = spot(part, course.chords)
    first = course.swells[0]
    last_bar = max(swell.last_bar for swell in course.swells)
    return under._replace(bar=first.bar, offset=first.offset, stave=first.stave, last_bar=last_bar)
