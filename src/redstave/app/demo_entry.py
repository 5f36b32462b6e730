"""The demo entry that comes with Redstave, as files a teacher can open."""

from importlib.resources import files
from pathlib import Path

FOLDER = "demo"
ENTRY = "orchestra.musicxml"
CODE_NAME = "entry-juniper"
ORIGINAL = "piano-original.musicxml"
BESIDE = {"piano.musicxml": ORIGINAL, "challenge.md": "challenge.md"}


def copy_demo(out: Path) -> tuple[Path, Path]:
    """Write the demo's files into a folder (made if need be); return entry and original."""
    out.mkdir(parents=True, exist_ok=True)
    data = files("redstave.app").joinpath(FOLDER)
    for name, copy in BESIDE.items():
        (out / copy).write_bytes(data.joinpath(name).read_bytes())
    entry = out / f"{CODE_NAME}.musicxml"
    entry.write_bytes(data.joinpath(ENTRY).read_bytes())
    return entry, out / ORIGINAL
