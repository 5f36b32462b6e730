"""The whole way from an entry and its original to a Match."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from redstave.analysis import Analysis
from redstave.model.line import WORKING_ORCHESTRA, Playing
from redstave.model.match import Match, Pin, VoiceOverride
from redstave.model.score import Score
from redstave.original.bars import Route, bar_map
from redstave.original.notes import note_map
from redstave.original.sounding import sounding
from redstave.original.unfinished import unfinished
from redstave.original.voices import source_voices
from redstave.players import play
from redstave.players.repeats import unfold


def match(
    entry: Score,
    playing: Playing,
    original: Score,
    pins: Sequence[Pin] = (),
    voices: Sequence[VoiceOverride] = (),
) -> Match:
    """Set an entry, as its players are told to play it, beside the original it was made from.

    Where the two have nothing in common the Match has no matched bars; it never fails for that.
    Raises InputError for a pin or a voice set in a bar that is not there.
    """
    told = play(original, WORKING_ORCHESTRA)
    here, there = sounding(entry, playing.tones), sounding(original, told.tones)
    mapped = bar_map(here, there, route(entry, original), pins)
    source, names = source_voices(original, told, voices)
    voice = np.array([one.voice for one in source], dtype=np.int64)
    techniques = [tone.technique for tone in playing.tones]
    roles = [one.role for one in names]
    carried = note_map(here, there, mapped, voice, roles, techniques)
    return Match(
        transposition=mapped.transposition,
        augmentation=mapped.augmentation,
        bars=mapped.bars,
        source=source,
        voices=names,
        carriers=carried.carriers,
        left_out=carried.left_out,
        added=carried.added,
        unfinished=unfinished(mapped.bars, source, carried.left_out),
    )


def route(entry: Score, original: Score) -> Route:
    """Return the bars of an entry as they are played, and where signs lead back in its original."""
    rows = [passing.bar for passing in unfold(entry).passings]
    there = [passing.bar for passing in unfold(original).passings]
    signs = {(bar, then) for bar, then in pairwise(there) if then != bar + 1}
    return Route(np.array(rows, dtype=np.int64), tuple(sorted(signs)))


def match_of(analysis: Analysis) -> Match | None:
    """Return the Match of an analysis with its original, made once; None without an original."""
    return analysis.remember(_match_of)


def _match_of(analysis: Analysis) -> Match | None:
    if analysis.original is None:
        return None
    earlier = analysis.earlier
    if (
        earlier is not None
        and analysis.keeps_notes
        and earlier.score is analysis.score
        and earlier.original is analysis.original
        and earlier.pins == analysis.pins
        and earlier.voice_overrides == analysis.voice_overrides
    ):
        return match_of(earlier)
    return match(
        analysis.score,
        analysis.playing,
        analysis.original,
        analysis.pins,
        analysis.voice_overrides,
    )
