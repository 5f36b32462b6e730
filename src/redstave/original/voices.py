"""The voices of the original: tune, bass, inner voices, figures."""

from collections.abc import Sequence

from redstave.model.line import Playing
from redstave.model.match import SourceTone, SourceVoice, VoiceOverride
from redstave.model.role import Role
from redstave.model.score import Score

VOICES = (
    SourceVoice("tune", Role.TUNE),
    SourceVoice("bass", Role.BASS),
    SourceVoice("inner 1", Role.INNER),
)


def source_voices(
    original: Score, playing: Playing, overrides: Sequence[VoiceOverride] = ()
) -> tuple[tuple[SourceTone, ...], tuple[SourceVoice, ...]]:
    """Return the tones of the original, each with its voice, and the voices."""
    tones = playing.tones
    tops: dict[int, float] = {}
    lows: dict[int, float] = {}
    for tone in tones:
        tops[tone.start] = max(tops.get(tone.start, 0.0), tone.midi)
        lows[tone.start] = min(lows.get(tone.start, 128.0), tone.midi)
    first: dict[str, int] = {}
    for part in original.parts:
        first[part.id] = sum(first.values())
    notes = original.notes_by_id
    found = []
    staves = 0
    for part in original.parts:
        for note in part.notes:
            first[note.id] = staves + note.stave
        staves += part.staves
    for tone in tones:
        top, low = tone.midi == tops[tone.start], tone.midi == lows[tone.start]
        voice = 0 if top else 1 if low else 2
        stave = first[notes[tone.notes[0]].id]
        found.append(
            SourceTone(tone.notes, tone.bar, tone.start, tone.stop, round(tone.midi), stave, voice)
        )
    return tuple(found), VOICES
