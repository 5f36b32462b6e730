"""Files that are whole or not there."""

from pathlib import Path


def write_whole(path: Path, text: str) -> None:
    """Write a text under a temporary name beside its place and move it there when it is whole.

    Whatever stops the writing, no half-written file is left and an older one stays; OSError as
    usual.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_text(text, encoding="utf-8")
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
