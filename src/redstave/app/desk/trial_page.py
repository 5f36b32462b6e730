"""What the trial page offers: who is there, what can be told, and where it begins."""

from typing import Any

from redstave import store
from redstave.analysis.leading import buried_tunes
from redstave.app.desk.opened import Opened
from redstave.app.requests import ORDINARY, TECHNIQUES
from redstave.base.errors import InputError
from redstave.model.line import LEVEL_NUMBERS
from redstave.render.changes import TECHNIQUES as TECHNIQUE_WORDS
from redstave.render.level_plan import FAMILIES
from redstave.render.typed import shortened_to
from redstave.store import Season

Json = dict[str, Any]
GROUPS = ("woodwind", "brass", "strings", "percussion", "keyboard", "voice")
MOST_OF_A_REMARK = 60  # characters shown of one in a list


def trial_page(
    season: Season, opened: Opened, first: int, last: int, who: str = "", part: str = ""
) -> Json:
    """Return what the page offers, set on bars (indices, both included) and on who is meant.

    Where one bar is given in which a tune is buried, the whole passage is meant.
    """
    analysis = opened.analysis
    bars = len(analysis.score.bars)
    if not 0 <= first <= last < bars:
        raise InputError(f"the score has {bars} bars, from 0 to {bars - 1} in this address")
    buried = next((one for one in buried_tunes(analysis) if one.first <= first <= one.last), None)
    if first == last and buried is not None:
        first, last = buried.first, buried.last
    lines = analysis.playing.lines
    there = {line.family for line in lines}
    remarks = [kept.remark for kept in store.read_remarks(season, opened.code)]
    return {
        "bars": _bars(opened, first, last),
        "first": first,
        "who": who or _first_of(opened, part, first, last),
        "buried": lines[buried.line].name if buried else "",
        "lines": [(line.name, FAMILIES.get(line.family, line.family)) for line in lines],
        "groups": [name for name in GROUPS if name in there],
        "instruments": sorted(one.name for one in analysis.book.instruments.values()),
        "levels": list(LEVEL_NUMBERS),
        "techniques": [
            (name, TECHNIQUE_WORDS["" if name == ORDINARY else name])
            for name in (*TECHNIQUES, ORDINARY)
        ],
        "remarks": [
            {
                "id": one.id,
                "words": shortened_to(one.text, MOST_OF_A_REMARK),
                "place": one.place,
                "tried": one.trial is not None,
            }
            for one in remarks
        ],
    }


def _bars(opened: Opened, first: int, last: int) -> str:
    bars = opened.analysis.score.bars
    return bars[first].number if first == last else f"{bars[first].number}-{bars[last].number}"


def _first_of(opened: Opened, part: str, first: int, last: int) -> str:
    """Return the first line that plays from a part in the bars, "" where none does."""
    playing = opened.analysis.playing
    sounding = {tone.line for tone in playing.tones if first <= tone.bar <= last}
    return next(
        (one.name for at, one in enumerate(playing.lines) if one.part == part and at in sounding),
        "",
    )
