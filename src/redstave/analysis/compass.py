"""The outermost notes of an instrument, with the doubt the data has about them.

A limit that is itself uncertain cannot prove that a note is impossible: only what lies beyond it
by more than its doubt is proved.
"""

from functools import cache
from typing import NamedTuple

from redstave.base.citation import Quantity
from redstave.base.errors import DataError
from redstave.instruments import Instrument
from redstave.instruments.book import cited_file

SHARPS = ("C", "C♯", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B")


class Edge(NamedTuple):
    """One end of a compass as a sounding MIDI number, and its uncertainty in semitones."""

    limit: float
    doubt: float


def lowest(instrument: Instrument, transposition: int) -> Edge | None:
    """Return the lower end for a part that sounds so many semitones above its page.

    The lowest key of a woodwind is a fact of the written page: a clarinet in A goes a semitone
    lower than one in B flat. A part written at concert pitch does not say which one plays it.
    """
    edges = _edges(instrument)
    if edges is None:
        return None
    low = edges[0]
    if instrument.family == "woodwind" and transposition in instrument.transpositions:
        step = transposition - instrument.transpositions[0]
        if transposition and abs(step) < 12:
            return Edge(low.limit + step, 0.0)
    return low


def highest(instrument: Instrument) -> Edge | None:
    """Return the upper end of an instrument; None where it has no pitch."""
    edges = _edges(instrument)
    return edges[1] if edges else None


def sounding_name(midi: float) -> str:
    """Return the name of a sounding pitch, with the commoner of two spellings."""
    number = round(midi)
    return f"{SHARPS[number % 12]}{number // 12 - 1}"


def _edges(instrument: Instrument) -> tuple[Edge, Edge] | None:
    return None if instrument.extreme is None else _cited_edges(instrument.id)


@cache
def _cited_edges(instrument: str) -> tuple[Edge, Edge]:
    pitch = cited_file(f"{instrument}.toml")["pitch"]
    leaf = pitch["extreme"] if not isinstance(pitch, (str, bool, tuple, Quantity)) else None
    if not isinstance(leaf, Quantity) or len(leaf.numbers) != 2:
        raise DataError(f"{instrument}.toml: pitch.extreme must be two cited pitches")
    (low, high), (doubt_low, doubt_high) = leaf.numbers, leaf.uncertainties
    return Edge(low, doubt_low), Edge(high, doubt_high)
