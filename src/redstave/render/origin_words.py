"""Sentences on what became of the piano piece: bars, tones, habits, where it is fullest."""

from collections import Counter
from collections.abc import Iterable, Iterator

from redstave.analysis import Analysis
from redstave.model.match import NO_BAR
from redstave.model.score import Score
from redstave.original.beside import Beside
from redstave.original.habits import Habits, habits
from redstave.original.peak import Peak, peak
from redstave.render.wording import bar_name, listed

INTERVALS = (
    "", "a semitone", "a tone", "a minor third", "a major third", "a fourth", "a tritone",
    "a fifth", "a minor sixth", "a major sixth", "a minor seventh", "a major seventh",
)  # fmt: skip
MOST_RUNS = 6


def sentences(analysis: Analysis, both: Beside) -> tuple[str, ...]:
    """Return what became of the piano piece, most important first."""
    return (
        _bars(both),
        *_missing(both),
        *_inserted(both),
        *_tones(both),
        *_habits(habits(analysis)),
        *_peaks(analysis, peak(analysis)),
    )


def _bars(both: Beside) -> str:
    there, all_ = len(both.match.entry_bars_of), len(both.original.bars)
    how = [_key(both.match.transposition)]
    if both.match.augmentation != 1:
        how.append(f"in note values {float(both.match.augmentation):g} times as long")
    bars = f"All {all_}" if there == all_ else f"{there} of the {all_}"
    return f"{bars} bars of the piano piece are in this score, {' and '.join(how)}."


def _key(semitones: int) -> str:
    if not semitones:
        return "in the piano's key"
    return f"{INTERVALS[abs(semitones) % 12]} {'higher' if semitones > 0 else 'lower'}"


def _missing(both: Beside) -> Iterator[str]:
    missing = [bar for bar in range(len(both.original.bars)) if bar not in both.match.entry_bars_of]
    if missing:
        yield f"Bars of the piano piece that are not there: {bar_runs(missing, both.original)}."
    if both.match.unfinished:
        bars = [bar for first, last in both.match.unfinished for bar in range(first, last + 1)]
        yield f"Only begun: {bar_runs(bars, both.original)} of the piano piece."


def _inserted(both: Beside) -> Iterator[str]:
    new = [one.entry for one in both.match.bars if one.original == NO_BAR]
    if new:
        yield f"From no bar of the piano piece: {bar_runs(new, both.entry)} of the score."


def _tones(both: Beside) -> Iterator[str]:
    source, match = both.match.source, both.match
    lost = [source[at] for at in match.left_out if source[at].bar in match.entry_bars_of]
    there = sum(tone.bar in match.entry_bars_of for tone in source)
    if there:
        share = round(100 * (1 - len(lost) / there))
        yield f"Of the piano's {there} tones in these bars {share} % sound, in some octave."
    if lost:
        voices = Counter(match.voices[tone.voice].name for tone in lost)
        told = listed([f"{many} of {_voice(name)}" for name, many in voices.most_common()], 4)
        bars = bar_runs(sorted({tone.bar for tone in lost}), both.original)
        yield f"Tones that nobody plays: {told}, in {bars}."
    played = sum(not tone.unpitched for tone in both.playing.tones)
    if played and match.added:
        share = round(100 * len(match.added) / played)
        yield f"{share} % of the score's tones come from no tone of the piano at that moment."


def _voice(name: str) -> str:
    return name if name[-1:].isdigit() else f"the {name}"


def _habits(kept: Habits | None) -> Iterator[str]:
    if kept is None:
        return
    if kept.arcs_copied is not None:
        yield (
            f"{round(100 * kept.arcs_copied)} % of the slurs of winds and strings begin and end "
            "where the pianist's do."
        )
    if kept.octaves_kept is not None:
        yield (
            f"{round(100 * kept.octaves_kept)} % of the octaves in one hand stay in both the "
            "piano's octaves."
        )
    if kept.hands_apart:
        yield (
            f"In {round(100 * kept.hands_apart)} % of the bars the two hands went to different "
            "families."
        )
    if kept.levels_flat:
        yield (
            f"In {round(100 * kept.levels_flat)} % of the bars with three lines or more all have "
            "the pianist's level."
        )


def _peaks(analysis: Analysis, found: Peak | None) -> Iterator[str]:
    if found is None or not found.source or not found.fullest:
        return
    height = bar_runs(found.source, analysis.score)
    fullest = bar_runs(found.fullest, analysis.score)
    yield f"The piano piece is loudest in {height}; the score is fullest in {fullest}."


def bar_runs(bars: Iterable[int], score: Score) -> str:
    """Return "bar 5" or "bars 3–5, 9 and 12" of bars (indices) of a score."""
    runs: list[list[int]] = []
    for bar in sorted(set(bars)):
        if runs and bar == runs[-1][1] + 1:
            runs[-1][1] = bar
        else:
            runs.append([bar, bar])
    names = [_run(first, last, score) for first, last in runs]
    one = len(runs) == 1 and runs[0][0] == runs[0][1]
    return f"{'bar' if one else 'bars'} {listed(names, MOST_RUNS)}"


def _run(first: int, last: int, score: Score) -> str:
    name = bar_name(first, score)
    return name if first == last else f"{name}–{bar_name(last, score)}"
