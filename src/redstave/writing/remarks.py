"""A page with a teacher's remarks on it: as words in red, at the notes they speak of.

They are added to what is printed; nothing of it is changed. Each carries an id by which it is found
again, so that a marked page can be read as the page it was before.
"""

import re
from bisect import bisect_left
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from redstave.model.finding import Spot
from redstave.model.score import Attributes, Mark, Part, Score

RED = "#B3241C"
MARK = "redstave-remark-"
STACKED = 28  # tenths of a stave space by which a second remark stands above the first
LOOKS: Attributes = (("color", RED), ("font-style", "italic"), ("font-size", "9"))


class Pencilled(NamedTuple):
    """What is written on the page of one remark: its number, a few words, its places.

    The words stand at the first place (`spots` must be places of the score), the number alone at
    the others; without any place both stand over the beginning.
    """

    number: int
    words: str
    spots: tuple[Spot, ...]


class _Place(NamedTuple):
    bar: int
    offset: int
    part: str
    stave: int


def with_remarks(score: Score, remarks: Sequence[Pencilled]) -> Score:
    """Return a score with remarks written over its staves."""
    order = {part.id: at for at, part in enumerate(score.parts)}
    added: dict[str, list[Mark]] = defaultdict(list)
    taken: Counter[_Place] = Counter()
    for remark in remarks:
        places = {_place(score, spot) for spot in remark.spots} or {_beginning(score)}
        ordered = sorted(places, key=lambda one: (one.bar, one.offset, order[one.part], one.stave))
        for nth, place in enumerate(ordered):
            words = f"[{remark.number}] {remark.words}" if nth == 0 else f"[{remark.number}]"
            name = f"{MARK}{remark.number}.{nth}"
            added[place.part].append(_mark(place, name, words, taken[place]))
            taken[place] += 1
    parts = (replace(one, marks=(*one.marks, *added[one.id])) for one in score.parts)
    return replace(score, parts=tuple(parts))


def without_remarks(score: Score) -> Score:
    """Return a score that was read from a marked page as the page was before."""
    return replace(score, parts=tuple(_unmarked(part) for part in score.parts))


def is_remark(mark: Mark) -> bool:
    """Tell whether a mark is a remark of ours."""
    return mark.name == "words" and are_ours(mark.attributes, mark.text)


def are_ours(attributes: Iterable[tuple[str, str]], text: str) -> bool:
    """Tell whether words are a remark of ours, by their id or, where that is lost, by their look.

    A program that has read a marked page and writes it again need not keep ids.
    """
    known = dict(attributes)
    numbered = re.match(r"\s*\[\d+\]", text) is not None
    return known.get("id", "").startswith(MARK) or (
        numbered and known.get("color", "").upper() == RED
    )


def _mark(place: _Place, name: str, words: str, below: int) -> Mark:
    raised = (("relative-y", str(STACKED * below)),) if below else ()
    return Mark(
        name,
        "word",
        "words",
        0,
        place.bar,
        place.offset,
        place.stave,
        text=words,
        placement="above",
        attributes=(*raised, *LOOKS),
    )


def _beginning(score: Score) -> _Place:
    return _Place(0, 0, next(part.id for part in score.parts if _bars(score, part)), 1)


def _place(score: Score, spot: Spot) -> _Place:
    """Return where the words of a place stand: at its first note, else where it begins."""
    part = score.parts_by_id[spot.part]
    if spot.bar >= _bars(score, part):
        return _beginning(score)
    notes = [score.notes_by_id[name] for name in spot.notes if name in score.notes_by_id]
    own = [note for note in notes if note.id.startswith(f"{part.id}.")]
    if own:
        first = min(own, key=lambda note: (note.bar, note.offset, note.stave))
        return _Place(first.bar, first.offset, part.id, first.stave)
    offset = min(max(0, spot.offset), score.bars[spot.bar].length)
    return _Place(spot.bar, offset, part.id, min(max(1, spot.stave), part.staves))


def _bars(score: Score, part: Part) -> int:
    return len(part.bar_attributes) or len(score.bars)


def _unmarked(part: Part) -> Part:
    """Take out our remarks and count what stands behind them as if they had never been there."""
    ours = [mark for mark in part.marks if is_remark(mark)]
    if not ours:
        return part
    groups = sorted({mark.group for mark in ours})
    return replace(part, marks=tuple(_renumbered(part, groups)))


def _renumbered(part: Part, groups: Sequence[int]) -> Iterator[Mark]:
    before: Counter[int] = Counter()  # remarks so far, by bar
    for mark in part.marks:
        if is_remark(mark):
            before[mark.bar] += 1
            continue
        stem, _, number = mark.id.rpartition(".m")
        name = f"{stem}.m{int(number) - before[mark.bar]}" if before[mark.bar] else mark.id
        yield mark._replace(id=name, group=mark.group - bisect_left(groups, mark.group))
