"""For whom a mark on a shared stave is: everyone on it, or one voice's players.

Marks stand below the stave and are everyone's. Where a stave has two voices, one above is the upper
player's; one below is the lower player's alone when another stands above it at the same place, when
the file gives it to the lower voice, or when it meets the lower voice as it enters while the upper
plays on (placement: reference texts on notation, from memory). A word that begins with a number
("2. con sord.") is that player's, and so is a technique that stands with such a word.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from redstave.model.score import Anchor, Mark, Part, Score
from redstave.players.assigning import Assignment
from redstave.players.desks import numbers_of
from redstave.players.dividing import WHOLE, parts_of
from redstave.players.lines import Cast
from redstave.players.numbering import player_numbers
from redstave.players.page import Aim
from redstave.players.techniques import read_techniques
from redstave.players.texture import Event, Voice, Voices

Spot = tuple[int, int, int]  # stave, bar, offset


class _Sign(NamedTuple):
    """A level, hairpin or word with its place; `side` is its placement."""

    id: str
    spot: Spot
    side: str
    voice: str


def aims(score: Score, cast: Cast, assignment: Assignment) -> dict[str, Aim]:
    """Return the lines (indices in the part) of each mark or hairpin that is not for everyone."""
    if not cast.desks and not cast.groups:
        return {}
    found = dict(_of_voices(score, cast, assignment))
    found.update(_of_words(cast, found))
    return found


def _of_voices(score: Score, cast: Cast, assignment: Assignment) -> Iterator[tuple[str, Aim]]:
    signs = [sign for sign in _signs(cast.part) if sign.spot[:2] in cast.counted.bars]
    above = {sign.spot for sign in signs if sign.side == "above"}
    for sign in signs:
        voices = cast.counted.bars[sign.spot[:2]]
        rank = _rank(sign, voices, above, cast)
        if rank is not None:
            tick = score.tick(*sign.spot[1:])
            lines = _lines_of(cast, assignment, sign, tick, voices, rank)
            if lines:
                yield sign.id, lines


def _signs(part: Part) -> Iterator[_Sign]:
    """Yield the levels and hairpins of a part; words say too little by where they stand."""
    for mark in part.marks_of("level"):
        if not mark.note:
            yield _Sign(mark.id, _spot(mark), mark.placement, mark.voice)
    for span in part.spans_of("hairpin"):
        if span.start is not None:
            yield _Sign(span.id, _spot(span.start), span.placement, span.start.voice)


def _spot(place: Mark | Anchor) -> Spot:
    return place.stave or 1, place.bar, place.offset


def _rank(sign: _Sign, voices: Voices, above: set[Spot], cast: Cast) -> int | None:
    """Return the voice (from the top) a sign is for, None when it is for all."""
    offset = sign.spot[2]
    there = [voice.at(offset) for voice in voices]
    if sum(event is not None for event in there) < 2:
        return None
    names = [voice.name for voice in voices]
    if sign.voice in names[1:]:
        return names.index(sign.voice)
    if sign.side == "above":
        return 0
    low = len(voices) - 1
    if sign.side == "below" and (sign.spot in above or _enters_alone(sign, voices, cast)):
        return low
    return None


def _enters_alone(sign: _Sign, voices: Voices, cast: Cast) -> bool:
    """Whether the lowest voice enters at the sign while the highest plays on."""
    offset = sign.spot[2]
    upper, lower = voices[0].at(offset), voices[-1].at(offset)
    if upper is None or lower is None or not upper.notes or not lower.notes:
        return False
    return (
        lower.start == offset
        and _rested(voices[-1], offset, sign.spot, cast, -1)
        and not (upper.start == offset and _rested(voices[0], offset, sign.spot, cast, 0))
    )


def _rested(voice: Voice, offset: int, spot: Spot, cast: Cast, rank: int) -> bool:
    """Whether a voice has a rest just before an offset, in this bar or at the end of the last."""
    before: Event | None = voice.before(offset)
    if before is None and offset == 0:
        earlier = cast.counted.bars.get((spot[0], spot[1] - 1))
        before = earlier[rank].events[-1] if earlier and len(earlier) > 1 else None
    return before is not None and not before.notes


def _lines_of(
    cast: Cast, assignment: Assignment, sign: _Sign, tick: int, voices: Voices, rank: int
) -> Aim:
    """Return the lines of the players of a voice; None when the page does not tell them."""
    events = [event for voice in voices if (event := voice.at(sign.spot[2])) is not None]
    if len(events) < len(voices):
        return None
    before, size = sum(event.size for event in events[:rank]), events[rank].size
    total = sum(event.size for event in events)
    if assignment.desks is not None:
        players = assignment.desks.voice(before, size, total)
        return None if players is None else _desk_lines(cast, players)
    if assignment.section is None:
        return None
    state = assignment.section.state(sign.spot[0], tick)
    parts = max(total, state.parts)
    numbers = {
        part + 1
        for position in range(before, before + size)
        for part in parts_of(position, total, parts)
    }
    first = max(0, total - state.members) if state.below and state.others else 0
    soli = range(before - first + 1, before - first + size + 1)
    return frozenset(
        line
        for (name, part), line in cast.groups.items()
        if part == 0 or part in (numbers if name == WHOLE else soli)
    )


def _desk_lines(cast: Cast, players: tuple[int, ...]) -> frozenset[int]:
    return frozenset(line for player in players for line in cast.desks[player].lines.values())


def _of_words(cast: Cast, levels: Mapping[str, Aim]) -> Iterator[tuple[str, Aim]]:
    """Yield the aims of words: by a number, or as the level they stand with."""
    by_place: dict[tuple[Spot, str], Aim] = {
        (_spot(mark), mark.placement): levels[mark.id]
        for mark in cast.part.marks_of("level")
        if mark.id in levels
    }
    labelled: dict[Spot, Aim] = {}
    words: dict[Spot, list[Mark]] = defaultdict(list)
    numbers = numbers_of(cast.naming) if cast.desks else ()
    for mark in cast.part.marks_of("word"):
        spot = _spot(mark)
        if named := player_numbers(mark.text, numbers):
            aim = _desk_lines(cast, tuple(numbers.index(number) for number in named))
            labelled[spot] = aim
            yield mark.id, aim
        elif (spot, mark.placement) in by_place:
            yield mark.id, by_place[spot, mark.placement]
        elif read_techniques(mark.text):
            words[spot].append(mark)
    for spot, marks in words.items():
        if spot in labelled:
            yield from ((mark.id, labelled[spot]) for mark in marks)
