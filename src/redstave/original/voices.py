"""The voices of the original: tune, bass, inner voices and figures, hand by hand.

Read from what is played, since printed voices are often missing (MIDI) or mean stems, not lines:
the tune is the highest line of the hand that leads (it moves, is marked louder, is no figure), with
what doubles it in octaves; the bass is what lies lowest; a figure is a run of short equal notes
that leap about or repeat; the rest is inner. The numbers here are ours (no source); the teacher's
word overrules all of them.
"""

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from operator import attrgetter

from redstave.base.errors import InputError
from redstave.model.line import Playing, Tone
from redstave.model.match import Choice, SourceTone, SourceVoice, VoiceOverride
from redstave.model.role import Role
from redstave.model.score import Score
from redstave.original.figures import Played, chords, figures
from redstave.original.tremolos import shaken_through

HANDS = 2
MOST_STAVES = 3  # a score of more staves is split by register instead of by stave
MIDDLE = 60
BASS_REACH = 2  # semitones above the lowest note around that still count as the bass
LEADS, FIGURE_LEADS_NOT, SLOW_LEADS_NOT, SILENT, CHANGES = 0.4, 1.2, 0.5, 3.0, 0.6
LOUDER_LEADS, MOST_LOUDER = 0.3, 2.0  # for each level above the other hand, so many at most
STANDING_LEADS_NOT, STANDING = 1.0, 3  # notes in a bar, all on one pitch
VOICES = (
    SourceVoice("tune", Role.TUNE),
    SourceVoice("bass", Role.BASS),
    SourceVoice("right-hand inner", Role.INNER),
    SourceVoice("left-hand inner", Role.INNER),
    SourceVoice("right-hand figure", Role.FIGURE),
    SourceVoice("left-hand figure", Role.FIGURE),
)
TUNE, BASS, INNER, FIGURE = 0, 1, 2, 4


def source_voices(
    original: Score, playing: Playing, overrides: Sequence[VoiceOverride] = ()
) -> tuple[tuple[SourceTone, ...], tuple[SourceVoice, ...]]:
    """Return the pitched tones of the original, each with its voice, and the voices that sound.

    Raises InputError for a voice set in a bar or on a stave that is not there.
    """
    tones = [tone for tone in playing.tones if not tone.unpitched]
    played = _played(original, tones, shaken_through(original, tones))
    names = [*VOICES]
    voice = _voices(played)
    staves = sum(part.staves for part in original.parts)
    for said in overrides:
        _allow(said, len(original.bars), staves)
        number = _number(said.name, names)
        for one in _chosen(played, said):
            voice[one.at] = number
    kept = [at for at in range(len(names)) if at in set(voice)]
    renumbered = {at: number for number, at in enumerate(kept)}
    source = tuple(
        SourceTone(
            tone.notes, tone.bar, tone.start, tone.stop, one.midi, one.stave, renumbered[voice[at]]
        )
        for at, (tone, one) in enumerate(zip(tones, played, strict=True))
    )
    return source, tuple(names[at] for at in kept)


def _played(
    original: Score, tones: Sequence[Tone], through: Mapping[int, tuple[int, int]]
) -> list[Played]:
    stave: dict[str, int] = {}
    staves = 0
    for part in original.parts:
        stave.update((note.id, staves + note.stave) for note in part.notes)
        staves += part.staves
    quarter = original.ticks_per_quarter
    found = []
    for at, tone in enumerate(tones):
        midi, on = round(tone.midi), stave[tone.notes[0]]
        lower = on > 1 if staves <= MOST_STAVES and staves > 1 else midi < MIDDLE
        begin, end = through.get(at, (tone.start, tone.stop))
        start, stop = begin / quarter, end / quarter
        found.append(Played(at, start, stop, midi, tone.bar, on, int(lower), tone.level))
    return found


def _voices(played: Sequence[Played]) -> list[int]:
    """Return the number in VOICES of every tone."""
    voice = [INNER + one.hand for one in played]
    hands = [[one for one in played if one.hand == hand] for hand in range(HANDS)]
    tops = [_tops(some) for some in hands]
    in_figures = [figures(some) for some in hands]
    for hand, some in enumerate(in_figures):
        for at in some:
            voice[at] = FIGURE + hand
    for at in _basses(played, in_figures[0] | in_figures[1]):
        voice[at] = BASS
    leading = _leading(played, tops, in_figures)
    for one in played:
        if one.at in tops[one.hand] and leading[one.bar] == one.hand:
            voice[one.at] = TUNE
    for at in _octaves(played, voice, TUNE):
        voice[at] = TUNE
    for at in _octaves(played, voice, BASS):
        voice[at] = BASS
    return voice


def _tops(some: Iterable[Played]) -> set[int]:
    """Return the tones of a hand above which nothing of the hand sounds when they begin."""
    found = set()
    held: list[Played] = []
    for struck in chords(some):
        start = struck[0].start
        held = [one for one in held if one.stop > start]
        top = max(struck, key=attrgetter("midi"))
        if all(one.midi <= top.midi for one in held):
            found.add(top.at)
        held.extend(struck)
    return found


def _basses(played: Sequence[Played], in_figures: set[int]) -> set[int]:
    """Return the tones that lie lowest when they begin, and within a beat of it in a figure."""
    found = set()
    held: list[Played] = []
    starts = list(chords(played))
    lowest = [(chord[0].start, min(one.midi for one in chord)) for chord in starts]
    for at, chord in enumerate(starts):
        start = chord[0].start
        held = [one for one in held if one.stop > start]
        low = min(chord, key=attrgetter("midi"))
        alone = len({one.midi % 12 for one in chord if one.hand == low.hand}) == 1
        walking = alone and low.stop - low.start >= 1.0
        around = _around(lowest, at, 0.5 if walking and low.at not in in_figures else 1.5)
        if all(low.midi <= one.midi for one in held) and low.midi <= around + BASS_REACH:
            found.add(low.at)
        held.extend(chord)
    return found


def _around(lowest: Sequence[tuple[float, int]], at: int, reach: float) -> int:
    """Return the lowest pitch struck within some quarters of a chord."""
    start, found = lowest[at]
    for way in (-1, 1):
        other = at + way
        while 0 <= other < len(lowest) and abs(lowest[other][0] - start) < reach:
            found = min(found, lowest[other][1])
            other += way
    return found


@dataclass
class _Bar:
    """What a hand's highest line does in a bar."""

    tones: list[Played] = field(default_factory=list)
    in_figure: int = 0

    @property
    def level(self) -> float | None:
        """The mean level of its tones, None where it is silent."""
        levels = [one.level for one in self.tones]
        return sum(levels) / len(levels) if levels else None

    def worth(self, hand: int, other: "_Bar") -> float:
        """Return how likely the line leads, beside the other hand's."""
        count = len(self.tones)
        if self.level is None:
            return -SILENT
        worth = (LEADS if hand == 0 else -LEADS) - FIGURE_LEADS_NOT * self.in_figure / count
        if other.level is not None:
            louder = max(-MOST_LOUDER, min(MOST_LOUDER, self.level - other.level))
            worth += LOUDER_LEADS * louder
        if count >= STANDING and len({one.midi for one in self.tones}) == 1:
            worth -= STANDING_LEADS_NOT
        return worth - (SLOW_LEADS_NOT if hand and count < 2 else 0.0)


def _leading(
    played: Sequence[Played], tops: Sequence[set[int]], in_figures: Sequence[set[int]]
) -> list[int]:
    """Return which hand has the tune in each bar; it changes hands only for good reason."""
    last = max((one.bar for one in played), default=-1)
    bars = [[_Bar() for _ in range(HANDS)] for _ in range(last + 1)]
    for one in played:
        if one.at in tops[one.hand]:
            bars[one.bar][one.hand].tones.append(one)
            bars[one.bar][one.hand].in_figure += one.at in in_figures[one.hand]
    best = [0.0, 0.0]
    came: list[list[int]] = []
    for bar in bars:
        stay = [0 if best[0] >= best[1] - CHANGES else 1, 1 if best[1] >= best[0] - CHANGES else 0]
        came.append(stay)
        best = [
            best[stay[hand]] - CHANGES * (stay[hand] != hand) + bar[hand].worth(hand, bar[1 - hand])
            for hand in range(HANDS)
        ]
    hand = 0 if best[0] >= best[1] else 1
    found = []
    for stay in reversed(came):
        found.append(hand)
        hand = stay[hand]
    return found[::-1]


def _octaves(played: Sequence[Played], voice: Sequence[int], of: int) -> set[int]:
    """Return the tones of a hand that double a voice in octaves, struck and left with it."""
    struck: dict[tuple[float, int, int], list[Played]] = defaultdict(list)
    for one in played:
        struck[one.start, one.hand, one.midi % 12].append(one)
    found = set()
    for some in struck.values():
        leads = [one for one in some if voice[one.at] == of]
        for one in some:
            if any(abs(one.stop - lead.stop) < 0.01 for lead in leads):
                found.add(one.at)
    return found


def _chosen(played: Sequence[Played], said: VoiceOverride) -> list[Played]:
    """Return the tones that the teacher means."""
    there = [
        one for one in played if said.first <= one.bar <= said.last and said.stave in (0, one.stave)
    ]
    if said.choice is Choice.ALL:
        return there
    pick = max if said.choice is Choice.HIGHEST else min
    return [pick(chord, key=attrgetter("midi")) for chord in chords(there)]


def _number(name: str, names: list[SourceVoice]) -> int:
    """Return the number of a voice by name; a new one is added, its role read from its name."""
    for at, one in enumerate(names):
        if one.name == name:
            return at
    words = re.findall(r"[a-z]+", name.lower())
    role = next((Role(word) for word in words if word in set(Role)), Role.INNER)
    names.append(SourceVoice(name, role))
    return len(names) - 1


def _allow(said: VoiceOverride, bars: int, staves: int) -> None:
    if not (0 <= said.first <= said.last < bars and 0 <= said.stave <= staves and said.name):
        raise InputError(
            f'the voice "{said.name}" is set in bars {said.first + 1} to {said.last + 1} on stave '
            f"{said.stave}, but the original has {bars} bars and {staves} staves; choose from those"
        )
