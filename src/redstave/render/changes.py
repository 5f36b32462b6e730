"""Sentences about changes: what to write in the parts, and what comes of it."""

from collections.abc import Sequence
from itertools import groupby

from redstave.model.change import (
    Change,
    LeftOut,
    Level,
    Octave,
    Players,
    Step,
    TakenOver,
    Technique,
)
from redstave.model.line import Line, Playing, level_name
from redstave.model.score import Score
from redstave.players.lines import printed_name
from redstave.render.wording import bar_name, listed
from redstave.trial import Trial, WayOut
from redstave.trial.compare import Outcome, outcome

MOST_LINES = 6  # named before the rest is counted
CHOIRS = {"woodwind": "the woodwind", "brass": "the brass", "strings": "the strings"}
COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven")
TECHNIQUES = {
    "": "in the ordinary way",
    "pizz": "pizzicato",
    "mute": "with mutes",
    "tremolo": "tremolo",
    "harmonic": "in harmonics",
    "stopped": "stopped",
    "col-legno": "col legno",
}
ESTIMATE = "This is an estimate; the ear decides."


def changes_text(trial: Trial, changes: Sequence[Change] = ()) -> str:
    """Return what to change: "Mark Horn 1. 2 p in bars 3–4, and leave out …".

    All changes of a trial, unless some of them are given.
    """
    score, playing = trial.before.score, trial.before.playing
    clauses = []
    for (first, last), together in groupby(
        changes or trial.changes, key=lambda one: (one.first, one.last)
    ):
        deeds = [_deed(change, score, playing, trial.after.playing) for change in together]
        clauses.append(f"{' and '.join(deeds)} in {bars_text(score, first, last)}")
    text = ", and ".join(clauses)
    return f"{text[:1].upper()}{text[1:]}"


def way_text(way: WayOut) -> str:
    """Return a way out as a sentence with the margin before and after, and its uncertainty."""
    name = way.trial.before.playing.lines[way.line].name
    before, after = way.before.margin_db, way.after.margin_db
    return (
        f"{changes_text(way.trial)}: the margin of {name} rises from {decibels(before)} to "
        f"{decibels(after)} dB (± {way.after.sd_db:.0f}), {way.after.state}. {ESTIMATE}"
    )


def eased_text(trial: Trial, line: int) -> str:
    """Return a trial after which a finding is gone, with a line's loudness before and after."""
    name = trial.before.playing.lines[line].name
    before, after = (
        outcome(one.hearing, line, trial.first, trial.last) for one in (trial.before, trial.after)
    )
    told = f"{changes_text(trial)}: nothing is left to remark there"
    if before is None or after is None:
        return f"{told}. {ESTIMATE}"
    way = "rises" if after.partial_sone > before.partial_sone else "falls"
    figures = [f"{one.partial_sone:.1f}" for one in (before, after)]
    if figures[0] == figures[1]:
        return f"{told}. {ESTIMATE}"
    return f"{told}; {name} {way} from {figures[0]} to {figures[1]} sone amid all else. {ESTIMATE}"


def bars_text(score: Score, first: int, last: int) -> str:
    """Return "bar 3" or "bars 3–5" for bars by their indices."""
    names = [bar_name(first, score), bar_name(last, score)]
    return f"bar {names[0]}" if first == last else f"bars {names[0]}–{names[1]}"


def decibels(value: float) -> str:
    """Return a level difference with its sign, to the decibel: "+7", "−2", "0"."""
    number = round(round(value, 1))  # by way of the tenth that the data show
    return f"{number:+d}".replace("-", "−") if number else "0"


def outcome_text(outcome: Outcome | None) -> str:
    """Return what is heard of a line: "covered, −2 ± 5 dB"; "silent" where it does not sound."""
    if outcome is None:
        return "silent"
    found = outcome.heard
    return f"{found.state}, {decibels(found.margin_db)} ± {found.sd_db:.0f} dB"


def _deed(change: Change, score: Score, playing: Playing, after: Playing) -> str:
    there = _playing_in(playing, change.first, change.last)
    meant = [line for line in there if line.id in change.lines]
    several = len(meant) > 1
    who = who_text(meant, there, score)
    match change.what:
        case Level(level):
            return f"mark {who} {level_name(level)}"
        case Step(steps):
            count = f"{_count(abs(steps))} level{'' if abs(steps) == 1 else 's'}"
            way = "louder" if steps > 0 else "softer"
            return f"mark {who} {count} {way}{_levels(change, after)}"
        case Players(players):
            noun = "player" if players == 1 else "players"
            return f"let {_count(players)} {noun} {'each ' if several else ''}of {who} play"
        case LeftOut():
            return f"leave out {who}"
        case Octave(octaves):
            return f"move {who} {_octaves(octaves)}"
        case Technique(technique):
            return f"let {who} play {TECHNIQUES.get(technique, technique)}"
        case TakenOver() as taken:
            moved = f", {_octaves(taken.octaves)}," if taken.octaves else ""
            each = " each" if several else ""
            return f"give {who} to {_deputy(taken)}{each}{moved}"


def who_text(meant: Sequence[Line], there: Sequence[Line], score: Score) -> str:
    """Return who is meant among the lines that play.

    "the brass" for all of a choir, a stave's name for all its lines, else the names of the lines.
    """
    for family, choir in CHOIRS.items():
        members = [line for line in there if line.family == family]
        if list(meant) == members and len({line.instrument for line in meant}) > 1:
            return choir
    names: list[str] = []
    for part, group in groupby(meant, key=lambda line: line.part):
        ones = list(group)
        whole = len(ones) > 1 and ones == [line for line in there if line.part == part]
        names += [printed_name(score.parts_by_id[part])] if whole else [line.name for line in ones]
    return listed(list(dict.fromkeys(names)), MOST_LINES)


def _playing_in(playing: Playing, first: int, last: int) -> list[Line]:
    """Return the lines that have a note in some bars."""
    sounding = {tone.line for tone in playing.tones if first <= tone.bar <= last}
    return [line for at, line in enumerate(playing.lines) if at in sounding]


def _deputy(taken: TakenOver) -> str:
    article = "an" if taken.name[:1].lower() in "aeiou" else "a"
    if taken.players == 1:
        return f"{article} {taken.name.lower()}"
    return f"{_count(taken.players)} players of the {taken.name.lower()}"


def _octaves(octaves: int) -> str:
    count = "an octave" if abs(octaves) == 1 else f"{_count(abs(octaves))} octaves"
    return f"{count} {'higher' if octaves > 0 else 'lower'}"


def _count(number: float) -> str:
    whole = number == int(number)
    return COUNTS[int(number)] if whole and 0 <= number < len(COUNTS) else f"{number:g}"


def _levels(change: Change, after: Playing) -> str:
    """Return the levels that result, in brackets: " (p)", " (between pp and mf)"."""
    chosen = {at for at, line in enumerate(after.lines) if line.id in change.lines}
    found = {
        round(level)
        for tone in after.tones
        if tone.line in chosen and change.first <= tone.bar <= change.last
        for level in (tone.level, tone.level_stop)
    }
    names = list(dict.fromkeys(level_name(level) for level in sorted(found)))
    return f" ({_span(names)})" if names else ""


def _span(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"between {names[0]} and {names[-1]}"
