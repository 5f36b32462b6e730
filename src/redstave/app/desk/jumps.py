"""Where a reader can go at once: bars as printed, rehearsal letters, sections."""

from redstave.analysis.sections import Section, sections
from redstave.app.desk.opened import Opened
from redstave.render.ink import rehearsal_letters

Json = dict[str, object]


def jumps(opened: Opened) -> Json:
    """Return the numbers of all bars, the letters and the sections with the bar each begins at."""
    score = opened.analysis.score
    return {
        "bars": [opened.bar_name(bar.index) for bar in score.bars],
        "letters": [{"bar": bar, "text": text} for bar, text in rehearsal_letters(score)],
        "sections": [
            {"first": one.first, "last": one.last, "words": _words(opened, one.first, one.last)}
            | {"opened": one.opened}
            for one in _sections(opened)
        ],
    }


def _sections(opened: Opened) -> tuple[Section, ...]:
    """Return the sections as the page marks them, or as the teacher hears them."""
    analysis = opened.analysis
    return sections(analysis.score, analysis.playing.tempo, cuts=analysis.cuts)


def _words(opened: Opened, first: int, last: int) -> str:
    return f"bars {opened.bar_name(first)}–{opened.bar_name(last)}"
