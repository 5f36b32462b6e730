"""The demonstration's scores, as files a teacher can open and hand to a season of his own."""

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

from redstave.reading.tiny import to_musicxml

FOLDER = "demo"
ENTRY = "orchestra.musicxml"
CODE_NAME = "entry-juniper"
ORIGINAL = "piano-original.musicxml"
ENTRIES = "entries"
BESIDE = {"piano.musicxml": ORIGINAL, "challenge.md": "challenge.md"}


def copy_demo(out: Path) -> tuple[Path, Path]:
    """Write the demo's files into a folder (made if need be); return entry and original.

    Beside them, in the folder `entries`, lie all four entries as they were sent in.
    """
    (out / ENTRIES).mkdir(parents=True, exist_ok=True)
    data = files("redstave.app").joinpath(FOLDER)
    for name, copy in BESIDE.items():
        (out / copy).write_bytes(data.joinpath(name).read_bytes())
    entry = out / f"{CODE_NAME}.musicxml"
    entry.write_bytes(data.joinpath(ENTRY).read_bytes())
    for _, name, score in submissions():
        (out / ENTRIES / name).write_bytes(score)
    return entry, out / ORIGINAL


def submissions() -> Iterator[tuple[str, str, bytes]]:
    """Yield of each entry its code, the neutral name of its file, and its MusicXML."""
    data = files("redstave.app").joinpath(FOLDER)
    plan = tomllib.loads(data.joinpath("season.toml").read_text("utf-8"))
    for number, entry in enumerate(plan["entry"], 1):
        source = data.joinpath(entry["source"]).read_bytes()
        score = source if source.startswith(b"<?xml") else to_musicxml(source.decode("utf-8"))
        yield entry["code"], f"submission-{number}.musicxml", score
