"""What became of the piano piece in an entry, as data; the shape is documented in docs/json.md."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from redstave.analysis import Analysis
from redstave.analysis.compass import sounding_name
from redstave.analysis.form import Colour, Turn
from redstave.analysis.page import note_name
from redstave.app.hear import printed
from redstave.base.errors import InputError
from redstave.model.match import NO_BAR
from redstave.model.score import Score
from redstave.original import carrier_strips, match_of
from redstave.original.beside import Beside, beside
from redstave.original.form import form_of
from redstave.original.habits import Habits, habits
from redstave.original.peak import Peak, peak
from redstave.original.roles import roles_from_original
from redstave.original.strips import StripBar
from redstave.reading import read
from redstave.render.origin_view import origin_view
from redstave.render.view import OriginView

Json = dict[str, object]
MISSING = "no original was given; name the piano piece with --original"
LEAST_IN_COMMON = 0.1  # of the bars of the original: with less it is another piece (ours)


def with_original(analysis: Analysis, original: Path) -> Analysis:
    """Return the analysis of an entry beside its original, read from a file.

    Raises InputError where the original holds no music, or where the two have nothing in common.
    """
    piece = read(original)
    if not any(note.kind == "pitched" for part in piece.parts for note in part.notes):
        raise InputError(
            f"the original {original.name} holds no notes; give the piano piece as MusicXML"
        )
    found = replace(analysis, original=piece, earlier=analysis)
    match = match_of(found)
    if match is None or len(match.entry_bars_of) < LEAST_IN_COMMON * len(piece.bars):
        raise InputError(
            f"the original {original.name} and the entry have nothing in common; is it the piano "
            "piece this entry was made from?"
        )
    return following_original(found)


def following_original(analysis: Analysis) -> Analysis:
    """Return the analysis with the tune in the hands of those who carry the original's."""
    if analysis.original is None:
        return analysis
    return replace(analysis, from_original=roles_from_original(analysis), earlier=analysis)


def with_cuts(analysis: Analysis, bars: str) -> Analysis:
    """Return an analysis whose sections begin at the bars named, as printed: "9, 17, 29"."""
    index = {bar.number: bar.index for bar in reversed(analysis.score.bars)}
    names = bars.replace(",", " ").split()
    for name in names:
        if name not in index:
            numbers = [bar.number for bar in analysis.score.bars]
            raise InputError(
                f'no section can begin at bar "{name}": the bars of this score go from '
                f"{numbers[0]} to {numbers[-1]}"
            )
    return replace(analysis, cuts=tuple(index[name] for name in names)) if names else analysis


def origin(analysis: Analysis) -> Json:
    """Return what became of the piano piece; the analysis must have its original."""
    both, kept = beside(analysis), habits(analysis)
    if both is None or kept is None:
        raise InputError(MISSING)
    return {
        "transposition_semitones": both.match.transposition,
        "augmentation": float(both.match.augmentation),
        "bars": list(_bars(both)),
        "voices": [{"name": one.name, "role": str(one.role)} for one in both.match.voices],
        "carried": list(_carried(analysis, both)),
        "left_out": list(_left_out(both)),
        "added": list(_added(both)),
        "unfinished": [
            [_number(both.original, bar) for bar in run] for run in both.match.unfinished
        ],
        "arcs_copied_share": _rounded(kept.arcs_copied),
        "habits": _habits(kept),
        **_sections(analysis),
        "peak": _peak(analysis, peak(analysis)),
    }


def origin_told(analysis: Analysis) -> OriginView:
    """Return the same in words; the analysis must have its original."""
    told = origin_view(analysis, heard=False)
    if told is None:
        raise InputError(MISSING)
    return told


def _bars(both: Beside) -> Iterator[Json]:
    for one in both.match.bars:
        yield {
            "entry": _number(both.entry, one.entry),
            "original": _number(both.original, one.original),
            "confidence": round(one.confidence, 2),
            "pinned": one.pinned,
            "entry_index": one.entry if one.entry != NO_BAR else None,
            "original_index": one.original if one.original != NO_BAR else None,
        }


def _number(score: Score, bar: int) -> int | str | None:
    return printed(score.bars[bar].number) if bar != NO_BAR else None


def _carried(analysis: Analysis, both: Beside) -> Iterator[Json]:
    for strip in carrier_strips(analysis, heard=False):
        for bar in strip.bars:
            yield {
                "original_bar": _number(both.original, bar.original),
                "original_index": bar.original,
                "entry_bar": _number(both.entry, bar.entry),
                "entry_index": bar.entry,
                "voice": both.match.voices[strip.voice].name,
                "share": round(bar.carried, 2),
                "carriers": list(_carriers(analysis, bar)),
            }


def _carriers(analysis: Analysis, bar: StripBar) -> Iterator[Json]:
    for one in bar.carriers:
        line = analysis.playing.lines[one.line]
        yield {
            "line": line.name,
            "part": line.part,
            "octave_shift": one.octave_shift,
            "share": round(one.share, 2),
            "level": round(one.level, 1),
        }


def _left_out(both: Beside) -> Iterator[Json]:
    score, source = both.original, both.match.source
    for at in both.match.left_out:
        tone = source[at]
        yield {
            "original_bar": _number(score, tone.bar),
            "original_index": tone.bar,
            "beat": _beat(score, tone.start - score.bars[tone.bar].start),
            "voice": both.match.voices[tone.voice].name,
            "pitch": note_name(score.notes_by_id[tone.notes[0]]),
            "quarters": round((tone.stop - tone.start) / score.ticks_per_quarter, 3),
            "notes": list(tone.notes),
        }


def _added(both: Beside) -> Iterator[Json]:
    score, playing = both.entry, both.playing
    for at in both.match.added:
        tone = playing.tones[at]
        yield {
            "entry_bar": _number(score, tone.bar),
            "entry_index": tone.bar,
            "beat": _beat(score, tone.start - score.bars[tone.bar].start),
            "line": playing.lines[tone.line].name,
            "pitch": sounding_name(tone.midi),
            "quarters": round((tone.stop - tone.start) / score.ticks_per_quarter, 3),
            "notes": list(tone.notes),
        }


def _beat(score: Score, offset: int) -> float:
    return round(float(score.beat(offset)), 4)


def _rounded(share: float | None) -> float | None:
    return None if share is None else round(share, 3)


def _habits(kept: Habits) -> Json:
    return {
        "arcs_copied_share": _rounded(kept.arcs_copied),
        "octaves_kept_share": _rounded(kept.octaves_kept),
        "hands_apart_share": _rounded(kept.hands_apart),
        "levels_flat_share": _rounded(kept.levels_flat),
    }


def _sections(analysis: Analysis) -> Json:
    """Return the sections and what changes from each to the next; empty where nothing is known."""
    if analysis.slices.start.size == 0:
        return {"sections": [], "turns": []}
    found = form_of(analysis)
    return {
        "sections": [_section(analysis.score, one) for one in found.sections],
        "turns": [_turn(one) for one in found.turns],
    }


def _section(score: Score, one: Colour) -> Json:
    return {
        "first_bar": _number(score, one.section.first),
        "last_bar": _number(score, one.section.last),
        "opened": one.section.opened,
        "instruments": [
            {"instrument": name, "share": round(share, 2)} for name, share in one.instruments
        ],
        "families": [{"family": name, "share": round(share, 2)} for name, share in one.families],
        "lines": round(one.lines, 1),
        "attacks_a_quarter": round(one.attacks, 2),
        "low": sounding_name(one.low),
        "centre": sounding_name(one.centre),
        "high": sounding_name(one.high),
        "level": round(one.level, 1),
        "levels": [round(level, 1) for level in one.levels],
        "tutti_share": round(one.tutti, 2),
        "rhythm": _rhythm(one),
    }


def _rhythm(one: Colour) -> Json:
    onsets = one.pattern.onsets if one.pattern else ()
    return {
        "onsets": [float(at) for at in onsets],
        "bars": one.pattern.bars if one.pattern else 0,
    }


def _turn(turn: Turn) -> Json:
    return {
        "distance": round(turn.distance, 2),
        "semitones": round(turn.height, 1),
        "levels": round(turn.level, 1),
        "density_ratio": round(turn.density, 2),
        "families": list(turn.families),
    }


def _peak(analysis: Analysis, found: Peak | None) -> Json:
    score = analysis.score
    return {
        "original": [_number(score, bar) for bar in found.source] if found else [],
        "fullest": [_number(score, bar) for bar in found.fullest] if found else [],
    }
