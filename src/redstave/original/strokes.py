"""Downbeats that the pianist strikes and a slur of the entry runs over."""

from redstave.analysis.page import Chord
from redstave.original.arcs import Arc
from redstave.original.beside import Beside

STROKES = frozenset(
    {
        "accent",
        "strong-accent",
        "staccato",
        "staccatissimo",
        "detached-legato",
        "spiccato",
        "stress",
        "tenuto",
    }
)
STRUCK = STROKES - {
    "tenuto",
    "detached-legato",
}  # a line on the piano asks for weight, not a stroke


def hidden_beats(both: Beside, arc: Arc) -> tuple[Chord, ...]:
    """Return the chords of a slur on downbeats, the first note apart, that the pianist strikes.

    Chords with a stroke of their own are left out.
    """
    here, there = both.signs, both.original_signs
    return tuple(
        chord
        for chord in arc.chords[1:]
        if chord.head.offset == 0
        and not any(here.get(note, frozenset()) & STROKES for note in chord.ids)
        and any(
            there.get(note, frozenset()) & STRUCK
            for tone in both.sources(chord.ids)
            if both.original.bars[tone.bar].start == tone.start
            for note in tone.notes
        )
    )
