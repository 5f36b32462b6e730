"""Write the letter of a review into a folder."""

from pathlib import Path

from redstave.analysis import Analysis
from redstave.base.errors import InputError
from redstave.model.review import Review
from redstave.reading import xml_of
from redstave.render.letter import letter_html


def write_letter(review: Review, analysis: Analysis, entry: Path, out: Path) -> Path:
    """Write the letter as one HTML file into a folder, made if need be, and return its path."""
    xml, _, _ = xml_of(entry.read_bytes(), entry.name)
    text = letter_html(review, analysis, xml, date="")
    letter = out / f"{review.entry}.html"
    try:
        out.mkdir(parents=True, exist_ok=True)
        letter.write_text(text, encoding="utf-8")
    except OSError as error:
        raise InputError(
            f"the letter cannot be written to {letter} ({error.strerror}); choose another folder "
            "with --out"
        ) from error
    return letter
