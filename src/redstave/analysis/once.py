"""Work out a value of one part once, however many checks ask for it.

Scores and parts are frozen but large: comparing or hashing their content costs more than the work
that would be saved. So a value is kept under the identity of score and part, and only for the
parts asked for last.
"""

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from redstave.model.score import Part, Score

Value = TypeVar("Value")
PARTS_KEPT = 128


def once_a_part(work: Callable[[Score, Part], Value]) -> Callable[[Score, Part], Value]:
    """Return a function that works out its value once for a score and a part."""
    kept: OrderedDict[tuple[int, int], tuple[Score, Part, Value]] = OrderedDict()

    @wraps(work)
    def known(score: Score, part: Part) -> Value:
        key = id(score), id(part)
        found = kept.get(key)
        if found is None or found[0] is not score or found[1] is not part:
            found = (score, part, work(score, part))
            kept[key] = found
            if len(kept) > PARTS_KEPT:
                kept.popitem(last=False)
        return found[2]

    return known
