"""The check `horn-voicing-crossed`."""

from collections import defaultdict
from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.stretches import spot_of_tones
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding, Spot
from redstave.model.line import Playing, Tone

FOUR = {1, 2, 3, 4}


@check(
    "horn-voicing-crossed",
    Claim.QUESTION,
    sources=("liqhorn", "wagner", "common-practice"),
    settings=(
        Setting(
            "least_bars",
            2.0,
            "bars",
            "so many bars of chords must be crossed before it is asked",
            "common-practice",
        ),
    ),
)
def horn_voicing_crossed(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask about four-part horn chords in which high and low players change places.

    What it reports
        Chords of four horns in which the second or fourth horn plays above the first or third.

    Why it matters
        First and third horns train the high register, second and fourth the low one. Crossed for
        long, both play where they are weak.

    How it is computed
        Moments at which horns 1 to 4 all strike together are taken. Players 1 and 3 must lie above
        2 and 4, unisons allowed. Bars in which any chord breaks this are counted.

    Limits
        Solos are given to whom the writer likes. Natural horns in different keys had other rules.

    Sources
        liqhorn and wagner: horns interlock 1-3-2-4 from the top. The rest: common practice.
    """
    crossed = [chord for chord in _chords(analysis.playing) if _crosses(chord)]
    spots: dict[int, Spot] = {}
    for chord in crossed:
        low = max(chord[2], chord[4], key=lambda tone: tone.midi)
        spots.setdefault(chord[1].bar, spot_of_tones(analysis.score, analysis.playing, [low]))
    if spots and len(spots) >= limits["least_bars"]:
        yield Finding(
            "horn-voicing-crossed",
            tuple(spots.values()),
            (Evidence("bars with crossed horns", len(spots), "bars", limits["least_bars"]),),
        )


def _chords(playing: Playing) -> Iterator[dict[int, Tone]]:
    """Yield the chords that horns 1 to 4 strike together, by player; CannotJudge without them."""
    number = {
        at: number
        for at, line in enumerate(playing.lines)
        if line.instrument == "horn"
        for number in line.numbers
        if line.players == 1
    }
    if not set(number.values()) >= FOUR:
        raise CannotJudge("the page has no four numbered horns")
    struck: dict[int, dict[int, Tone]] = defaultdict(dict)
    for tone in playing.tones:
        if tone.line in number:
            struck[tone.start][number[tone.line]] = tone
    yield from (chord for _, chord in sorted(struck.items()) if chord.keys() >= FOUR)


def _crosses(chord: dict[int, Tone]) -> bool:
    return min(chord[1].midi, chord[3].midi) < max(chord[2].midi, chord[4].midi)
