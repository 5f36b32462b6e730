"""The check `shared-stave-player-unclear`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.checks.registry import CannotJudge, Limits, check
from redstave.model.finding import Claim, Evidence, Finding, Spot

CODES = frozenset({"single-line-unlabelled", "chord-unlabelled"})
WINDS = frozenset({"woodwind", "brass"})


@check("shared-stave-player-unclear", Claim.RISK, sources=("reading1", "common-practice"))
def shared_stave_player_unclear(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find shared wind staves that do not say who plays.

    What it reports
        Staves of two or more wind players where a single line, or fewer notes than players, stands
        without "1.", "2." or "a 2".

    Why it matters
        Both players read the stave. Without a word both play, or neither; the loudness and the
        colour depend on it.

    How it is computed
        The players of each shared stave are followed from label to label, by voices, stems and
        rests. Where nothing on the page says who plays, the place is reported, once for a stave.

    Limits
        Where one player was assumed for the hearing, the letter says so among its open points.

    Sources
        reading1: "1." for a single player, "a 2" for both. The scope of labels: common practice.
    """
    lines = analysis.playing.lines
    crowded = {line.part for line in lines if line.family in WINDS and line.numbers}
    if not any(line.family in WINDS for line in lines):
        raise CannotJudge("no part was recognised as a wind instrument")
    places: dict[str, set[int]] = defaultdict(set)
    for question in analysis.playing.open_questions:
        if question.code in CODES and question.part and question.bar is not None:
            places[question.part].add(question.bar)
    for part in analysis.score.parts:
        if part.id in places and part.id in crowded | places.keys():
            bars = sorted(places[part.id])
            yield Finding(
                "shared-stave-player-unclear",
                tuple(Spot(bar, 0, part.id, 1, bar) for bar in bars),
                (Evidence("first places without a label", len(bars), "places"),),
            )
