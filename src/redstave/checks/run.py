"""Run checks over an analysis, with three outcomes: fired, silent, not assessed."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, replace

from redstave.analysis import Analysis
from redstave.checks.explaining import explained
from redstave.checks.registry import CannotJudge, Check, Limits
from redstave.model.finding import Explains, Finding, NotAssessed

NO_LIMITS: Mapping[str, Limits] = {}


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a run of the catalogue gave: findings in order of place, and what was not assessed.

    `explains` tells which of the findings explain which others.
    """

    findings: tuple[Finding, ...]
    not_assessed: tuple[NotAssessed, ...]
    silent: tuple[str, ...]
    explains: tuple[Explains, ...] = ()


def run_checks(
    analysis: Analysis,
    checks: Collection[Check],
    changed: Mapping[str, Limits] = NO_LIMITS,
    tell: Callable[[str], None] = lambda _: None,
) -> Outcome:
    """Run the given checks; one that crashes is reported as not assessed and stops nothing.

    `tell` is told before each check which of how many it is.
    """
    findings: list[Finding] = []
    missing: list[NotAssessed] = []
    silent: list[str] = []
    for number, check in enumerate(checks, 1):
        tell(f"checks {number}/{len(checks)}")
        outcome = _judge(check, analysis, check.limits(changed.get(check.slug, {})))
        if isinstance(outcome, NotAssessed):
            missing.append(outcome)
        elif outcome:
            findings.extend(outcome)
        else:
            silent.append(check.slug)
    order = {part.id: index for index, part in enumerate(analysis.score.parts)}
    findings.sort(key=lambda finding: _place(finding, order))
    explains = explained(analysis, findings)
    return Outcome(tuple(findings), tuple(missing), tuple(silent), explains)


def _judge(check: Check, analysis: Analysis, limits: Limits) -> list[Finding] | NotAssessed:
    try:
        return [
            replace(
                finding,
                claim=finding.claim or check.claim,
                spots=tuple(dict.fromkeys(finding.spots)),  # lines that read the same notes
            )
            for finding in check.judge(analysis, limits)
        ]
    except CannotJudge as reason:
        return NotAssessed(check.slug, str(reason))
    except Exception as crash:
        return NotAssessed(check.slug, f"the check crashed ({type(crash).__name__}: {crash})")


def _place(finding: Finding, order: Mapping[str, int]) -> tuple[int, int, int, str]:
    first = min(finding.spots, key=lambda spot: (spot.bar, spot.offset, order[spot.part]))
    return first.bar, first.offset, order[first.part], finding.slug
