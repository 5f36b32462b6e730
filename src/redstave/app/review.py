"""The review of one entry: run the checks over its Analysis and say what they rest on."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from hashlib import sha256

import redstave
from redstave.analysis import Analysis
from redstave.app.remedies import with_ways
from redstave.app.settings import NO_SETTINGS, Settings
from redstave.app.steps import Tell, quiet
from redstave.base.errors import InputError
from redstave.checks import catalogue, run_checks
from redstave.checks.registry import Check, Limits
from redstave.model.finding import SEVERITY, Claim, Explains
from redstave.model.match import NO_BAR, Pin, VoiceOverride
from redstave.model.review import Provenance, Review
from redstave.model.role import RoleOverride
from redstave.original import match_of

NO_CHANGES: Mapping[str, Limits] = {}


def choose(
    only: Sequence[str] = (),
    without: Sequence[str] = (),
    settings: Settings = NO_SETTINGS,
) -> tuple[Check, ...]:
    """Return the checks to run; an unknown slug is an InputError.

    `only` wins over the settings, `without` over both.
    """
    known = catalogue()
    for slug in (*only, *without):
        if slug not in known:
            raise InputError(f'there is no check "{slug}"; "redstave checks" lists them all')
    chosen = [known[slug] for slug in only] or [
        check for check in known.values() if settings.wants(check)
    ]
    return tuple(check for check in chosen if check.slug not in without)


def review(
    analysis: Analysis,
    entry: str,
    checks: Sequence[Check],
    changed: Mapping[str, Limits] = NO_CHANGES,
    tell: Tell = quiet,
) -> Review:
    """Review one entry with the given checks and changed thresholds; `tell` is told each check."""
    outcome = run_checks(analysis, checks, changed, tell)
    done = Review(
        entry,
        analysis.score.title,
        _provenance(analysis, checks, changed),
        outcome.findings,
        outcome.not_assessed,
        outcome.silent,
        explains=outcome.explains,
        beside=_bars_beside(analysis),
    )
    tell("ways out")
    return with_ways(analysis, done)


def _provenance(
    analysis: Analysis, checks: Sequence[Check], changed: Mapping[str, Limits]
) -> Provenance:
    origin = analysis.score.origin
    return Provenance(
        file=origin.name,
        sha256=origin.sha256,
        format=origin.format,
        redstave=redstave.__version__,
        data_edition=analysis.book.edition,
        forces=analysis.forces.name,
        hall=analysis.hall.name,
        players=str(analysis.players_level),
        settings=tuple(
            (slug, name, value)
            for slug, limits in sorted(changed.items())
            for name, value in sorted(limits.items())
        ),
        checks=tuple(check.slug for check in checks),
        original=analysis.original.origin.sha256 if analysis.original else "",
        cuts=analysis.cuts,
        told=told_key(analysis.pins, analysis.voice_overrides, analysis.overrides),
    )


def _bars_beside(analysis: Analysis) -> tuple[int, ...] | None:
    """Return the bar of the original for every bar of the entry; see Review."""
    if analysis.original is None:
        return None
    found = match_of(analysis)
    if found is None:
        return ()
    return tuple(found.original_of.get(bar, NO_BAR) for bar in range(len(analysis.score.bars)))


def told_key(*words: tuple[Pin | VoiceOverride | RoleOverride, ...]) -> str:
    """Return a name for what the teacher has said of bars, voices and roles, "" for nothing."""
    return sha256(repr(words).encode()).hexdigest()[:16] if any(words) else ""


def shortened(done: Review, most: int | None) -> Review:
    """Return a review with the gravest faults only, at most `most`, and a count of the rest.

    What is kept goes by consequence (see Review); the order of place is kept.
    """
    if most is None or len(done.faults) <= most:
        return done
    kept = {id(one) for one in (*done.by_consequence[:most], *done.credits)}
    places = [at for at, one in enumerate(done.findings) if id(one) in kept]
    return replace(
        done,
        findings=tuple(done.findings[at] for at in places),
        left_out=len(done.faults) - most,
        ways=tuple((places.index(at), texts) for at, texts in done.ways if at in places),
        explains=tuple(
            Explains(places.index(one.cause), places.index(one.other), one.why)
            for one in done.explains
            if one.cause in places and one.other in places
        ),
    )


def fails(done: Review, kind: Claim | None) -> bool:
    """Tell whether a review holds a fault of the given kind or a graver one."""
    if kind is None:
        return False
    return any(SEVERITY[finding.claim or kind] >= SEVERITY[kind] for finding in done.faults)
