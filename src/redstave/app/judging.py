"""What the teacher makes of findings: accepted, reworded, merged into a remark, or dismissed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from redstave import store
from redstave.app.kept_entry import score_of
from redstave.app.phrase_book import Suggestion, phrase_named, suggestions
from redstave.app.review_json import finding_json
from redstave.app.wordings import KIND_OF, fill_for, filled, place_of
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.checks.registry import Check
from redstave.model.finding import Claim, Finding, Spot
from redstave.model.grade import Criteria
from redstave.model.remark import Decision, Remark, RemarkKind, Weight, finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.model.season import Judged
from redstave.render.wording import kept_words, sentence
from redstave.store import Season

Json = dict[str, object]


@dataclass(frozen=True, slots=True)
class Wish:
    """How the teacher wants a remark: what is left empty is taken from the finding."""

    text: str = ""
    why: str | None = None
    way_out: str | None = None
    kind: RemarkKind | None = None
    criterion: str | None = None
    weight: Weight = Weight.SMALL
    phrase: str = ""
    by: str = ""


NO_WISH = Wish()


def findings_json(season: Season, code: str, review: Review, score: Score) -> list[Json]:
    """Return the findings of a review with their keys and what was decided; see docs/json.md."""
    judged = store.decisions(season, code)
    return [
        {
            **finding_json(one, score),
            "key": (key := finding_key(one)),
            "decision": str(judged[key].decision if key in judged else Decision.OPEN),
            "reason": judged[key].reason if key in judged else "",
            "remark": judged[key].remark if key in judged else "",
            "tried": list(review.ways_of(one)),
        }
        for one in review.findings
    ]


def accept(
    season: Season,
    code: str,
    key: str,
    review: Review,
    score: Score,
    wish: Wish = NO_WISH,
) -> Remark:
    """Make a remark of a finding and return it; reworded where the teacher's own text is given.

    A finding that was accepted before keeps its remark.
    """
    finding = finding_of(review, key)
    key = finding_key(finding)
    with season.writing():
        before = store.decisions(season, code).get(key)
        standing = {one.remark.id: one.remark for one in store.read_remarks(season, code)}
        if before and before.remark in standing:
            return standing[before.remark]
        draft, own = _drafted(season, finding, review, score, wish)
        made = store.add_remark(season, code, _of_newest(season, draft, code), wish.by)
        decision = Decision.REWORDED if own else Decision.ACCEPTED
        store.decide(season, code, Judged(key, finding.slug, decision, "", made.id, "", wish.by))
    return made


def merge(
    season: Season,
    code: str,
    keys: Sequence[str],
    review: Review,
    score: Score,
    into: str = "",
    wish: Wish = NO_WISH,
) -> Remark:
    """Put findings into one remark, a new one or that of the id `into`, with all their places."""
    findings = [finding_of(review, key) for key in keys]
    if not findings:
        raise InputError("name at least one finding to merge")
    with season.writing():
        if into:
            remark = store.read_remark(season, code, into).remark
        else:
            draft, _ = _drafted(season, findings[0], review, score, wish)
            remark = store.add_remark(season, code, _of_newest(season, draft, code), wish.by)
        spots = (*remark.spots, *(spot for one in findings for spot in one.spots))
        remark = _at(season, code, remark, spots, score, wish.by)
        for finding in findings:
            key = finding_key(finding)
            _withdraw_own(season, code, key, wish.by, but=remark.id)
            judged = Judged(key, finding.slug, Decision.MERGED, "", remark.id, "", wish.by)
            store.decide(season, code, judged)
    return remark


def dismiss(
    season: Season, code: str, key: str, review: Review, reason: str = "", by: str = ""
) -> None:
    """Dismiss a finding with a reason; a remark made of it alone is withdrawn, and kept."""
    finding = finding_of(review, key)
    _decide_without_remark(season, code, finding, review, Decision.DISMISSED, reason, by)


def reopen(season: Season, code: str, key: str, review: Review, by: str = "") -> None:
    """Take a decision back; a remark made of the finding alone is withdrawn, and kept."""
    finding = finding_of(review, key)
    _decide_without_remark(season, code, finding, review, Decision.OPEN, "", by)


def suggest(season: Season, key: str, review: Review, score: Score) -> tuple[Suggestion, ...]:
    """Return wordings of the phrase book that fit a finding, the most fitting first."""
    finding = finding_of(review, key)
    check = catalogue()[finding.slug]
    return suggestions(
        store.read_phrases(season),
        fill_for(finding, score),
        finding.slug,
        criterion_for(check, store.read_criteria(season)),
        KIND_OF[finding.claim or check.claim],
    )


def finding_of(review: Review, key: str) -> Finding:
    """Return a finding by its key, or by the beginning of it where that is clear."""
    found = {
        own: one for one in review.findings if (own := finding_key(one)).startswith(key) and key
    }
    if len(found) != 1:
        lists = '"redstave remark findings" lists them with their keys'
        if not found or not key:
            raise InputError(f'"{key}" is none of the findings of {review.entry}; {lists}')
        raise InputError(
            f'the keys of {len(found)} findings of {review.entry} begin with "{key}"; write more '
            f"of the one you mean; {lists}"
        )
    return next(iter(found.values()))


def criterion_for(check: Check, criteria: Criteria) -> str:
    """Return the key of the criterion that a check speaks to, "" where none does.

    That is the first that lists the check itself, else the first that lists its family.
    """
    names = (check.slug, check.family)
    return next(
        (one.key for name in names for one in criteria.criteria if name in one.families), ""
    )


def _of_newest(season: Season, draft: Remark, code: str) -> Remark:
    """Return a remark that says it speaks of the newest version of an entry."""
    return replace(draft, version=store.read_entry(season, code).newest.number)


def _drafted(
    season: Season, finding: Finding, review: Review, score: Score, wish: Wish
) -> tuple[Remark, bool]:
    """Return a remark as wished, and whether its text is the teacher's own."""
    check = catalogue()[finding.slug]
    claim = finding.claim or check.claim
    words = kept_words(finding, score)
    text = wish.text or _phrased(season, finding, score, wish.phrase)
    criterion = wish.criterion
    if criterion is None:
        criterion = criterion_for(check, store.read_criteria(season))
    draft = Remark(
        id="",
        kind=wish.kind or KIND_OF[claim],
        text=text or sentence(words, claim),
        spots=finding.spots,
        place=place_of(finding.spots, score),
        why=words.why if wish.why is None else wish.why,
        way_out=_way_out(finding, review, words.way_out, wish, claim),
        criterion=criterion,
        weight=wish.weight,
        finding=finding_key(finding),
        slug=finding.slug,
    )
    return draft, bool(text)


def _way_out(finding: Finding, review: Review, usual: str, wish: Wish, claim: Claim) -> str:
    """Return the teacher's way out, else one that was tried and heard, else the usual one."""
    if wish.way_out is not None:
        return wish.way_out
    if claim is Claim.CREDIT:
        return ""
    return next(iter(review.ways_of(finding)), usual)


def _phrased(season: Season, finding: Finding, score: Score, name: str) -> str:
    """Return a phrase filled for a finding and count its use; "NAME" or "NAME:2" for a wording."""
    if not name:
        return ""
    phrase_id, _, number = name.partition(":")
    phrase = phrase_named(season, phrase_id)
    fill = fill_for(finding, score)
    found = suggestions([replace(phrase, checks=(finding.slug,))], fill, finding.slug)
    variant = found[0].variant if found else None
    if number:
        variant = int(number) - 1 if number.isdecimal() else None
    if variant is None or not 0 <= variant < len(phrase.variants):
        raise InputError(f'the phrase "{name}" has no wording that can be filled for this finding')
    text = filled(phrase.variants[variant], fill)
    if text is None:
        raise InputError(f'the wording "{name}" leaves something open for this finding')
    store.count_use(season, phrase_id, variant)
    return text


def _at(
    season: Season, code: str, remark: Remark, spots: Sequence[Spot], score: Score, by: str
) -> Remark:
    """Return a remark as it stands at these places, each once and in order; kept if it moved."""
    ordered = tuple(sorted(dict.fromkeys(spots), key=lambda spot: (spot.bar, spot.offset)))
    if ordered == remark.spots:
        return remark
    moved = replace(remark, spots=ordered, place=place_of(ordered, score))
    return store.revise_remark(season, code, moved, by)


def _take_out(season: Season, code: str, finding: Finding, review: Review, by: str) -> None:
    """Take the places of a merged finding out of its remark; a place that others share stays."""
    judged = store.decisions(season, code)
    key = finding_key(finding)
    if key not in judged or judged[key].decision is not Decision.MERGED:
        return
    into = judged[key].remark
    kept = store.read_remark(season, code, into)
    others = {other for other, one in judged.items() if one.remark == into and other != key}
    shared = {s for one in review.findings if finding_key(one) in others for s in one.spots}
    gone = set(finding.spots) - shared
    left = [spot for spot in kept.remark.spots if spot not in gone]
    if left and not kept.withdrawn:
        _at(season, code, kept.remark, left, score_of(season, code), by)


def _decide_without_remark(
    season: Season,
    code: str,
    finding: Finding,
    review: Review,
    decision: Decision,
    reason: str,
    by: str,
) -> None:
    key = finding_key(finding)
    with season.writing():
        _take_out(season, code, finding, review, by)
        _withdraw_own(season, code, key, by)
        store.decide(season, code, Judged(key, finding.slug, decision, reason, "", "", by))


def _withdraw_own(season: Season, code: str, key: str, by: str, but: str = "") -> None:
    """Withdraw the remark that a finding has to itself, unless it is the one of the id `but`."""
    judged = store.decisions(season, code)
    own = judged[key].remark if key in judged else ""
    shared = [one for one in judged.values() if one.remark == own]
    standing = {one.remark.id: one.remark for one in store.read_remarks(season, code)}
    if own in standing and own != but and len(shared) == 1:
        store.withdraw_remark(season, code, own, standing[own].revision, by)
