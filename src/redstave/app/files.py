"""Files that are whole or not there."""

from pathlib import Path


def write_whole(path: Path, text: str) -> None:
    """Write a text under a temporary name beside its place and move it there when it is whole.

    Whatever stops the writing, no half-written file is left and an older one stays; OSError as
    usual.
    """
    write_whole_bytes(path, text.encode())


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Write bytes as `write_whole` does a text."""
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
