"""A program that writes into a season without pause and says what is safely in it.

Run as `python -m tests.store.writer FOLDER KIND FIRST`; each line it prints is the number of a
write that has returned. KIND is what it writes: texts, remarks, or whole files with their entries.
"""

import sys
from itertools import count
from pathlib import Path

from redstave import store
from redstave.model.remark import Remark, RemarkKind
from redstave.store import Season

PADDING = "x" * 300


def write_text(season: Season, number: int) -> None:
    """Save a text of its number over the last."""
    now = store.read_draft(season, "Juniper", "opening")
    store.save_draft(season, "Juniper", "opening", f"{number} {PADDING}", now.revision)


def write_remark(season: Season, number: int) -> None:
    """Add a remark of its number, and revise it, in one block."""
    with season.writing():
        made = store.add_remark(
            season, "Juniper", Remark("", RemarkKind.FIX, f"{number} {PADDING}")
        )
        store.revise_remark(season, "Juniper", made)


def write_entry(season: Season, number: int) -> None:
    """Add an entry with a file of its own."""
    data = f"{number} {PADDING}".encode()
    store.add_version(season, f"E{number}", store.keep_bytes(season, data), ".mxl", f"{number}.mxl")


KINDS = {"texts": write_text, "remarks": write_remark, "entries": write_entry}


def main(folder: Path, kind: str, first: int) -> None:
    """Write until killed, or until something cannot be written: then say so and stop."""
    with store.open_season_folder(folder) as season:
        for number in count(first):
            KINDS[kind](season, number)
            print(number, flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))
