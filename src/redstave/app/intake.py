"""Intake: files become entries under code names; under which name they came goes under seal."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from redstave import store
from redstave.app.code_names import draw
from redstave.base.errors import InputError
from redstave.reading import read_bytes, xml_of
from redstave.store import Season
from redstave.writing.remarks import is_remark

#: What kept files are called by their kind: the ending of a file's own name may tell whose it is.
ENDINGS = {
    "mxl": ".mxl",
    "musicxml": ".musicxml",
    "mei": ".mei",
    "kern": ".krn",
    "midi": ".mid",
    "tiny": ".tiny",
}


class Added(NamedTuple):
    """What came of an intake: the codes given, in the order of the alphabet, and what failed.

    `notes` say what was done to files that were added.
    """

    codes: tuple[str, ...]
    problems: tuple[str, ...]
    notes: tuple[str, ...] = ()


def add_files(season: Season, paths: Sequence[Path], again: str = "") -> Added:
    """Add files to a season, each as a new entry, or one file as a further version of `again`.

    What cannot be read is told and left out; the rest is added. The codes are not in the order of
    the files.
    """
    if again and len(paths) != 1:
        raise InputError("a further version is one file; give one file with --again")
    codes, problems, notes = [], [], []
    for path in paths:
        try:
            code, note = _added(season, _bytes(path), path.name, again)
        except InputError as error:
            problems.append(str(error) if path.name in str(error) else f"{path.name}: {error}")
            continue
        codes.append(code)
        notes += [note] if note else []
    return Added(tuple(sorted(codes)), tuple(problems), tuple(sorted(notes)))


def add_bytes(season: Season, data: bytes, name: str, again: str = "") -> str:
    """Add the bytes of one file and return the code name of its entry.

    InputError where it is no score that can be read, or in the season already; then nothing is
    added. `again` is the code of the entry that it is a further version of.
    """
    return _added(season, data, name, again)[0]


def _added(season: Season, data: bytes, name: str, again: str) -> tuple[str, str]:
    """Add one file; return the code of its entry, and what there is to say of it, if anything."""
    marked = sum(is_remark(mark) for part in read_bytes(data, name).parts for mark in part.marks)
    _, kind, _ = xml_of(data, name)
    kept = store.keep_bytes(season, data)
    with season.writing():
        if again:
            store.read_entry(season, again)
        code = again or draw({one.code for one in store.read_entries(season)})
        store.add_version(season, code, kept, ENDINGS[kind], name)
    if not marked:
        return code, ""
    remarks = "one remark" if marked == 1 else f"{marked} remarks"
    return code, f"{code}: {remarks} from an earlier letter stood on the page and will not be shown"


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}); check the name") from error
