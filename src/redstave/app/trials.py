"""Trying changes on an entry, and asking how a line could be heard."""

from collections.abc import Sequence

from redstave.analysis import Analysis
from redstave.analysis.leading import Buried, buried_tunes
from redstave.analysis.passages import Heard, heard
from redstave.app.hear import bar_range, printed
from redstave.app.requests import Request, changes_of
from redstave.base.errors import InputError
from redstave.model.change import Change
from redstave.render.changes import changes_text, way_text
from redstave.trial import LineTrial, Outcome, Trial, WayOut, attempt, select_lines, ways_out
from redstave.trial.compare import rows_of

Json = dict[str, object]
TUNES = "tunes"
LOWEST_DB = -99.0  # stands for what gives the ear nothing at all: JSON has no infinity


def try_changes(analysis: Analysis, requests: Sequence[Request]) -> Json:
    """Return what is heard before and after the changes asked for; see docs/json.md."""
    changes = [change for one in requests for change in changes_of(one, analysis)]
    trial = attempt(analysis, changes)
    return {
        "hall": analysis.hall.name,
        "changes": _changes(trial),
        "lines": [_line(one) for one in trial.lines],
    }


def help_heard(analysis: Analysis, who: str, bars: str) -> Json:
    """Return ways to have a line heard in some bars, or every covered tune where `who` is "tunes".

    The shape is documented in docs/json.md.
    """
    if who.strip().casefold() == TUNES:
        first, last = bar_range(analysis, bars)
        wanted = [one for one in buried_tunes(analysis) if first <= one.first and one.last <= last]
    else:
        wanted = [_wanted(analysis, who, bars)]
    return {"hall": analysis.hall.name, "helped": [_helped(analysis, one) for one in wanted]}


def _wanted(analysis: Analysis, who: str, bars: str) -> Buried:
    """Return the one line that is meant and sounds in the bars."""
    ids = select_lines(analysis.playing, who)
    if not bars:
        raise InputError(f"say in which bars {who} should be heard: such as 14-16")
    first, last = bar_range(analysis, bars)
    sounding = [
        at
        for at, line in enumerate(analysis.playing.lines)
        if line.id in ids and rows_of(analysis.hearing, at, first, last).size
    ]
    if not sounding:
        raise InputError(
            f"nothing is known of how {who} sounds in bars {bars}: there are rests, "
            "or the instrument is not understood"
        )
    if len(sounding) > 1:
        names = ", ".join(analysis.playing.lines[at].name for at in sounding)
        raise InputError(f'"{who}" means several lines in bars {bars} ({names}); name one of them')
    return Buried(sounding[0], first, last)


def _helped(analysis: Analysis, one: Buried) -> Json:
    rows = rows_of(analysis.hearing, one.line, one.first, one.last)
    bars = analysis.score.bars
    return {
        "line": analysis.playing.lines[one.line].name,
        "part": analysis.playing.lines[one.line].part,
        "first_bar": printed(bars[one.first].number),
        "last_bar": printed(bars[one.last].number),
        "before": _heard(heard(analysis.hearing, rows)),
        "ways": [_way(way) for way in ways_out(analysis, *one)],
    }


def _way(way: WayOut) -> Json:
    return {
        "kind": str(way.kind),
        "cost": round(way.cost, 1),
        "text": way_text(way),
        "changes": _changes(way.trial)["each"],
        "after": _heard(way.after),
    }


def _changes(trial: Trial) -> Json:
    return {"text": changes_text(trial), "each": [_change(trial, one) for one in trial.changes]}


def _change(trial: Trial, change: Change) -> Json:
    bars = trial.before.score.bars
    return {
        "lines": [one.name for one in trial.before.playing.lines if one.id in change.lines],
        "first_bar": printed(bars[change.first].number),
        "last_bar": printed(bars[change.last].number),
        "text": changes_text(trial, [change]),
    }


def _line(one: LineTrial) -> Json:
    return {
        "line": one.line.name,
        "part": one.line.part,
        "before": _outcome(one.before),
        "after": _outcome(one.after),
        "lost": one.lost,
        "won": one.won,
    }


def _outcome(found: Outcome | None) -> Json | None:
    if found is None:
        return None
    loudness = {
        "loudness_sone": round(found.loudness_sone, 3),
        "partial_sone": round(found.partial_sone, 4),
    }
    return _heard(found.heard) | loudness


def _heard(found: Heard) -> Json:
    return {
        "margin_db": round(max(found.margin_db, LOWEST_DB), 1),
        "sd_db": round(found.sd_db, 1),
        "state": str(found.state),
    }
