"""Reads a standard MIDI file: who plays what, from when to when."""

import io
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, NamedTuple

import mido

from redstave.base.errors import InputError

SIZE_LIMIT = 2_000_000  # bytes; an hour of a full orchestra has half of it
LENGTH_LIMIT = 40_000  # quarters
GRID = 24  # steps in a quarter: the smallest that has both semiquavers' halves and triplets
DRUMS = 9  # the channel of percussion, counted from 0 (General MIDI 1)


class Tone(NamedTuple):
    """One tone as played: onset and duration in quarters, on the grid; `pitch` a MIDI number.

    `velocity` tells how hard it is struck, 1 to 127.
    """

    onset: Fraction
    duration: Fraction
    pitch: int
    velocity: int


@dataclass(slots=True)
class Player:
    """What one track plays on one channel."""

    name: str
    channel: int
    program: int = 0  # from 1; 0 if the file names none
    tones: list[Tone] = field(default_factory=list)


@dataclass(slots=True)
class Played:
    """A whole file. Signs stand at times in quarters: metres, keys in fifths, tempos a minute."""

    title: str
    players: list[Player] = field(default_factory=list)
    meters: dict[Fraction, tuple[int, int]] = field(default_factory=dict)
    keys: dict[Fraction, int] = field(default_factory=dict)
    tempos: dict[Fraction, float] = field(default_factory=dict)

    @property
    def only_velocity(self) -> int | None:
        """The velocity of all tones, None where they differ; one for all is a program's default."""
        found = {tone.velocity for player in self.players for tone in player.tones}
        return found.pop() if len(found) == 1 else None


def read_played(data: bytes, name: str) -> Played:
    """Return what the file plays; InputError if it is damaged, too long or not in beats."""
    if len(data) > SIZE_LIMIT:
        raise InputError(f"{name} is MIDI of more than {SIZE_LIMIT} bytes; no score needs as much.")
    try:
        file = mido.MidiFile(file=io.BytesIO(data), clip=True, charset="utf-8")
    except (OSError, EOFError, ValueError, LookupError, TypeError) as error:
        reason = " ".join(str(error).split()) or type(error).__name__
        raise InputError(f"{name} is damaged MIDI ({reason}); export it again.") from error
    if not 0 < file.ticks_per_beat < 0x8000:
        raise InputError(f"{name} counts MIDI time in frames, not in beats; export it in beats.")
    played = Played("")
    for number, track in enumerate(file.tracks):
        _read_track(played, track, number, file.ticks_per_beat, name)
    if not any(player.tones for player in played.players):
        raise InputError(f"{name} is MIDI in which nothing is played; export the score again.")
    played.players = [player for player in played.players if player.tones]
    return played


def _read_track(played: Played, track: Any, number: int, ticks: int, name: str) -> None:
    title = ""
    players: dict[int, Player] = {}
    sounding: dict[tuple[int, int], list[tuple[Fraction, int]]] = {}
    for time, message in _timed(track, ticks, name):
        kind = message.type
        if kind == "track_name":
            title = " ".join(message.name.split())
        elif message.is_meta:
            _sign(played, message, time)
        elif kind == "program_change":
            _player(players, message.channel).program = message.program + 1
        elif kind == "note_on" and message.velocity:
            sounding.setdefault((message.channel, message.note), []).append(
                (time, message.velocity)
            )
        elif kind in ("note_on", "note_off"):
            starts = sounding.get((message.channel, message.note))
            if starts:
                _add(players, message, starts.pop(0), time)
    for player in players.values():
        player.name = title or f"Part {number + 1}"
        player.tones.sort()
    if number == 0 and not players:
        played.title = title
    played.players.extend(players[channel] for channel in sorted(players))


def _timed(track: Any, ticks: int, name: str) -> Iterator[tuple[Fraction, Any]]:
    now = 0
    for message in track:
        now += message.time
        if now > LENGTH_LIMIT * ticks:
            raise InputError(f"{name} plays for more than {LENGTH_LIMIT} quarters; no score does.")
        yield Fraction(round(Fraction(now * GRID, ticks)), GRID), message


def _player(players: dict[int, Player], channel: int) -> Player:
    return players.setdefault(channel, Player("", channel))


def _add(
    players: dict[int, Player], message: Any, begun: tuple[Fraction, int], stop: Fraction
) -> None:
    """Add the tone that a message ends; it has begun at a time with a velocity."""
    start, velocity = begun
    duration = max(stop - start, Fraction(1, GRID))
    _player(players, message.channel).tones.append(Tone(start, duration, message.note, velocity))


def _sign(played: Played, message: Any, time: Fraction) -> None:
    if message.type == "time_signature" and message.numerator and message.denominator:
        played.meters[time] = (message.numerator, message.denominator)
    elif message.type == "key_signature":
        played.keys[time] = FIFTHS.get(message.key.removesuffix("m"), 0) - (
            3 if message.key.endswith("m") else 0
        )
    elif message.type == "set_tempo" and message.tempo:
        played.tempos[time] = 60_000_000 / message.tempo


NAMES = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#", "G#"]
FIFTHS = {name: number for number, name in enumerate([*NAMES, "D#", "A#"], start=-7)}
