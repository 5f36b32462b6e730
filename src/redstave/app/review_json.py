"""A review as data for other programs; the shape is documented in docs/json.md."""

from dataclasses import asdict
from fractions import Fraction

from redstave.analysis import Analysis
from redstave.app.hear import printed
from redstave.checks import catalogue
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.remark import finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.render.wording import sentence, words_for

Json = dict[str, object]


def review_json(review: Review, analysis: Analysis) -> Json:
    """Return a review as plain data, findings and credits in order of place."""
    return {
        "entry": review.entry,
        "title": review.title,
        "provenance": asdict(review.provenance),
        "findings": [_fault(review, one, analysis.score) for one in review.faults],
        "untried": review.untried,
        "credits": [finding_json(one, analysis.score) for one in review.credits],
        "not_assessed": [missing._asdict() for missing in review.not_assessed],
    }


def _fault(review: Review, finding: Finding, score: Score) -> Json:
    """Return a fault with its rank and what it explains; others are named by their keys."""
    return {
        **finding_json(finding, score),
        "key": finding_key(finding),
        "rank": 1 + next(at for at, one in enumerate(review.by_consequence) if one is finding),
        "explains": [finding_key(other) for other in review.explained(finding)],
        "explained_by": [
            {"key": finding_key(cause), "because": why}
            for cause, why in review.explained_by(finding)
        ],
        "tried": list(review.ways_of(finding)),
    }


def finding_json(finding: Finding, score: Score) -> Json:
    """Return one finding as plain data, with its sentences."""
    check = catalogue()[finding.slug]
    claim = finding.claim or check.claim
    words = words_for(finding, score)
    return {
        "slug": finding.slug,
        "family": check.family,
        "kind": str(claim),
        "places": [_place(spot, score) for spot in finding.spots],
        "evidence": [_evidence(evidence) for evidence in finding.evidence],
        "text": sentence(words, claim if claim is not Claim.QUESTION else Claim.RISK),
        "question": words.question,
        "way_out": words.way_out,
    }


def _place(spot: Spot, score: Score) -> Json:
    return {
        "bar": printed(score.bars[spot.bar].number),
        "beat": _number(score.beat(spot.offset)),
        "last_bar": printed(score.bars[spot.last_bar].number),
        "part": spot.part,
        "stave": spot.stave,
        "notes": list(spot.notes),
    }


def _number(beat: Fraction) -> int | float:
    return int(beat) if beat.denominator == 1 else round(float(beat), 4)


def _evidence(evidence: Evidence) -> Json:
    return {
        "quantity": evidence.quantity,
        "value": evidence.value,
        "unit": evidence.unit,
        "limit": evidence.limit,
    }
