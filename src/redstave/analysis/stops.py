"""Which pitches one bowed string instrument can hold down together.

Each pitch needs a string of its own; the strings used must be neighbours, because one bow has to
reach them all (common practice; the adjacency rule is stated in the reference texts on double
stops). A string gives its open pitch and everything above it as far as its fingerboard goes, and
every string of an instrument is equally long, so the strings' compasses rise together. For such
compasses, if any assignment exists then the one in order of pitch exists; only that one is tried,
once for each group of neighbouring strings.

Pitches are MIDI numbers as they sound.
"""

from collections.abc import Sequence


def assign(
    pitches: Sequence[float], open_strings: Sequence[float], reach: float
) -> tuple[int, ...] | None:
    """Return the string (0 = lowest) for each pitch in ascending order, None if there is no way.

    `open_strings` ascend; `reach` is the highest semitone above the open string that is used.
    The highest possible group of strings is taken: it needs the least climbing.
    """
    wanted = sorted(pitches)
    for lowest in range(len(open_strings) - len(wanted), -1, -1):
        strings = range(lowest, lowest + len(wanted))
        if all(
            open_strings[string] <= pitch <= open_strings[string] + reach
            for string, pitch in zip(strings, wanted, strict=True)
        ):
            return tuple(strings)
    return None


def has_open_string(pitches: Sequence[float], open_strings: Sequence[float]) -> bool:
    """Tell whether one of the pitches is an open string, the surest sign of a double stop."""
    return any(pitch in open_strings for pitch in pitches)
