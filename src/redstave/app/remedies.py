"""Ways out that were tried: changes after which a finding no longer arises, each heard again.

For what is covered, the smallest changes that bring it to the ear are searched for. For what is out
of balance although it is heard, a few plain changes are made one after the other, and the check
itself is asked whether it still speaks.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import islice

from redstave.acoustics.tables import ear
from redstave.analysis import Analysis
from redstave.analysis.leading import buried_tunes
from redstave.base.errors import InputError
from redstave.checks import catalogue, run_checks
from redstave.checks.registry import Limits
from redstave.model.change import Alteration, Change, LeftOut, Step
from redstave.model.finding import Finding, Spot
from redstave.model.review import Review
from redstave.render.changes import eased_text, way_text
from redstave.trial import Trial, attempt, ways_out
from redstave.trial.compare import outcome

COVERED = frozenset({"tune-covered", "plucked-line-covered"})
BRASS, SUBMERGED = "brass-at-par-overpowers", "tune-submerged"
INNER, THICK = "inner-tone-sticks-out", "one-chord-tone-thick"
MENDED = COVERED | {BRASS, SUBMERGED, INNER, THICK}

#: For the test of a way out: brass counts by its loudness, however softly it is marked.
AT_ANY_LEVEL = {BRASS: {"at_par": 9.0, "least_level": 0.0}}
MOST_FINDINGS = 8  # a way out costs a third of a second on the average, up to two
MOST_WAYS = 2
SOFTEST, LOUDEST = 2.0, 7.0  # never below pp, never above ff
DOUBLES_LOUDNESS_DB = 10.0  # by the definition of the sone


def with_ways(analysis: Analysis, done: Review) -> Review:
    """Return a review with the ways out that were tried, and how many findings had no turn.

    Findings are taken by consequence, one and all at their first place; those that another finding
    explains come last. `redstave try` does the same for any line.
    """
    mended = [one for one in done.by_consequence if one.slug in MENDED]
    mended.sort(key=lambda one: bool(done.explained_by(one)))
    number = {id(one): at for at, one in enumerate(done.findings)}
    changed = _settings(done)
    found = [
        (number[id(one)], texts)
        for one in mended[:MOST_FINDINGS]
        if (texts := tuple(_ways(analysis, one, changed.get(one.slug, {}))))
    ]
    return replace(done, ways=tuple(sorted(found)), untried=len(mended[MOST_FINDINGS:]))


def _settings(done: Review) -> dict[str, dict[str, float]]:
    changed: dict[str, dict[str, float]] = {}
    for slug, name, value in done.provenance.settings:
        changed.setdefault(slug, {})[name] = value
    return changed


def _ways(analysis: Analysis, finding: Finding, changed: Limits) -> list[str]:
    """Return up to MOST_WAYS ways out as sentences."""
    first = finding.spots[0]
    line = _line(analysis, first)
    if line is None:
        return []
    if finding.slug in COVERED:
        ways = ways_out(analysis, line, first.bar, first.last_bar)
        return [way_text(way) for way in ways[:MOST_WAYS]]
    tried = _eased(analysis, finding, line, changed)
    return [eased_text(trial, line) for trial in islice(tried, MOST_WAYS)]


def _line(analysis: Analysis, spot: Spot) -> int | None:
    """Return the line (index) that plays the first note in question."""
    tone = analysis.tone_of.get(spot.notes[0]) if spot.notes else None
    return tone.line if tone else None


def _eased(analysis: Analysis, finding: Finding, line: int, changed: Limits) -> Iterator[Trial]:
    """Yield for each sort of change the smallest after which the check is silent at the place."""
    for several in _proposals(analysis, finding, line):
        for lines, what in several:
            ids = tuple(analysis.playing.lines[at].id for at in lines)
            first = finding.spots[0]
            trial = _attempt(analysis, Change(ids, first.bar, first.last_bar, what))
            if trial is not None and _mends(trial, finding, line, changed):
                yield trial
                break


def _attempt(analysis: Analysis, change: Change) -> Trial | None:
    """Make a change; None where it alters nothing, such as softer than the softest."""
    try:
        return attempt(analysis, [change])
    except InputError:
        return None


def _proposals(
    analysis: Analysis, finding: Finding, line: int
) -> Iterator[list[tuple[list[int], Alteration]]]:
    """Yield sorts of change, each as lines and what to tell them, the smallest step first."""
    softer = [Step(-float(steps), SOFTEST, LOUDEST) for steps in (1, 2, 3)]
    louder = [Step(float(steps), SOFTEST, LOUDEST) for steps in (1, 2)]
    if finding.slug == THICK:
        others = [at for at in _lines(analysis, finding.spots) if at != line]
        yield [([at], LeftOut()) for at in others]
    elif finding.slug == INNER:
        inner = _lines(analysis, finding.spots)
        yield [(inner, step) for step in softer]
        yield [([at], LeftOut()) for at in inner[1:]]
    elif others := _against(analysis, finding):
        yield [(others, step) for step in softer]
        tune = [at for at in _lines(analysis, finding.spots) if at not in others]
        yield [(tune, step) for step in louder]


def _against(analysis: Analysis, finding: Finding) -> list[int]:
    """Return the lines that stand against the tune: the brass at par, or what covers it."""
    lines, first = analysis.playing.lines, finding.spots[0]
    if finding.slug == BRASS:
        return [at for at in _lines(analysis, finding.spots) if lines[at].family == "brass"]
    sounding = {tone.line for tone in analysis.playing.tones if _inside(tone.bar, first)}
    return [at for at in sorted(sounding) if lines[at].part in finding.context]


def _inside(bar: int, spot: Spot) -> bool:
    return spot.bar <= bar <= spot.last_bar


def _lines(analysis: Analysis, spots: Sequence[Spot]) -> list[int]:
    """Return the lines (indices) that play the notes of some spots."""
    notes = {note for spot in spots for note in spot.notes}
    return sorted({one.line for one in analysis.playing.tones if not notes.isdisjoint(one.notes)})


def _mends(trial: Trial, finding: Finding, line: int, changed: Limits) -> bool:
    """Tell whether a finding is gone after a trial, and no tune is buried for it.

    Nor is a tune helped by what nobody notices, or by what lets it be heard less, such as players
    made softer that double it.
    """
    first = finding.spots[0]
    before, after = (
        outcome(one.hearing, line, first.bar, first.last_bar) for one in (trial.before, trial.after)
    )
    if before is None or after is None:
        return False
    noticed = 2.0 ** (ear().number("difference.level") / DOUBLES_LOUDNESS_DB)
    gain = after.partial_sone - noticed * before.partial_sone
    if finding.slug in (BRASS, SUBMERGED) and gain < 0.0:
        return False
    strict = {**changed, **AT_ANY_LEVEL.get(finding.slug, {})}
    again = run_checks(trial.after, [catalogue()[finding.slug]], {finding.slug: strict})
    still = any(
        spot.part == first.part and spot.bar <= first.last_bar and first.bar <= spot.last_bar
        for other in again.findings
        for spot in other.spots
    )
    if still or again.not_assessed:
        return False
    return set(buried_tunes(trial.after)) <= set(buried_tunes(trial.before))
