"""The check `tempo-absent-or-misplaced`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding


@check("tempo-absent-or-misplaced", Claim.RISK, sources=("clarkross", "common-practice"))
def tempo_absent_or_misplaced(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find scores that do not say how fast.

    What it reports
        A score that begins without any tempo: neither a metronome mark nor a word that means one.

    Why it matters
        Everything that is counted in seconds hangs on the tempo: bows, breaths, mutes, and whether
        a figure can be played at all. Without it the conductor guesses, and the players with him.

    How it is computed
        The tempo map looks for metronome marks, a tempo for playback, and words in four languages.
        Where it finds nothing at the beginning it has to assume one, and that is reported.

    Limits
        A tempo that only the playback knows is taken as given. A word the vocabulary lacks counts
        as missing. Where on the page the mark stands is not judged.

    Sources
        clarkross: words and a metronome mark at the beginning. The rest: common practice.
    """
    codes = {question.code for question in analysis.playing.open_questions}
    if "no-first-tempo" in codes and analysis.playing.tones:
        words = [
            mark.text.strip()
            for part in analysis.score.parts
            for mark in part.marks_of("word")
            if mark.bar == 0 and mark.text.strip()
        ]
        yield Finding(
            "tempo-absent-or-misplaced",
            (bars_spot(analysis, 0, 0),),
            (
                Evidence("tempo marks at the beginning", 0, "marks", 1),
                Evidence("words there", ", ".join(dict.fromkeys(words)) or "none"),
            ),
        )
