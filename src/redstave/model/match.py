"""What became of the set piano piece: which bars, which tones, and who carries each voice.

::

    Match
    ├── bars       BarMatch: bar of the entry, bar of the original, how sure
    ├── source     SourceTone: every tone of the piano piece, with the voice it belongs to
    ├── voices     SourceVoice: tune, bass, inner voices, figures
    ├── carriers   Carrier: a tone of the entry that sounds a tone of the original, and how
    ├── left_out   tones of the original that nobody plays
    └── added      tones of the entry that come from no tone of the original

All pitches of the original are MIDI numbers as the piano sounds; ticks are those of its own Score.
Tones of the entry are indices of `Playing.tones`.
"""

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from redstave.model.role import Role

NO_BAR = -1


class BarMatch(NamedTuple):
    """One bar of the entry beside one of the original (indices; NO_BAR where there is none).

    `confidence` is 0 to 1; `pinned` bars were set by the teacher.
    """

    entry: int
    original: int
    confidence: float
    pinned: bool = False


class Pin(NamedTuple):
    """The teacher's word on a bar: bar `entry` comes from bar `original` (indices).

    `original` is NO_BAR for a bar that comes from nowhere in the original.
    """

    entry: int
    original: int


class Choice(StrEnum):
    """Which tones of a stave the teacher means."""

    ALL = "all"
    HIGHEST = "highest"
    LOWEST = "lowest"


class VoiceOverride(NamedTuple):
    """The teacher's word on the voices of the original.

    In bars `first` to `last` of the original (indices, both inside) the tones chosen on `stave`
    (numbered from 1 through the whole original, 0 for all staves) belong to the voice called `name`
    ("tune", "bass", "left-hand figure", or a new name). A later word overrules an earlier one.
    """

    first: int
    last: int
    stave: int
    choice: Choice
    name: str


class SourceTone(NamedTuple):
    """One sounding tone of the piano piece; tied notes are one tone.

    `notes` are the ids of the printed notes, `stave` counts from 1 through the whole original, and
    `voice` indexes `Match.voices`.
    """

    notes: tuple[str, ...]
    bar: int
    start: int
    stop: int
    midi: int
    stave: int
    voice: int


class SourceVoice(NamedTuple):
    """A voice of the piano piece: what it is there for and what the teacher sees it called."""

    name: str  # "tune", "bass", "right-hand inner", "left-hand figure"
    role: Role


class Manner(StrEnum):
    """How a tone of the entry renders its source."""

    PLAIN = "plain"
    HELD = "held"  # a broken or pedalled tone sustained
    REPEATED = "repeated"  # a long tone struck again, or repeated notes
    TREMOLO = "tremolo"
    BROKEN = "broken"  # a chord tone played one after another
    MOVED = "moved"  # at another place in the bar


class Carrier(NamedTuple):
    """A tone of the entry (index of Playing.tones) that sounds a tone of the original (index).

    `octave_shift` counts octaves above (+) or below (-) the source, transposition taken off.
    """

    source: int
    tone: int
    octave_shift: int
    manner: Manner = Manner.PLAIN
    confidence: float = 1.0


@dataclass(frozen=True)
class Match:
    """The entry beside its original.

    `transposition` is how many semitones the entry sounds above the original (-5 to 6), and
    `augmentation` how many quarters of the entry one quarter of the original has become.
    `unfinished` are bars of the original (first, last) whose music is there only in part.
    """

    transposition: int
    augmentation: Fraction
    bars: tuple[BarMatch, ...]
    source: tuple[SourceTone, ...]
    voices: tuple[SourceVoice, ...]
    carriers: tuple[Carrier, ...]
    left_out: tuple[int, ...]
    added: tuple[int, ...]
    unfinished: tuple[tuple[int, int], ...] = ()

    @cached_property
    def original_of(self) -> dict[int, int]:
        """The bar of the original for each matched bar of the entry; the first, if several."""
        return {entry: originals[0] for entry, originals in self.originals_of.items()}

    @cached_property
    def originals_of(self) -> dict[int, tuple[int, ...]]:
        """The bars of the original for each matched bar of the entry."""
        found: dict[int, list[int]] = defaultdict(list)
        for one in self.bars:
            if NO_BAR not in one[:2]:
                found[one.entry].append(one.original)
        return {entry: tuple(sorted(bars)) for entry, bars in found.items()}

    @cached_property
    def entry_bars_of(self) -> dict[int, tuple[int, ...]]:
        """The bars of the entry for each matched bar of the original."""
        found: dict[int, list[int]] = defaultdict(list)
        for one in self.bars:
            if NO_BAR not in one[:2]:
                found[one.original].append(one.entry)
        return {original: tuple(sorted(bars)) for original, bars in found.items()}

    @cached_property
    def sources_of(self) -> dict[int, tuple[Carrier, ...]]:
        """The carriers of each tone of the entry (index of Playing.tones) that has any source."""
        found: dict[int, list[Carrier]] = defaultdict(list)
        for carrier in self.carriers:
            found[carrier.tone].append(carrier)
        return {tone: tuple(all_) for tone, all_ in found.items()}

    @cached_property
    def carriers_of(self) -> dict[int, tuple[Carrier, ...]]:
        """The carriers of each source tone (index) that has any."""
        found: dict[int, list[Carrier]] = defaultdict(list)
        for carrier in self.carriers:
            found[carrier.source].append(carrier)
        return {source: tuple(all_) for source, all_ in found.items()}
