"""Which sound of General MIDI plays what a line is told, and on which channel."""

import tomllib
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from redstave.instruments.lexicon import lexicon
from redstave.model.line import Line, Tone

PERCUSSION_CHANNEL = 9  # the tenth, counted from 0
CHANNELS = tuple(channel for channel in range(16) if channel != PERCUSSION_CHANNEL)


class Sound(NamedTuple):
    """A program of General MIDI, from 1; or a key of the percussion channel, with program 0."""

    program: int
    key: int = 0


class Setting(NamedTuple):
    """A channel, from 0, and the program that it is set to."""

    channel: int
    program: int


def sound_of(line: Line, tone: Tone) -> Sound:
    """Return the sound for a tone of a line."""
    table = _table()
    if tone.unpitched:
        return Sound(0, table["keys"].get(line.instrument, table["keys"]["other"]))
    for group in (line.instrument, line.family):
        program = table["techniques"].get(group, {}).get(tone.technique)
        if program is not None:
            return Sound(program)
    if line.section and line.family in table["sections"]:
        return Sound(table["sections"][line.family])
    return Sound(_programs().get(line.instrument) or table["families"][line.family])


def settings_of(sounds: Iterable[Sound]) -> Mapping[int, Setting]:
    """Return the channel for every program that the tones of a score need.

    There are fifteen channels for pitch. Where more programs are needed, those with the fewest
    tones are played by the sound next to them in General MIDI's list, which is sorted by kind.
    """
    counted = Counter(sound.program for sound in sounds if sound.program)
    kept = sorted(program for program, _ in counted.most_common(len(CHANNELS)))
    settings = {
        program: Setting(channel, program) for program, channel in zip(kept, CHANNELS, strict=False)
    }
    return {
        program: settings[min(kept, key=lambda other: (abs(other - program), other))]
        for program in counted
    }


@cache
def _table() -> dict[str, Any]:
    text = files("redstave.writing").joinpath("general_midi.toml").read_text("utf-8")
    return tomllib.loads(text)


@cache
def _programs() -> dict[str, int]:
    """Return the program of each instrument that General MIDI has, or its nearest."""
    found: dict[str, int] = dict(_table()["instruments"])
    for program, instrument in sorted(lexicon().programs.items()):
        found.setdefault(instrument, program)
    return found
