"""The check `document-facts-missing`."""

from collections.abc import Iterator

from redstave.analysis import Analysis
from redstave.analysis.page import in_words
from redstave.analysis.spots import bars_spot
from redstave.checks.registry import Limits, check
from redstave.model.finding import Claim, Evidence, Finding


@check("document-facts-missing", Claim.QUESTION, sources=("mola-yale", "common-practice"))
def document_facts_missing(analysis: Analysis, _: Limits) -> Iterator[Finding]:
    """Ask for the facts a librarian needs before the first note.

    What it reports
        A score without a title, or with staves that have no name.

    Why it matters
        Parts are copied, laid out and filed by these names. Pages without them get lost.

    How it is computed
        The title in the file or on its title page, and the names of all staves.

    Limits
        A title page kept as a separate file is not seen. Duration and percussion list are not
        looked for.

    Sources
        mola-yale: title, instrumentation with names. The rest: common practice.
    """
    score = analysis.score
    missing = []
    credited = any(key == "credit-title" and text.strip() for key, text in score.metadata)
    if not score.title.strip() and not credited:
        missing.append("the title")
    if any(not part.name.strip() for part in score.parts):
        missing.append("the name of a stave")
    if missing and score.parts and score.bars:
        yield Finding(
            "document-facts-missing",
            (bars_spot(analysis, 0, 0),),
            (Evidence("facts missing", len(missing), "facts", 0),),
            (("missing", in_words(missing)),),
        )
