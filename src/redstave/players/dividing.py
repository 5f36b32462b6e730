"""How a string section divides: by words, by voices, by chords.

"div." lets the notes of a chord, and the voices of a stave, be played by equal parts of the
section, until "unis.", "tutti" or "non div."; two voices are a division even without the word,
because one player cannot read both. A chord in one voice with no word in force may be double stops
or a division: both readings are kept in an open question, and each note is counted as the same
share of the players, because a double stop gives each of its notes only part of the bow. "Solo",
desks, "half" and "gli altri" are taken at their word until "tutti", "unis." or "div."; two soli
with two notes have one each.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from redstave.model.score import Mark, Part, Score
from redstave.players.sharing import TOLD
from redstave.players.texture import Stand
from redstave.players.words import senses, tokens

DOUBLE_NOTES = "double-notes-unlabelled"
WHOLE, SOLO, DESKS, HALF, OTHERS = "", "solo", "desks", "half", "others"
_COUNTS = {"two": 2, "three": 3, "four": 4}
_NUMERALS = {
    "due": 2, "zwei": 2, "zweifach": 2, "deux": 2, "two": 2,
    "tre": 3, "drei": 3, "dreifach": 3, "trois": 3, "three": 3,
    "quattro": 4, "vier": 4, "vierfach": 4, "quatre": 4, "four": 4,
    "sei": 6, "sechs": 6, "sechsfach": 6, "six": 6,
}  # fmt: skip


class Division(NamedTuple):
    """What is in force on the stave of a section from `tick` on.

    `portion` is WHOLE or the part of the section that plays, of `heads` players (0 for HALF);
    `parts` is how often it divides: 0 not at all, 1 as often as there are notes; `undivided` is
    true after "non div."; `others` is true when the rest of the section plays as well, and
    `below` when the portion is the lower of the two voices; `single` names the group that has a
    single line.
    """

    tick: int = 0
    portion: str = WHOLE
    heads: float = 0.0
    parts: int = 0
    undivided: bool = False
    others: bool = False
    below: bool = False
    single: str = WHOLE

    @property
    def members(self) -> int:
        """How many soloists a portion names, each of whom may have notes of his own; else 1."""
        return max(1, round(self.heads)) if self.portion == SOLO else 1


class Group(NamedTuple):
    """Who of a section has a note: a portion or, in a division, one part, numbered from 1."""

    name: str
    part: int
    players: float


class Shared(NamedTuple):
    """The groups of a section that have a note; `open` is the code of a question, or ""."""

    groups: tuple[Group, ...]
    open: str = TOLD


def divisions(score: Score, part: Part, named: int) -> dict[int, tuple[Division, ...]]:
    """Return what is in force on each stave; `named` is the division the part's name gives."""
    words = [
        (score.tick(mark.bar, mark.offset), "others" in meanings, mark, meanings)
        for mark in part.marks
        if mark.kind == "word" or (mark.kind == "level" and mark.name == "other-dynamics")
        if (meanings := frozenset(sense.meaning for sense in senses(mark.text, "sharing")))
    ]
    states = {stave: [Division(parts=named)] for stave in range(1, part.staves + 1)}
    for tick, _, mark, meanings in sorted(words, key=lambda word: word[:2]):
        on_stave = states.setdefault(mark.stave or 1, [Division(parts=named)])
        after = changed(on_stave[-1]._replace(tick=tick), mark, meanings)
        if after is not None:
            on_stave.append(after)
    return {stave: tuple(ones) for stave, ones in states.items()}


def changed(now: Division, mark: Mark, meanings: frozenset[str]) -> Division | None:
    """Return what a word puts in force, None when it says nothing about dividing."""
    if "others" in meanings:
        return now._replace(others=now.portion != WHOLE, single=OTHERS)
    parts = _parts(mark.text, meanings)
    portion, count = _portion(mark.text, meanings)
    if portion:
        below = mark.placement == "below"
        return Division(now.tick, portion, count, parts, below=below, single=portion)
    if "undivided" in meanings:
        return now._replace(parts=0, undivided=True)
    if "divided" in meanings or parts:
        return Division(now.tick, parts=max(parts, 1))
    return Division(now.tick) if "all" in meanings else None


def _portion(text: str, meanings: frozenset[str]) -> tuple[str, float]:
    """Return the portion a text names and its players; a desk is two players."""
    numbers = _numbers(text)
    count = float(numbers[0]) if numbers else 1.0
    if "desks" in meanings:
        return DESKS, 2.0 * count
    if "desk" in meanings:
        return DESKS, 2.0 * max(1, len(numbers))
    if "half" in meanings:  # "half pizz." leaves nobody out
        return (WHOLE if senses(text, "technique") else HALF), 0.0
    if "solo" in meanings:
        return SOLO, 1.0
    if "soli" in meanings or ("players" in meanings and "all" not in meanings):
        named = float(len(numbers)) if sum(map(str.isdecimal, tokens(text))) > 1 else count
        return (SOLO, named) if numbers else (WHOLE, 0.0)
    return WHOLE, 0.0


def _numbers(text: str) -> list[int]:
    """Return the numbers in a text, in figures or in letters."""
    words = [word.lower() for word in tokens(text)]
    return [
        int(word) if word.isdecimal() else _NUMERALS[word]
        for word in words
        if word.isdecimal() or word in _NUMERALS
    ]


def _parts(text: str, meanings: frozenset[str]) -> int:
    """Return into how many parts a text divides: "div. a 3", "in 4"; 0 when it does not say."""
    if "undivided" in meanings:
        return 0
    counts = [_COUNTS[meaning] for meaning in _COUNTS if meaning in meanings]
    if counts:
        return counts[0]
    if "divided" not in meanings:
        return 0
    numbers = _numbers(text)
    return numbers[-1] if numbers and "desk" not in meanings and "desks" not in meanings else 1


class Section:
    """The players of a section on one part's staves and what the page tells them."""

    def __init__(self, states: Mapping[int, Sequence[Division]]) -> None:
        self._states = states
        self._ticks = {stave: [one.tick for one in ones] for stave, ones in states.items()}

    def state(self, stave: int, tick: int) -> Division:
        """Return what is in force on a stave at a tick."""
        return self._states[stave][max(0, bisect_right(self._ticks[stave], tick) - 1)]


def shared_out(state: Division, stand: Stand, heads: float) -> Shared:
    """Return who plays a note that stands so; `heads` are the players behind its stave there."""
    if state.portion == WHOLE and state.single == WHOLE:
        return _of_all(stand, state, heads)
    taken = min(heads, state.heads or heads / 2)
    if state.others and stand.voices > 1:
        return _beside_others(state, stand, taken, heads)
    if state.single == OTHERS:
        rest = heads - taken if state.portion else heads - 1.0
        return Shared((Group(OTHERS, 0, max(1.0, rest / stand.total)),))
    return _of_portion(state, stand.position, stand.total, taken)


def _beside_others(state: Division, stand: Stand, taken: float, heads: float) -> Shared:
    """Share the voices of a stave between a portion and the others.

    The portion has the upper voices, the lower ones where its word stands below: one, or as many as
    soloists are named.
    """
    own = min(state.members, stand.voices - 1)
    rank = stand.rank - (stand.voices - own if state.below else 0)
    if not 0 <= rank < own:
        players = max(1.0, heads - taken)
        return Shared((Group(OTHERS, 0, max(1.0, players / stand.chord)),))
    if own > 1:
        return _of_portion(state, rank, own, taken)
    return _of_portion(state, stand.place, stand.chord, taken)


def _of_portion(state: Division, position: int, total: int, taken: float) -> Shared:
    """Give one of `total` notes of a portion to those of its members that have it."""
    members = state.members
    if total == 1 or total > members:
        return Shared((Group(state.portion, 0, max(1.0, taken / total)),))
    each = max(1.0, taken / members)
    parts = parts_of(position, total, members)
    return Shared(tuple([Group(state.portion, part + 1, each) for part in parts]))


def _of_all(stand: Stand, state: Division, heads: float) -> Shared:
    if stand.total == 1:
        return Shared((Group(WHOLE, 0, heads),))
    even = Shared((Group(WHOLE, 0, max(1.0, heads / stand.total)),))
    if state.undivided:
        return even
    if stand.voices == 1 and not state.parts:
        return even._replace(open=DOUBLE_NOTES)
    parts = max(stand.total, state.parts)
    players = max(1.0, heads / parts)
    return Shared(
        tuple(
            Group(WHOLE, part + 1, players) for part in parts_of(stand.position, stand.total, parts)
        )
    )


def parts_of(position: int, total: int, parts: int) -> range:
    """Return the parts of a section that have one of `total` notes; the lower ones take more."""
    share, left = divmod(parts, total)
    start = position * share + max(0, position - (total - left))
    return range(start, start + share + (position >= total - left))
