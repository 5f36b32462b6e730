"""The check `tempo-absent-or-misplaced`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.score import Score
from redstave.players.tempo_title import tempo_in_title


@check("tempo-absent-or-misplaced", Claim.RISK, sources=("clarkross", "common-practice"))
def tempo_absent_or_misplaced(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find scores that do not say how fast.

    What it reports
        A score that begins without any tempo: neither a metronome mark nor a word that means one.
        Where only the title names one, it asks whether that is meant.

    Why it matters
        Everything that is counted in seconds hangs on the tempo: bows, breaths, mutes, and whether
        a figure can be played at all. Without it the conductor guesses, and the players with him.

    How it is computed
        The tempo map looks for metronome marks, a tempo for playback, and words in four languages.
        Where it finds nothing at the beginning it looks at the titles of the file and of its first
        page; where these name no tempo either, it has to assume one, and that is reported.

    Limits
        A tempo that only the playback knows is taken as given. A word the vocabulary lacks counts
        as missing. Where on the page the mark stands is not judged.

    Sources
        clarkross: words and a metronome mark at the beginning. The rest: common practice.
    """
    codes = {question.code for question in analysis.playing.open_questions}
    titled = "tempo-only-in-title" in codes
    if (titled or "no-first-tempo" in codes) and analysis.playing.tones:
        yield Finding(
            "tempo-absent-or-misplaced",
            (bars_spot(analysis, 0, 0),),
            (
                Evidence("tempo marks at the beginning", 0, "marks", 1),
                Evidence("words there", ", ".join(_first_words(analysis.score)) or "none"),
            ),
            _words(tempo_in_title(analysis.score) if titled else ""),
            Claim.QUESTION if titled else None,
        )


def _first_words(score: Score) -> dict[str, None]:
    """Return the words over the first bar, each once."""
    marks = (mark for part in score.parts for mark in part.marks_of("word") if mark.bar == 0)
    return dict.fromkeys(text for mark in marks if (text := mark.text.strip()))


def _words(title: str) -> tuple[tuple[str, str], ...]:
    """Return what the title tells, to be said behind the statement and behind the question."""
    if not title:
        return ("only_the_title", ""), ("as_titled", "")
    return (
        ("only_the_title", f" over any stave; only its title names one: “{title}”"),
        ("as_titled", f": as the title says, “{title}”"),
    )
