"""The colour path of a voice: in whose hands it is, bars in the same hands joined."""

from itertools import groupby
from typing import NamedTuple

from redstave.original.strips import Strip, StripBar

MOST_OF_IT = 0.5  # who sounds this share of a voice's tones in a bar carries it there (ours)

Hand = tuple[int, int]  # a line (index), and how many octaves above (+) or below (−) the original


class Hold(NamedTuple):
    """Bars `first` to `last` (indices of the entry) in which the same hands carry a voice.

    `hands` are in the order of the page; empty where nobody carries most of it. `share` is how many
    of the voice's tones sound at all, on average over the bars.
    """

    first: int
    last: int
    hands: tuple[Hand, ...]
    share: float


def colour_path(strip: Strip) -> tuple[Hold, ...]:
    """Return in whose hands a voice is, in the order of the entry; its rests go on in them."""
    found = []
    for hands, group in groupby(strip.bars, key=hands_of):
        bars = list(group)
        share = sum(bar.carried for bar in bars) / len(bars)
        found.append(Hold(bars[0].entry, bars[-1].entry, hands, share))
    return tuple(found)


def hands_of(bar: StripBar) -> tuple[Hand, ...]:
    """Return who carries most of a voice in a bar; nobody where no line does half of it."""
    return tuple(
        sorted((one.line, one.octave_shift) for one in bar.carriers if one.share >= MOST_OF_IT)
    )
