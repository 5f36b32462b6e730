"""What the units in a letter mean, for those who meet them there for the first time."""

import re
from collections.abc import Iterable

#: By a pattern that tells that a unit is used: the sentence that explains it.
EXPLAINED = (
    (
        r"\bdB\b",
        "A margin in decibels (dB) says how far a line lies above the threshold at which "
        "everything else that sounds would hide it: well above 0 it is heard, well below it is "
        "covered. After ± stands the uncertainty (one standard deviation).",
    ),
    (
        r"\bsone\b",
        "Loudness in sone is what the ear makes of it: twice as many sone are twice as loud.",
    ),
)


def explained(texts: Iterable[str]) -> tuple[str, ...]:
    """Return a sentence for each unit that occurs in some texts and needs one."""
    whole = "\n".join(texts)
    return tuple(sentence for unit, sentence in EXPLAINED if re.search(unit, whole))
