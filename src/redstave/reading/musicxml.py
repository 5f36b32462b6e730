"""From the bytes of a MusicXML file to a Score."""

import hashlib
from collections.abc import Callable, Sequence
from pathlib import Path

from redstave.base.errors import InputError
from redstave.base.pause import collector_paused
from redstave.model.score import Bar, Inner, Origin, Part, PartGroup, Score
from redstave.reading.bars import shared_bars
from redstave.reading.container import SIZE_LIMIT, is_archive, unpack
from redstave.reading.door import Opened, is_kern, is_mei, is_midi, open_kern, open_mei, open_midi
from redstave.reading.header import PartEntry
from redstave.reading.ids import new_part_id
from redstave.reading.parser import root_of
from redstave.reading.problems import Problems
from redstave.reading.spans import report_passing, report_span
from redstave.reading.stream import Read, read_stream
from redstave.reading.tiny import to_musicxml
from redstave.reading.walk import Walk

LARGE = 300_000  # bytes of XML
BLANK = b"\0 \t\r\n"
FIRST = 1000  # bytes that are looked at first, for all of them are copied


def read(path: Path) -> Score:
    """Read a score: MusicXML, compressed or not, MEI, Humdrum kern, MIDI or a tiny score (.tiny).

    InputError in one sentence if the file cannot be read or is something else; everything that had
    to be assumed or repaired is in the score's problems.
    """
    try:
        with path.open("rb") as file:
            data = file.read(SIZE_LIMIT + 1)
    except OSError as error:
        raise InputError(f"{path} cannot be read: {error.strerror or error}.") from error
    return read_bytes(data, path.name)


def read_bytes(data: bytes, name: str) -> Score:
    """Read a score from the bytes of a file; `name` is the file's name, for messages."""
    xml, kind, assumption = xml_of(data, name)
    problems = Problems()
    if assumption:
        problems.add("container" if kind == "mxl" else "converted", assumption)
    root = root_of(xml, name)
    digest = hashlib.sha256(data).hexdigest()
    with collector_paused(many=len(xml) >= LARGE):
        content, ticks, problems = read_stream(name, root, problems, xml)
        origin = Origin(name, digest, kind, content.header.said("software"))
        return _score(content, ticks, problems, origin)


def xml_of(data: bytes, name: str) -> tuple[bytes, str, str]:
    """Return a file's MusicXML, the kind of file, and what was assumed to find it ("" if nothing).

    The kind is told by the content ("mxl", "musicxml", "mei", "kern", "midi"), "tiny" by the name.
    """
    if not (data[:FIRST].strip(BLANK) or data.strip(BLANK)):
        raise InputError(f"{name} is empty; export the score again as MusicXML.")
    if len(data) > SIZE_LIMIT:
        raise InputError(f"{name} has more than {SIZE_LIMIT} bytes; no score does.")
    if name.lower().endswith(".tiny"):
        return to_musicxml(_text(data, name)), "tiny", ""
    if is_archive(data):
        unpacked = unpack(data, name)
        return unpacked.data, "mxl", unpacked.assumption
    for kind, (fits, enter) in DOORS.items():
        if fits(data):
            opened = enter(data, name)
            return opened.data, kind, opened.said
    return data, "musicxml", ""


DOORS: dict[str, tuple[Callable[[bytes], bool], Callable[[bytes, str], Opened]]] = {
    "midi": (is_midi, open_midi),
    "kern": (is_kern, open_kern),
    "mei": (is_mei, open_mei),
}


def _text(data: bytes, name: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError(f"{name} is not UTF-8 text; save it as UTF-8.") from error


def _score(content: Read, ticks: int, problems: Problems, origin: Origin) -> Score:
    header = content.header
    entries = _ordered(content, ticks, problems)
    walks = [walk for _, walk in entries]
    bars = shared_bars(walks, ticks, problems)
    if not bars:
        raise InputError(f"{origin.name} holds no bar of music; export the whole score.")
    parts = tuple(_part(entry, walk, bars, problems) for entry, walk in entries)
    ids = {entry.id: walk.part for entry, walk in reversed(entries)}
    groups = tuple(_group(group, ids) for group in header.groups)
    return Score(
        header.title,
        ticks,
        bars,
        parts,
        groups,
        problems.all(),
        origin,
        tuple(header.metadata),
        tuple(header.head),
    )


def _ordered(content: Read, ticks: int, problems: Problems) -> list[tuple[PartEntry, Walk]]:
    """Return the parts in the order of the list of parts, then those that it does not name."""
    first = dict(reversed(content.walks))
    taken = {walk.part for _, walk in content.walks}
    ordered: list[tuple[PartEntry, Walk]] = []
    for entry in content.header.parts:
        walk = first.pop(entry.id, None)
        if walk is None:
            part_id = new_part_id(entry.id, taken)
            taken.add(part_id)
            text = f"The part {entry.name or entry.id!r} is announced but holds no bar."
            problems.add("part-without-bars", text, part=part_id)
            walk = Walk(part_id, ticks, problems)
        ordered.append((entry, walk))
    listed = {walk.part for _, walk in ordered}
    for raw, walk in content.walks:
        if walk.part in listed:
            continue
        text = f"The list of parts does not name the part {raw!r}; its id is used as its name."
        problems.add("part-not-listed", text, part=walk.part)
        heading = (Inner("part-name", raw),)
        ordered.append((PartEntry(raw, raw, "", (), heading), walk))
    return ordered


def _part(entry: PartEntry, walk: Walk, bars: Sequence[Bar], problems: Problems) -> Part:
    spans = tuple(
        [draft.finished(f"{walk.part}.s{index}") for index, draft in enumerate(walk.spans.drafts)]
    )
    for span in spans:
        report_span(span, walk.part, bars, problems)
    for tie in walk.ties.passing:
        report_passing(tie, walk.part, bars, problems)
    return Part(
        id=walk.part,
        name=entry.name,
        abbreviation=entry.abbreviation,
        staves=walk.staves,
        instruments=entry.instruments,
        notes=tuple(walk.notes),
        marks=tuple(walk.marks),
        spans=spans,
        bar_path=walk.bar_path,
        bar_attributes=tuple([bar.attributes for bar in walk.bars]),
        bar_contents=tuple([bar.content for bar in walk.bars]),
        heading=entry.heading,
    )


def _group(group: PartGroup, ids: dict[str, str]) -> PartGroup:
    return group._replace(first=ids[group.first], last=ids[group.last])
