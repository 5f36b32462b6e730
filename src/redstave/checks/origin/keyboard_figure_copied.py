"""The check `keyboard-figure-copied`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.checks.grouping import joined
from redstave.checks.needs import with_original
from redstave.checks.registry import Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.original.keyboard import Copied, copied_figures, unsuited


@check(
    "keyboard-figure-copied",
    Claim.QUESTION,
    sources=("filmtips", "wagner-chart", "common-practice"),
    settings=(
        Setting(
            "least_bars",
            2.0,
            "bars",
            "a figure must be copied in so many bars of a part",
            "common-practice",
        ),
    ),
)
def keyboard_figure_copied(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about figures of a pianist's hand that one player has to play note by note.

    What it reports
        Broken octaves, tremolos of the hand, arpeggios over two octaves and broken chords with
        leaps that stand in one part exactly as in one hand, where they lie badly on the instrument.

    Why it matters
        What falls under a hand is a leap for a breath or a slide. The orchestra has other means for
        the same effect: a held chord with a plucked outline, two players in turn, a harp.

    How it is computed
        A bar of a part is a copy where nearly all its tones come from one hand, at the same moments
        and in the same octave order, and nearly nothing of that hand is missing. The kind of figure
        is read from the part; each kind has its instruments on which it lies badly.

    Limits
        Which figure lies badly on which instrument is a rule of thumb: a good player can do much.
        Clarinets, flutes in broken chords, strings, harp and keyboards are not asked about.

    Sources
        filmtips: left-hand broken chords are awkward crossings or breathy runs. wagner-chart: the
        kinds of figures. Which instrument suits which is ours (common practice, no source).
    """
    with_original(analysis)
    lines = analysis.playing.lines
    by_part: dict[str, list[Copied]] = {}
    for one in copied_figures(analysis):
        if unsuited(one, lines[one.line].instrument):
            by_part.setdefault(lines[one.line].part, []).append(one)
    for part, found in by_part.items():
        bars = len({bar for one in found for bar in range(one.first, one.last + 1)})
        if bars >= limits["least_bars"]:
            yield Finding(
                "keyboard-figure-copied",
                joined(_spot(analysis, part, one) for one in found),
                _evidence(found, bars, limits["least_bars"]),
                (("figures", in_words(dict.fromkeys(str(one.figure) for one in found))),),
            )


def _evidence(found: list[Copied], bars: int, least_bars: float) -> tuple[Evidence, ...]:
    return (
        Evidence("bars played as the hand plays them", bars, "bars", least_bars),
        Evidence("widest span in a bar", max(one.span for one in found), "semitones"),
        Evidence("speed", round(max(one.rate for one in found), 1), "tones a second"),
    )


def _spot(analysis: Analysis, part: str, one: Copied) -> Spot:
    note = analysis.score.notes_by_id[one.notes[0]]
    return Spot(note.bar, note.offset, part, note.stave, one.last, one.notes)
