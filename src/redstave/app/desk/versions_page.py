"""A further version beside the one before it: what changed, and what became of the remarks."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any, NamedTuple

from redstave import store
from redstave.app.desk.margin import CLAIMS
from redstave.app.kept_entry import review_of, score_of
from redstave.app.versions import carry_over, compare
from redstave.checks import catalogue
from redstave.model.finding import Finding
from redstave.model.match import NO_BAR
from redstave.model.remark import finding_key
from redstave.model.review import Review
from redstave.model.score import Score
from redstave.model.second import BarPair, Comparison, Followed, Outcome
from redstave.render.wording import bar_name, kept_words, listed, sentence
from redstave.store import Season

Json = dict[str, Any]

MOST_PARTS = 6  # named of those that differ in some bars

#: What the page calls an outcome, the sign it has, and what it means.
OUTCOMES = {
    Outcome.ANSWERED: ("answered", "✓", "it is no longer found"),
    Outcome.REMAINS: ("remains", "!", "it is still found"),
    Outcome.LOOK: ("look again", "?", "its place was changed; only you can tell"),
    Outcome.KEPT: ("stands", "=", "its place is as it was"),
    Outcome.GONE: ("gone", "–", "its bars are no longer there"),
}
GOES_ALONG = (Outcome.REMAINS, Outcome.KEPT, Outcome.LOOK)


class Differs(NamedTuple):
    """Some bars in a row that differ: `first` is the first in the new version (index) or -1."""

    first: int
    words: str


def versions_page(season: Season, code: str) -> Json:
    """Gather the page of an entry; `after` is 1 where there is one version only."""
    newest = store.read_entry(season, code).newest.number
    if newest == 1:
        return {"after": 1}
    found = compare(season, code)
    scores = score_of(season, code, found.before), score_of(season, code, found.after)
    reviews = review_of(season, code, found.before), review_of(season, code, found.after)
    return {
        "before": found.before,
        "after": found.after,
        "remarks": [_remark(one) for one in found.remarks],
        "waiting": sum(one.outcome in GOES_ALONG for one in found.remarks),
        "answered": _findings(reviews[0], found.answered, scores[0]),
        "new": _findings(reviews[1], found.new, scores[1]),
        "same": len(found.same),
        "bars": list(_differing(found, scores)),
    }


def take_along(season: Season, code: str) -> list[str]:
    """Take remarks, decisions and the teacher's word along; return what could not be said anew."""
    return list(carry_over(season, code).unsaid)


def _remark(one: Followed) -> Json:
    called, sign, meaning = OUTCOMES[one.outcome]
    return {
        "id": one.remark.id,
        "text": one.remark.text,
        "place": one.remark.place or "the whole piece",
        "now": one.now.place if one.now and one.now.place != one.remark.place else "",
        "called": called,
        "sign": sign,
        "meaning": meaning,
    }


def _findings(review: Review, keys: Sequence[str], score: Score) -> list[Json]:
    found = {finding_key(one): one for one in review.findings}
    return [_told(key, found[key], score) for key in keys]


def _told(key: str, finding: Finding, score: Score) -> Json:
    claim = finding.claim or catalogue()[finding.slug].claim
    called, sign = CLAIMS[claim]
    text = sentence(kept_words(finding, score), claim)
    return {"key": key, "text": text, "claim": str(claim), "called": called, "sign": sign}


def _differing(found: Comparison, scores: tuple[Score, Score]) -> Iterator[Differs]:
    """Yield bars in a row that differ in the same way and the same parts."""
    names = {part.id: part.name or part.id for score in scores for part in score.parts}
    at = {id(pair): number for number, pair in enumerate(found.bars)}
    rows = [(at[id(pair)] - step, pair) for step, pair in enumerate(found.changed)]
    for _, run in groupby(rows, key=lambda row: (row[0], _manner(row[1]))):
        pairs = [pair for _, pair in run]
        yield Differs(pairs[0].after, _words(pairs, scores, names))


def _manner(pair: BarPair) -> tuple[bool, bool, tuple[str, ...]]:
    return pair.before == NO_BAR, pair.after == NO_BAR, tuple(pair.parts)


def _words(pairs: Sequence[BarPair], scores: tuple[Score, Score], names: dict[str, str]) -> str:
    if pairs[0].after == NO_BAR:
        gone = _bars([bar_name(pair.before, scores[0]) for pair in pairs])
        return f"{gone} of the version before {'is' if len(pairs) == 1 else 'are'} gone"
    here = _bars([bar_name(pair.after, scores[1]) for pair in pairs])
    if pairs[0].before == NO_BAR:
        return f"{here} {'is' if len(pairs) == 1 else 'are'} new"
    was = _bars([bar_name(pair.before, scores[0]) for pair in pairs])
    it_was = "it was" if len(pairs) == 1 else "they were"
    moved = "" if was == here else f" ({it_was} {was.lower()})"
    return f"{here}{moved}: {listed([names.get(one, one) for one in pairs[0].parts], MOST_PARTS)}"


def _bars(names: Sequence[str]) -> str:
    return f"Bar {names[0]}" if len(names) == 1 else f"Bars {names[0]}–{names[-1]}"
