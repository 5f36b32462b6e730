"""The words of the tiny notation and the MusicXML elements they stand for (MusicXML 4.0 names)."""

from fractions import Fraction


def _names(text: str) -> frozenset[str]:
    return frozenset(text.split())


LEVELS = _names(
    "p pp ppp pppp ppppp pppppp f ff fff ffff fffff ffffff mp mf sf sfp sfpp fp rf rfz sfz sffz "
    "fz n pf sfzp"
)

ARTICULATIONS = _names(
    "accent strong-accent staccato tenuto detached-legato staccatissimo spiccato scoop plop doit "
    "falloff breath-mark caesura stress unstress soft-accent"
)
ORNAMENTS = _names(
    "trill-mark turn delayed-turn inverted-turn vertical-turn shake mordent inverted-mordent "
    "schleifer haydn"
)
TECHNICAL = _names(
    "up-bow down-bow harmonic open-string thumb-position double-tongue triple-tongue stopped "
    "snap-pizzicato open half-muted golpe brass-bend smear flip heel toe"
)
TREMOLOS = {f"tremolo{strokes}": strokes for strokes in range(1, 5)}
OTHER_NOTE_MARKS = _names("fermata arpeggiate let-ring gliss cue diamond")
NOTE_MARKS = ARTICULATIONS | ORNAMENTS | TECHNICAL | OTHER_NOTE_MARKS | frozenset(TREMOLOS)

VALUES = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "16th", 32: "32nd", 64: "64th"}

CLEFS = {
    "treble": ("G", 2),
    "bass": ("F", 4),
    "alto": ("C", 3),
    "tenor": ("C", 4),
    "percussion": ("percussion", 0),
}

HEADERS = _names("title arranger meter key tempo pitch pickup sums")
SETTINGS = _names("abbr clef transpose staves sound group")

HAIRPINS = {"<": "crescendo", ">": "diminuendo", "=": "stop"}
BARLINES = {
    "|": ("", ""),
    "||": ("double", ""),
    "|.": ("final", ""),
    "|:": ("", "repeat"),
    ":|": ("repeat", ""),
    ":|:": ("repeat", "repeat"),
}
ACCIDENTALS = {
    -2: "flat-flat",
    -1: "flat",
    0: "natural",
    1: "sharp",
    2: "double-sharp",
}


def written_length(value: int, dots: int) -> Fraction:
    """Return the length in whole notes of a note value with dots: 4 with one dot is 3/8."""
    return Fraction(1, value) * (2 - Fraction(1, 2**dots))
