"""Originals and entries: how many bars, links, lost and added tones are found.

Entries are made from originals by known steps, so that the truth is exact: from piano music that
is invented by rule, from the piano parts of two real pairs, and from reductions of orchestral
movements. Bars counts bars of the entry for which just the right bars of the original are named; F1
is that of the links between tones. Tones of one hand struck and left together on one pitch class
count as one. What no page tells counts neither way: which of two octaves a third one doubles;
whether a tone that nobody was given is left out though somebody sounds its pitch, or though it only
filled a chord in which its pitch class is struck; whether an orchestral tone is new that comes upon
a pitch class the hands sound for half of its length. Then reductions beside their movements, both
ways round; then the real pairs, where nothing is known but that their bars stand side by side: how
many tones of the piano are found in the orchestra and the other way round, and how many when each
bar is set to another at random. Last the CPU seconds.
"""

from benchmarks.origin import table

__all__ = ["table"]
