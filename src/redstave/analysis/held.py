"""Chords that single players of bowed strings are to hold: which, for how long, with what hand.

A stave that divides is nobody's chord. Where a section has no word about dividing, chords of three
and four notes on one stem and a chord that stands alone are read as stops; a series of two notes at
a time may be either, and is asked about elsewhere (`doubles`).
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from redstave.analysis.division import Place, Says
from redstave.analysis.doubles import Judged
from redstave.analysis.fingers import Grip, Hand, easiest_grip, hand_of
from redstave.analysis.staffing import staffing
from redstave.analysis.strings import Strings, strings_of
from redstave.instruments import InstrumentBook
from redstave.model.line import Line, Playing
from redstave.model.score import Part


class Stop(NamedTuple):
    """One chord for one player: where, its sounding pitches, and the easiest way to hold it."""

    place: Place
    pitches: tuple[float, ...]
    grip: Grip


class Stops(NamedTuple):
    """Chords that follow each other on one stave and are held by each player."""

    part: Part
    line: Line
    says: Says
    hand: Hand
    stops: tuple[Stop, ...]


def held_stops(
    double_notes: Iterable[Judged], playing: Playing, book: InstrumentBook
) -> Iterator[Stops]:
    """Yield the chords of each string part that one player is to hold, and can."""
    lines = {part: who.lines[0] for part, who in staffing(playing).items()}
    for one in double_notes:
        line = lines[one.part.id]
        hand, strings = hand_of(line.instrument), strings_of(line.instrument, book)
        if hand is None or strings is None:
            continue
        stops = tuple(_stops(one, strings, hand))
        if stops:
            yield Stops(one.part, line, one.passage.says, hand, stops)


def _stops(one: Judged, strings: Strings, hand: Hand) -> Iterator[Stop]:
    for place, pitches in zip(one.passage.places, one.pitches, strict=True):
        if len(pitches) > 1 and _for_one_player(one, place, len(pitches)):
            grip = easiest_grip(pitches, strings, hand)
            if grip is not None:
                yield Stop(place, pitches, grip)


def _for_one_player(one: Judged, place: Place, notes: int) -> bool:
    if one.passage.says is Says.DIVIDED:
        return False
    if not one.unmarked:
        return True
    return not place.two_voices and (notes > 2 or not one.series)
