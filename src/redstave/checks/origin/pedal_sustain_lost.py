"""The check `pedal-sustain-lost`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.checks.needs import with_original
from redstave.checks.registry import CannotJudge, Limits, Setting, check
from redstave.model.finding import Claim, Evidence, Finding
from redstave.model.role import Role
from redstave.original.pedal import pedalled, unheld
from redstave.original.places import voice_spot

ACCOMPANY = (Role.FIGURE, Role.BASS, Role.INNER)


@check(
    "pedal-sustain-lost",
    Claim.QUESTION,
    sources=("filmtips", "common-practice"),
    settings=(
        Setting(
            "least_bars",
            4.0,
            "bars",
            "for fewer bars on end a dry texture is a colour",
            "common-practice",
        ),
    ),
)
def pedal_sustain_lost(analysis: Analysis, limits: Limits) -> Iterator[Finding]:
    """Ask where nobody in the orchestra does what the pianist's pedal does.

    What it reports
        Stretches in which the piano piece asks for pedal under a broken chord, and in the score
        nobody holds the harmony and no harp or keyboard lets it ring.

    Why it matters
        Broken chords with pedal are held chords. Copied note by note they are a row of short
        notes with nothing behind them: the harmony vanishes and the tune hangs in the air.

    How it is computed
        Pedal is asked for by its mark or by a word such as "con Ped.". A bar is held if two pitches
        besides the tune last for half of it, or are played by instruments that ring on.

    Limits
        Where the piano piece marks no pedal nothing can be said, although pianists use it. A dry
        texture may be the very change the writer wants.

    Sources
        filmtips: the pedal fills space and calls for held tones, tremolo or harp. The rest is
        common practice, no source.
    """
    both = with_original(analysis)
    if not pedalled(both.original):
        raise CannotJudge("the original marks no pedal")
    found = [run for run in unheld(analysis) if run[1] - run[0] + 1 >= limits["least_bars"]]
    if found:
        bars = [last - first + 1 for first, last in found]
        yield Finding(
            "pedal-sustain-lost",
            tuple(voice_spot(both, first, last, ACCOMPANY) for first, last in found),
            (
                Evidence("bars in which nobody holds the harmony", sum(bars), "bars"),
                Evidence("longest stretch", max(bars), "bars", limits["least_bars"]),
            ),
        )
