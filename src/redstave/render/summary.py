"""The paragraph at the head of a letter: what the reading came to, in one breath."""

from collections.abc import Sequence

from redstave.checks.needs import NO_ORIGINAL
from redstave.model.finding import Claim
from redstave.render.arrange import Section
from redstave.render.view import ReviewView
from redstave.render.wording import listed

_ONES = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def summary(view: ReviewView, found: Sequence[Section]) -> str:
    """Return a short paragraph in plain sentences."""
    sentences = [
        _found(view),
        _kinds(found),
        _earned(view),
        _missing(view),
        _left_out(view),
        _untried(view),
    ]
    return " ".join(filter(None, sentences))


def counted(count: int, one: str, many: str) -> str:
    """Return "two risks": small numbers as words."""
    word = _ONES[count] if count < len(_ONES) else str(count)
    return f"{word} {one if count == 1 else many}"


def _found(view: ReviewView) -> str:
    kinds = (
        (
            Claim.IMPOSSIBLE,
            "place that cannot be played as written",
            "places that cannot be played as written",
        ),
        (Claim.RISK, "risk", "risks"),
        (Claim.QUESTION, "question to you", "questions to you"),
    )
    counts = [(len(view.of_claim(claim)), one, many) for claim, one, many in kinds]
    named = [counted(count, one, many) for count, one, many in counts if count]
    bars = counted(len(view.whole.bars), "bar", "bars")
    if not named:
        return f"Reading these {bars} against the checks below turned up nothing to remark."
    return f"Reading these {bars} turned up {listed(named, 3)}."


def _kinds(found: Sequence[Section]) -> str:
    kinds = [kind for section in found for kind in section.kinds]
    if sum(kind.total for kind in kinds) == len(kinds):
        return ""
    many = counted(len(kinds), "matter", "different matters")
    return f"They come down to {many}, each set out once with its places."


def _earned(view: ReviewView) -> str:
    if not view.credits:
        return ""
    things = counted(len(view.credits), "thing", "things")
    return f"It also found {things} well worth keeping, named first."


def _missing(view: ReviewView) -> str:
    """Say how many checks could not judge, those left aside that ask for a piano original."""
    missing = sum(one.reason != NO_ORIGINAL for one in view.not_assessed)
    if not missing:
        return ""
    count = counted(missing, "check", "checks")
    return f"{count[:1].upper()}{count[1:]} could not judge; why is said at the end."


def _left_out(view: ReviewView) -> str:
    """Say how many lesser findings the teacher's limit keeps out of this letter."""
    if not view.left_out:
        return ""
    more = counted(view.left_out, "lesser finding is", "lesser findings are")
    return f"To keep this letter short, {more} left out of it."


def _untried(view: ReviewView) -> str:
    """Say for how many covered lines no way out was tried."""
    if not view.untried:
        return ""
    more = counted(view.untried, "covered line", "covered lines")
    return f"For {more} no way out was tried, to save time."
