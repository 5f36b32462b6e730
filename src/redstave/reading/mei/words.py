"""MEI's words beside MusicXML's."""

TYPES = {
    "maxima": "maxima",
    "long": "long",
    "breve": "breve",
    "1": "whole",
    "2": "half",
    "4": "quarter",
    "8": "eighth",
    "16": "16th",
    "32": "32nd",
    "64": "64th",
    "128": "128th",
    "256": "256th",
    "512": "512th",
    "1024": "1024th",
}
ACCIDENTALS = {
    "s": ("sharp", 1.0),
    "f": ("flat", -1.0),
    "n": ("natural", 0.0),
    "ss": ("sharp-sharp", 2.0),
    "x": ("double-sharp", 2.0),
    "ff": ("flat-flat", -2.0),
    "xs": ("triple-sharp", 3.0),
    "tb": ("triple-flat", -3.0),
    "1qs": ("quarter-sharp", 0.5),
    "3qs": ("three-quarters-sharp", 1.5),
    "1qf": ("quarter-flat", -0.5),
    "3qf": ("three-quarters-flat", -1.5),
    "su": ("sharp-up", 1.5),
    "sd": ("sharp-down", 0.5),
    "fu": ("flat-up", -0.5),
    "fd": ("flat-down", -1.5),
    "nu": ("natural-up", 0.5),
    "nd": ("natural-down", -0.5),
}
ARTICULATIONS = {
    "stacc": ("articulations", "staccato"),
    "acc": ("articulations", "accent"),
    "ten": ("articulations", "tenuto"),
    "marc": ("articulations", "strong-accent"),
    "stacciss": ("articulations", "staccatissimo"),
    "spicc": ("articulations", "spiccato"),
    "dnbow": ("technical", "down-bow"),
    "upbow": ("technical", "up-bow"),
    "harm": ("technical", "harmonic"),
    "open": ("technical", "open-string"),
    "stop": ("technical", "stopped"),
    "snap": ("technical", "snap-pizzicato"),
    "dbltongue": ("technical", "double-tongue"),
    "trpltongue": ("technical", "triple-tongue"),
}
ON_NOTES = {
    "trill": ("ornaments", "trill-mark"),
    "mordent": ("ornaments", "mordent"),
    "turn": ("ornaments", "turn"),
    "fermata": ("", "fermata"),
    "arpeg": ("", "arpeggiate"),
    "breath": ("articulations", "breath-mark"),
    "caesura": ("articulations", "caesura"),
}
BARLINES = {
    "dbl": "light-light",
    "end": "light-heavy",
    "rptend": "light-heavy",
    "rptstart": "heavy-light",
    "rptboth": "light-heavy",
    "invis": "none",
    "dashed": "dashed",
    "dotted": "dotted",
}
_STEADY = ["ppppp", "pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "fffff", "n"]
_SUDDEN = ["sf", "sfp", "sfpp", "sfz", "sfzp", "sffz", "fp", "fz", "pf", "rf", "rfz"]
LEVELS = frozenset([*_STEADY, *_SUDDEN])
