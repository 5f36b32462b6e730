"""Ways of scoring a piano piece: each voice to its players, plainly or in other clothes."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from random import Random
from typing import NamedTuple

from benchmarks.pairing.page import Sound
from benchmarks.pairing.pair import Source
from redstave.model.score import Score

LOWEST, HIGHEST = 28, 103
CHORDS = ({0, 4, 7, 10}, {0, 3, 7, 10}, {0, 3, 6, 9}, {0, 3, 6, 10}, {0, 4, 8})
Player = tuple[str, int]  # the part, and semitones from the original


class Bar(NamedTuple):
    """Where a bar lies, and a quarter, in ticks."""

    start: int
    stop: int
    quarter: int


Dress = Callable[[Sequence[Source], Bar, Player, Random], list[Sound]]
PLAYERS: dict[str, tuple[tuple[Player, ...], ...]] = {
    "tune": (
        (("Violin I", 0),),
        (("Violin I", 0), ("Flute", 12)),
        (("Oboe", 0), ("Clarinet", 0)),
        (("Violin I", 0), ("Violin II", -12)),
        (("Flute", 0), ("Bassoon", -12), ("Violin I", 0)),
    ),
    "upper": ((("Violin II", 0),), (("Violin II", 0), ("Clarinet", 0)), (("Horn", 0),)),
    "lower": ((("Viola", 0),), (("Viola", 0), ("Bassoon", 0)), (("Horn", 0), ("Viola", 12))),
    "bass": (
        (("Cello", 0),),
        (("Cello", 0), ("Contrabass", -12)),
        (("Cello", 0), ("Bassoon", 12)),
    ),
}


def voices(all_: Iterable[Source]) -> dict[str, list[Source]]:
    """Split the hands: highest of the right, lowest of the left, and what is between."""
    right: dict[int, int] = {}
    left: dict[int, int] = {}
    kept = list(all_)
    for one in kept:
        if one.hand == 1:
            right[one.start] = max(one.midi, right.get(one.start, 0))
        else:
            left[one.start] = min(one.midi, left.get(one.start, 127))
    found: dict[str, list[Source]] = defaultdict(list)
    for one in kept:
        if one.hand == 1:
            found["tune" if one.midi == right[one.start] else "upper"].append(one)
        else:
            found["bass" if one.midi == left[one.start] else "lower"].append(one)
    return found


def plain(some: Sequence[Source], _: Bar, player: Player, __: Random) -> list[Sound]:
    """Give each tone to a player as it stands."""
    return [_sound(one, player) for one in some]


def short(some: Sequence[Source], bar: Bar, player: Player, _: Random) -> list[Sound]:
    """Shorten what is longer than an eighth to half."""
    sounds = []
    for one in some:
        length = one.stop - one.start
        stop = one.start + (length // 2 if length > bar.quarter // 2 else length)
        sounds.append(_sound(one, player)._replace(stop=stop))
    return sounds


def held(some: Sequence[Source], bar: Bar, player: Player, random: Random) -> list[Sound]:
    """Hold each pitch of a broken chord through the bar, or from where it is first struck."""
    if not _broken(some, bar):
        return plain(some, bar, player, random)
    pitches: dict[int, list[Source]] = defaultdict(list)
    for one in some:
        pitches[one.midi].append(one)
    early = random.random() < 0.5
    return [
        _sound(of[0], player)._replace(
            start=bar.start if early else of[0].start,
            stop=bar.stop,
            sources=frozenset(one.at for one in of),
        )
        for of in pitches.values()
    ]


def tremolo(some: Sequence[Source], bar: Bar, player: Player, _: Random) -> list[Sound]:
    """Turn chords, or single long tones, into alternating or repeated sixteenths."""
    return _restruck(some, bar, player, bar.quarter // 4)


def repeated(some: Sequence[Source], bar: Bar, player: Player, _: Random) -> list[Sound]:
    """Strike each tone longer than an eighth again in eighths."""
    sounds = []
    for one in some:
        step = bar.quarter // 2
        if one.stop - one.start <= step:
            sounds.append(_sound(one, player))
            continue
        sounds += [
            _sound(one, player)._replace(start=tick, stop=min(one.stop, tick + step))
            for tick in range(one.start, one.stop, step)
        ]
    return sounds


def broken(some: Sequence[Source], bar: Bar, player: Player, _: Random) -> list[Sound]:
    """Play the notes of chords one after another in eighths."""
    return _restruck(some, bar, player, bar.quarter // 2)


def refigured(some: Sequence[Source], bar: Bar, player: Player, random: Random) -> list[Sound]:
    """Break a broken chord in another way; each tone comes from all of its pitch class there.

    The notes go round in another order, some an octave higher, whatever the figure was. A pitch
    class is left out only if nobody comes to it. What goes from one chord to another within the
    bar, or has no steady pace, is left as it is: in another order it would be other harmony, or a
    line of another kind, and no figure rewritten.
    """
    if not (_broken(some, bar) and _figure(some)):
        return plain(some, bar, player, random)
    classes: dict[int, list[Source]] = defaultdict(list)
    for one in some:
        classes[one.midi % 12].append(one)
    order = list(classes.values())
    random.shuffle(order)
    lifts = [random.choice((0, 0, 12)) for _ in order]
    step = bar.quarter // 2
    return [
        _sound(of[0], (player[0], player[1] + lift))._replace(
            start=tick, stop=min(bar.stop, tick + step), sources=frozenset(one.at for one in of)
        )
        for at, tick in enumerate(range(bar.start, bar.stop, step))
        for of, lift in [(order[at % len(order)], lifts[at % len(order)])]
    ]


def _restruck(some: Sequence[Source], bar: Bar, player: Player, step: int) -> list[Sound]:
    chords: dict[tuple[int, int], list[Source]] = defaultdict(list)
    for one in some:
        chords[one.start, one.stop].append(one)
    sounds = []
    for (start, stop), chord in chords.items():
        if stop - start < max(bar.quarter, step * len(chord)):
            sounds += [_sound(one, player) for one in chord]
            continue
        chord.sort(key=lambda one: one.midi)
        for at, tick in enumerate(range(start, stop, step)):
            one = chord[at % len(chord)]
            sounds.append(_sound(one, player)._replace(start=tick, stop=min(stop, tick + step)))
    return sounds


def _broken(some: Sequence[Source], bar: Bar) -> bool:
    """Whether a voice breaks a chord: at least three short tones, one at a time."""
    starts = {one.start for one in some}
    short_ = all(one.stop - one.start <= bar.quarter // 2 for one in some)
    few = len({one.midi for one in some}) <= max(3, len(some) - 1)
    return short_ and few and len(some) >= 3 and len(starts) == len(some)


def _figure(some: Sequence[Source]) -> bool:
    """Whether a voice breaks one chord in a steady figure that leaps about.

    It has four tones or more, evenly paced, all of one triad or chord of the seventh, and most of
    its steps are a third or wider.
    """
    line = sorted(some, key=lambda one: one.start)
    paces = {after.start - before.start for before, after in pairwise(line)}
    wide = [abs(after.midi - before.midi) >= 3 for before, after in pairwise(line)]
    classes = {one.midi % 12 for one in some}
    chord = any(
        all((one - root) % 12 in tones for one in classes) for root in range(12) for tones in CHORDS
    )
    return len(line) >= 4 and len(paces) == 1 and 2 * sum(wide) > len(wide) and chord


def _sound(one: Source, player: Player) -> Sound:
    midi = one.midi + player[1]
    while midi < LOWEST:
        midi += 12
    while midi > HIGHEST:
        midi -= 12
    grace = one.stop <= one.start
    return Sound(player[0], one.start, one.stop, midi, frozenset((one.at,)), grace)


class Way(NamedTuple):
    """A way of scoring: whether voices are doubled and moved, and the clothes they may wear.

    The tune wears them seldom, or, where `tune` says so, never.
    """

    doubled: bool
    moved: bool
    dresses: tuple[Dress, ...]
    tune: bool = True


def scored(
    original: Score, all_: Sequence[Source], way: Way, random: Random, window: int = 6
) -> list[Sound]:
    """Score an original: each voice keeps its players and clothes for some bars."""
    by_bar: dict[int, list[Source]] = defaultdict(list)
    for one in all_:
        by_bar[one.bar].append(one)
    sounds: list[Sound] = []
    chosen: dict[str, tuple[tuple[Player, ...], Dress]] = {}
    for at, printed in enumerate(original.bars):
        bar = Bar(printed.start, printed.start + printed.length, original.ticks_per_quarter)
        if at % window == 0:
            chosen = {voice: _chosen(voice, way, random) for voice in PLAYERS}
        here = voices(by_bar[at])
        left = [*here["bass"], *here["lower"]]
        if chosen["lower"][1] in (held, refigured) and _broken(left, bar):
            here["lower"], here["bass"] = left, []
        for voice, some in here.items():
            players, dress = chosen[voice]
            for player in players:
                sounds += dress(some, bar, player, random)
    return sounds


def _chosen(voice: str, way: Way, random: Random) -> tuple[tuple[Player, ...], Dress]:
    players = random.choice(PLAYERS[voice]) if way.doubled else PLAYERS[voice][0]
    by = random.choice((-12, 0, 12)) if way.moved else 0
    plainly = voice == "tune" and (random.random() < 0.7 or not way.tune)
    dress = plain if plainly else random.choice(way.dresses)
    return tuple((name, shift + by) for name, shift in players), dress
