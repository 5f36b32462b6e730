"""Write the letter of a review into a folder."""

from pathlib import Path

from redstave.analysis import Analysis
from redstave.app.files import write_whole
from redstave.app.marked_entry import unmarked_page
from redstave.app.review import shortened
from redstave.base.errors import InputError
from redstave.model.review import Review
from redstave.reading import xml_of
from redstave.render.letter import letter_html


def write_letter(
    review: Review, analysis: Analysis, entry: Path, out: Path, most_findings: int | None = None
) -> Path:
    """Write the letter as one HTML file into a folder, made if need be, and return its path.

    `most_findings` keeps a letter to the gravest faults; it then says how many it leaves out.
    """
    xml, _, _ = xml_of(entry.read_bytes(), entry.name)
    page = unmarked_page(xml, entry.name)
    text = letter_html(shortened(review, most_findings), analysis, page, date="")
    letter = out / f"{review.entry}.html"
    try:
        out.mkdir(parents=True, exist_ok=True)
        write_whole(letter, text)
    except OSError as error:
        raise InputError(
            f"the letter cannot be written to {letter} ({error.strerror}); choose another folder "
            "with --out"
        ) from error
    return letter
