"""Where the page itself says that a line leads: solo, espressivo, in rilievo, a main voice's sign.

The words are common practice in Italian, French, German and English (no single source). A word is
in force until the line rests for a bar, or until a word that takes it back.
"""

import re
from collections import defaultdict
from typing import NamedTuple

from redstave.model.line import Line, Playing
from redstave.model.score import Mark, Score
from redstave.players.numbering import player_numbers

LEADING = re.compile(
    r"\bsol[oi]\b|\bespr|\bcant(ab|ando)|\brilievo\b|\bmarcato il canto|\ben dehors\b"
    r"|\bhervor|\bausdrucksvoll|\bchant[ée]|\bprominent\b|\bbring(?:ing)? out\b|\bsinging\b"
    r"|\bsingend\b|\bgesangvoll|^\W*(?:la |die |the )?melod(?:y|ia|ie)\b",
    re.IGNORECASE,
)
NO_LONGER = re.compile(r"\btutti\b|\ba ?2\b|\bà ?2\b|\bunis|\baccomp|\bsemplice\b", re.IGNORECASE)


SIGN = "principal-voice"  # MusicXML 4.0: the brackets of a main voice, "H" and its end
MAIN = frozenset({"Hauptstimme", "plain"})


class Lead(NamedTuple):
    """A line (index) that the page calls leading, from `start` to `stop` in ticks."""

    line: int
    start: int
    stop: int


def marked_leads(score: Score, playing: Playing) -> tuple[Lead, ...]:
    """Return the passages in which a line is marked as leading, in order of line and time."""
    leads: list[Lead] = []
    attacks = _attacks(playing)
    for index, line in enumerate(playing.lines):
        marks = tuple(score.parts_by_id[line.part].marks_of("word", "level", "other"))
        starts = sorted(
            tick
            for mark in marks
            if _leads(mark)
            and _concerns(mark, index, line, attacks[line.part], tick := _tick(score, mark))
        )
        ends = sorted(_tick(score, mark) for mark in marks if _leads_no_longer(mark))
        leads += _passages(index, starts, ends, _sounding(score, playing, index))
    return tuple(leads)


def _leads(mark: Mark) -> bool:
    """Tell whether a word, or the sign of a main voice, says that a line leads."""
    if mark.kind != "other":
        return LEADING.search(mark.text) is not None
    said = dict(mark.attributes)
    return mark.name == SIGN and said.get("type") == "start" and said.get("symbol") in MAIN


def _leads_no_longer(mark: Mark) -> bool:
    if mark.kind != "other":
        return NO_LONGER.search(mark.text) is not None
    return mark.name == SIGN and ("type", "stop") in mark.attributes


def _attacks(playing: Playing) -> dict[str, dict[int, set[int]]]:
    """Return for each part the ticks at which tones begin, with the lines that begin there."""
    found: dict[str, dict[int, set[int]]] = defaultdict(lambda: defaultdict(set))
    for tone in playing.tones:
        found[playing.lines[tone.line].part][tone.start].add(tone.line)
    return found


def _concerns(mark: Mark, index: int, line: Line, attacks: dict[int, set[int]], tick: int) -> bool:
    """Tell whether a word on a stave is for one of its lines: the one numbered, or who plays next.

    Several lines may read one stave; "1. Solo" is the first player's only.
    """
    if player_numbers(mark.text, range(1, 9)):
        return bool(player_numbers(mark.text, line.numbers))
    first = min((start for start in attacks if start >= tick), default=None)
    return first is not None and index in attacks[first]


def _tick(score: Score, mark: Mark) -> int:
    return score.tick(mark.bar, mark.offset)


def _sounding(score: Score, playing: Playing, line: int) -> list[tuple[int, int]]:
    """Return the stretches in which a line sounds without resting for as long as a bar."""
    stretches: list[tuple[int, int]] = []
    for tone in playing.tones:
        if tone.line != line:
            continue
        if stretches and tone.start - stretches[-1][1] < score.bars[tone.bar].length:
            start, stop = stretches[-1]
            stretches[-1] = start, max(stop, tone.stop)
        else:
            stretches.append((tone.start, tone.stop))
    return stretches


def _passages(
    line: int, starts: list[int], ends: list[int], sounding: list[tuple[int, int]]
) -> list[Lead]:
    leads: list[Lead] = []
    for start in starts:
        stop = next((last for first, last in sounding if last > start), start)
        stop = min([stop, *(end for end in ends if end > start)])
        if stop > start and not (leads and start < leads[-1].stop):
            leads.append(Lead(line, start, stop))
    return leads
