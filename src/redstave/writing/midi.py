"""What players are told, as a MIDI file to listen to: one MIDI stream for each line.

Onsets are exact. What MIDI cannot say is left out: a hairpin inside a held tone, intervals smaller
than a semitone (rounded to one), and a unison of two lines with one sound, which ends with the
first of them.
"""

import io
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from mido import Message, MetaMessage, MidiFile, MidiTrack

from redstave.model.line import STEP_VELOCITY, Playing, Tone
from redstave.writing.pace import Pace, pace_of
from redstave.writing.sounds import PERCUSSION_CHANNEL, Setting, Sound, settings_of, sound_of


class Struck(NamedTuple):
    """A note on a channel; `start` and `stop` in MIDI ticks."""

    start: int
    stop: int
    channel: int
    key: int
    velocity: int


def to_midi(playing: Playing, title: str = "") -> bytes:
    """Return a MIDI file (format 1) of what the lines play, repeats not taken.

    The first stream holds the tempo, each other one a line under its name. The sounds are those of
    General MIDI; velocity is the level at which a tone begins.
    """
    tones = joined(playing.tones)
    positions = {tick for tone in tones for tick in (tone.start, tone.stop)}
    pace = pace_of(playing.tempo, positions | {point.tick for point in playing.tempo.points})
    sounds = [sound_of(playing.lines[tone.line], tone) for tone in tones]
    settings = settings_of(sounds)
    by_line: dict[int, list[Struck]] = defaultdict(list)
    for tone, sound in zip(tones, sounds, strict=True):
        by_line[tone.line].append(_struck(tone, sound, settings, pace))
    begun = {(one.channel, one.key, one.start) for struck in by_line.values() for one in struck}
    file = MidiFile(type=1, ticks_per_beat=pace.resolution, charset="utf-8")
    file.tracks.append(_tempo(pace, title))
    programs = {setting.channel: setting.program for setting in settings.values()}
    for index, line in enumerate(playing.lines):
        struck = [_ended_before(one, begun) for one in by_line[index]]
        file.tracks.append(_line(line.name, struck, programs))
    written = io.BytesIO()
    file.save(file=written)
    return written.getvalue()


def joined(tones: Iterable[Tone]) -> list[Tone]:
    """Return the tones, each that is continued without an attack made one with what follows."""
    found: list[Tone] = []
    ending: dict[tuple[int, float, int], int] = {}
    for tone in tones:
        before = ending.pop((tone.line, tone.midi, tone.start), None) if tone.continued else None
        if before is None:
            before = len(found)
            found.append(tone)
        else:
            found[before] = found[before]._replace(stop=tone.stop, stop_s=tone.stop_s)
        ending[tone.line, tone.midi, tone.stop] = before
    return found


def velocity(level: float, accent_db: float = 0.0) -> int:
    """Return the velocity, 1 to 127, of a level numbered as in `model.line`.

    An accent raises it as a synthesiser hears it: gain in decibels is 40 log10 of the velocity's
    ratio (Downloadable Sounds Level 1, its default from velocity to gain; from memory).
    """
    return min(127, max(1, round(STEP_VELOCITY * level * 10 ** (accent_db / 40))))


def _struck(tone: Tone, sound: Sound, settings: Mapping[int, Setting], pace: Pace) -> Struck:
    start = pace.tick(tone.start)
    stop = max(start + 1, pace.end(tone.stop))
    loud = velocity(tone.level, tone.accent_db)
    if not sound.program:
        return Struck(start, stop, PERCUSSION_CHANNEL, sound.key, loud)
    return Struck(start, stop, settings[sound.program].channel, _key(tone.midi), loud)


def _key(midi: float) -> int:
    """Return the nearest key; what lies outside MIDI's is moved by octaves."""
    key = round(midi)
    return key if 0 <= key <= 127 else key % 12 + (0 if key < 0 else 108)


def _ended_before(one: Struck, begun: set[tuple[int, int, int]]) -> Struck:
    """End a note a tick early where the same key begins anew, in this line or another.

    Else the end of the one could be taken for that of the other.
    """
    repeated = (one.channel, one.key, one.stop) in begun and one.stop > one.start + 1
    return one._replace(stop=one.stop - 1) if repeated else one


def _tempo(pace: Pace, title: str) -> MidiTrack:
    messages = [MetaMessage("track_name", name=title)] if title else []
    at = 0
    for step in pace.steps:
        messages.append(MetaMessage("set_tempo", tempo=step.microseconds, time=step.tick - at))
        at = step.tick
    return MidiTrack([*messages, MetaMessage("end_of_track")])


def _line(name: str, struck: Sequence[Struck], programs: dict[int, int]) -> MidiTrack:
    messages = [MetaMessage("track_name", name=name)]
    messages += [
        Message("program_change", channel=channel, program=programs[channel] - 1)
        for channel in sorted({one.channel for one in struck} - {PERCUSSION_CHANNEL})
    ]
    at = 0
    for tick, _, message in sorted(_events(struck), key=lambda event: event[:2]):
        messages.append(message.copy(time=tick - at))
        at = tick
    return MidiTrack([*messages, MetaMessage("end_of_track")])


def _events(struck: Sequence[Struck]) -> Iterable[tuple[int, int, Message]]:
    """Yield each note's beginning and end; at one tick, what ends stands first."""
    for one in struck:
        yield (
            one.start,
            1,
            Message("note_on", channel=one.channel, note=one.key, velocity=one.velocity),
        )
        yield one.stop, 0, Message("note_off", channel=one.channel, note=one.key)
