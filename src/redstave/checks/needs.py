"""What checks of one family cannot do without; CannotJudge says what is missing."""

from redstave.analysis import Analysis
from redstave.analysis.bowed import Bowed
from redstave.analysis.winded import WindLine, wind_lines
from redstave.checks.registry import CannotJudge
from redstave.model.finding import Claim, Evidence
from redstave.model.score import Part
from redstave.original.beside import Beside, beside

NO_ORIGINAL = "no original was given"
ANOTHER_PIECE = "too few bars of this score were found in the original"
LEAST_MATCHED = 0.5  # of the bars of the entry: with less, what is missing cannot be told (ours)


def too_few(count: int, what: str, many: str) -> CannotJudge:
    """Return the error of a check of habits that met too little: "only 3 swells", "no swells"."""
    if count == 0:
        return CannotJudge(f"there are no {many}")
    told = f"one {what}" if count == 1 else f"{count} {many}"
    return CannotJudge(f"there {'is' if count == 1 else 'are'} only {told}: too few to tell")


def bowed(analysis: Analysis) -> tuple[Bowed, ...]:
    """Return the parts for bowed strings; raise CannotJudge where there are none."""
    if not analysis.bowed:
        raise CannotJudge("no part was recognised as a bowed string instrument")
    return analysis.bowed


def winded(analysis: Analysis) -> tuple[WindLine, ...]:
    """Return the lines of wind players; raise CannotJudge where there are none."""
    found = wind_lines(analysis.score, analysis.playing)
    if not found:
        raise CannotJudge("no part was recognised as a wind instrument")
    return found


def harps(analysis: Analysis) -> tuple[Part, ...]:
    """Return the parts for harp; raise CannotJudge where there are none."""
    players = {line.part for line in analysis.playing.lines if line.instrument == "harp"}
    found = tuple(part for part in analysis.score.parts if part.id in players)
    if not found:
        raise CannotJudge("no part was recognised as a harp")
    return found


def tempo_used(analysis: Analysis) -> tuple[Evidence, ...]:
    """Return the evidence that belongs to seconds: whether the tempo had to be assumed."""
    if not analysis.playing.tempo.assumed:
        return ()
    return (Evidence("tempo", "assumed: the page gives no number everywhere"),)


def by_tempo(analysis: Analysis, claim: Claim) -> Claim:
    """Return the claim a finding in seconds may make: a question where the tempo is assumed."""
    return Claim.QUESTION if analysis.playing.tempo.assumed else claim


def with_original(analysis: Analysis) -> Beside:
    """Return entry and original side by side; raise CannotJudge without an original, or a doubtful.

    Where hardly half of the entry's bars were found in the original, nothing can be said of tones.
    """
    found = beside(analysis)
    if found is None:
        raise CannotJudge(NO_ORIGINAL)
    if len(found.match.originals_of) < LEAST_MATCHED * len(found.entry.bars):
        raise CannotJudge(ANOTHER_PIECE)
    return found
