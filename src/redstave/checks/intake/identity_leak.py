"""The check `identity-leak`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding

TELLING = ("arranger", "orchestrator", "lyricist", "credit-arranger", "credit-orchestrator")


@check("identity-leak", Claim.QUESTION, sources=("jotform",))
def identity_leak(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Find names in the file that tell who made the orchestration.

    What it reports
        An arranger or orchestrator named in the file, on the page or hidden in its metadata.

    Why it matters
        Where entries are read blind, the reader must not know whose they are.

    How it is computed
        The roles in the metadata and the credits of the title page are looked through. The name is
        not repeated here, only where it stands and how long it is.

    Limits
        The composer of the set piece is no leak. A name in a footnote or a file name is not seen.

    Sources
        jotform: a call for scores that asks for pages without names. After marking it is harmless.
    """
    found = [
        (key, text) for key, text in analysis.score.metadata if key in TELLING and text.strip()
    ]
    if found and analysis.score.bars and analysis.score.parts:
        yield Finding(
            "identity-leak",
            (bars_spot(analysis, 0, 0),),
            (Evidence("places with a name", len(found), "places", 0),),
            (
                (
                    "where",
                    ", ".join(
                        dict.fromkeys(key.replace("credit-", "title page: ") for key, _ in found)
                    ),
                ),
            ),
        )
