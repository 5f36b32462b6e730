"""Words for a finding or a place: what fills the place-holders of a phrase."""

from collections.abc import Iterable, Mapping

from redstave.app.phrase_text import names_in
from redstave.model.finding import Claim, Finding, Spot
from redstave.model.phrase import Phrase
from redstave.model.remark import Remark, RemarkKind
from redstave.model.score import Score
from redstave.render.wording import bar_list, bar_name, kept_words, number, part_list, unit

WHOLE = "the whole piece"
KIND_OF = {
    Claim.CREDIT: RemarkKind.PRAISE,
    Claim.QUESTION: RemarkKind.QUESTION,
    Claim.RISK: RemarkKind.WAY_OUT,
    Claim.IMPOSSIBLE: RemarkKind.FIX,
}


def place_of(spots: Iterable[Spot], score: Score) -> str:
    """Return a place in words, such as "bars 3–5, Oboe 1 and Violas".

    It is "" without any place, and "the whole piece" where one spot lies over all bars and points
    at no note.
    """
    spots = tuple(spots)
    if not spots:
        return ""
    if any(_is_whole(spot, score) for spot in spots):
        return WHOLE
    return ", ".join(filter(None, (bar_list(spots, score), part_list(spots, score))))


def _is_whole(spot: Spot, score: Score) -> bool:
    return not spot.notes and (spot.bar, spot.last_bar) == (0, len(score.bars) - 1)


def fill_for(finding: Finding, score: Score) -> dict[str, str]:
    """Return what fills each place-holder for a finding; one that nothing fills is left out."""
    measured = next(
        (
            one
            for one in finding.evidence
            if not isinstance(one.value, str) and one.limit is not None
        ),
        next((one for one in finding.evidence if not isinstance(one.value, str)), None),
    )
    found = fill_at(finding.spots, score)
    found["way_out"] = kept_words(finding, score).way_out
    if measured is not None:
        found["number"] = number(measured.value)
        found["unit"] = unit(measured.unit, measured.value)
        if measured.limit is not None:
            found["limit"] = number(measured.limit)
    return {name: text for name, text in found.items() if text}


def fill_at(spots: Iterable[Spot], score: Score, way_out: str = "") -> dict[str, str]:
    """Return what fills the place-holders for a place alone."""
    spots = tuple(spots)
    if not spots:
        return {}
    first = min(spot.bar for spot in spots)
    found = {
        "bar": bar_name(first, score),
        "bars": bar_list(spots, score),
        "who": part_list(spots, score),
        "way_out": way_out,
    }
    return {name: text for name, text in found.items() if text}


def fill_of(remark: Remark, score: Score, finding: Finding | None) -> dict[str, str]:
    """Return what fills the place-holders for a remark, from its finding where it has one."""
    found = fill_for(finding, score) if finding else {}
    return found | fill_at(remark.spots, score, remark.way_out)


def filled(variant: str, words: Mapping[str, str]) -> str | None:
    """Return a wording with its place-holders filled, None where something would stay open."""
    if any(name not in words for name in names_in(variant, "")):
        return None
    text = variant.format_map(words).strip()
    return text[:1].upper() + text[1:]


def fitting(phrase: Phrase, words: Mapping[str, str]) -> int | None:
    """Return the wording (index) of a phrase that is due, None where none can be filled.

    Of those that can be filled it is the one used least, the first among equals.
    """
    ready = [at for at, text in enumerate(phrase.variants) if filled(text, words) is not None]
    used = {at: phrase.used[at] if at < len(phrase.used) else 0 for at in ready}
    return min(ready, key=lambda at: (used[at], at), default=None)
