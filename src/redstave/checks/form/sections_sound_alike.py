"""The check `sections-sound-alike`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.form import Form, Turn
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.original.form import form_of


@check(
    "sections-sound-alike",
    Claim.QUESTION,
    sources=("wieland", "mto", "common-practice"),
    settings=(
        Setting(
            "most_distance",
            0.05,
            "cosine distance",
            "neighbouring sections nearer than this use the same colours",
            "common-practice",
        ),
        Setting(
            "least_sections", 3.0, "sections", "with fewer nothing is asked", "common-practice"
        ),
        Setting(
            "most_height",
            5.0,
            "semitones",
            "a section that lies on average so much higher or lower sounds new",
            "common-practice",
        ),
        Setting("most_level", 1.0, "levels", "so does one so much louder", "common-practice"),
        Setting("most_density", 1.5, "ratio", "or with so many times the lines", "common-practice"),
        Setting(
            "tutti_share",
            0.66,
            "share of bars",
            "a piece that is tutti for more of its bars than this has no contrast",
            "wieland",
        ),
        Setting(
            "tutti_bars", 16.0, "bars", "shorter pieces may be tutti throughout", "common-practice"
        ),
        Setting(
            "pattern_share",
            0.5,
            "share of bars",
            "one rhythm of accompaniment that goes on for more of the piece is monotonous",
            "common-practice",
        ),
        Setting(
            "pattern_bars",
            24.0,
            "bars",
            "shorter runs of a rhythm are never asked about",
            "common-practice",
        ),
    ),
)
def sections_sound_alike(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about pieces that keep one colour from beginning to end.

    What it reports
        All neighbouring sections scored alike; or tutti for most of the piece; or one rhythm of
        accompaniment that goes on unbroken for more than half of it.

    Why it matters
        Form is heard through colour. Where every section sounds like the one before, the listener
        loses the thread and the climax has nothing left to add.

    How it is computed
        The page is cut at letters, double bars, new keys and new tempi, and where the piano
        original is known, also where its music returns. Neighbours are alike if the share of time
        in which each instrument sounds hardly differs, and height, level and number of lines do
        not either. A bar is tutti when nine tenths of the parts of the piece play in it; pieces
        without winds are not asked about that. The rhythm of accompaniment of a bar is the one that
        most lines share which do not lead.

    Limits
        Articulation can make contrast without any of these.

    Sources
        wieland: marks off for more than two thirds tutti. mto: contrast makes boundaries. The other
        limits are ours (common practice, no source).
    """
    if analysis.slices.start.size == 0:
        raise CannotJudge("no instrument that plays in this score is known")
    found = form_of(analysis)
    enough = len(found.sections) >= limits["least_sections"]
    same = enough and all(_alike(turn, limits) for turn in found.turns)
    winds = any(line.family in {"woodwind", "brass"} for line in analysis.playing.lines)
    told = "; ".join(_reasons(found, same, winds, limits))
    if found.active > 2 and told:
        yield Finding(
            "sections-sound-alike",
            (bars_spot(analysis, 0, len(analysis.score.bars) - 1),),
            tuple(_evidence(found, limits)),
            (("what", told),),
        )


def _alike(turn: Turn, limits: Limits) -> bool:
    thicker = max(turn.density, 1.0 / max(turn.density, 1e-9))
    return (
        turn.distance < limits["most_distance"]
        and abs(turn.height) < limits["most_height"]
        and abs(turn.level) < limits["most_level"]
        and thicker < limits["most_density"]
    )


def _reasons(found: Form, same: bool, winds: bool, limits: Limits) -> Iterator[str]:
    if same:
        yield f"all {len(found.sections)} sections use nearly the same instruments"
    long = len(found.lines) >= limits["tutti_bars"]
    if winds and long and found.tutti > limits["tutti_share"]:
        yield f"nearly all play in {round(100 * found.tutti)} % of the bars"
    if _runs_on(found, limits):
        yield f"one rhythm accompanies {found.longest_pattern} bars on end"


def _runs_on(found: Form, limits: Limits) -> bool:
    longest = found.longest_pattern
    share = longest / max(len(found.lines), 1)
    return longest >= limits["pattern_bars"] and share > limits["pattern_share"]


def _evidence(found: Form, limits: Limits) -> Iterator[Evidence]:
    yield Evidence("sections", len(found.sections), "sections")
    if found.turns:
        most = max(turn.distance for turn in found.turns)
        yield Evidence(
            "greatest distance of neighbouring colours",
            round(most, 2),
            "cosine distance",
            limits["most_distance"],
        )
    yield Evidence(
        "bars in which nearly all play",
        round(found.tutti, 2),
        "share of bars",
        limits["tutti_share"],
    )
    yield Evidence("longest run of one rhythm of accompaniment", found.longest_pattern, "bars")
