"""The examples of the checks: small scores, some beside the piano piece they were made from.

Each check has a folder with a good and a bad score, and where it looks at the original, that piece
as `original.tiny`. Tests and documentation read them here, so that both speak of the same thing.
"""

from pathlib import Path

from redstave.analysis import Analysis
from redstave.reading import read

FOLDER = Path(__file__).resolve().parents[1] / "tests" / "checks"
ORIGINAL = "original.tiny"


def path_of(slug: str, kind: str) -> Path:
    """Return the file of one example; `kind` is "good" or "bad"."""
    return FOLDER / slug / f"{kind}.tiny"


def original_of(slug: str) -> Path | None:
    """Return the file of the piano piece that the examples of a check were made from, if any."""
    path = FOLDER / slug / ORIGINAL
    return path if path.is_file() else None


def example(slug: str, kind: str) -> Analysis:
    """Return the analysis of one example, beside its original where it has one."""
    original = original_of(slug)
    return Analysis(read(path_of(slug, kind)), original=read(original) if original else None)
