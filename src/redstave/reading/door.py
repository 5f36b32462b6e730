"""The other doors: MEI, kern and MIDI become MusicXML, and say what they could not bring along."""

import subprocess
import sys
from typing import NamedTuple

from redstave.base.errors import InputError
from redstave.reading import mei, midi
from redstave.reading.parser import root_name

MEGABYTES = 1500
PROCESSOR_S = 60
WALL_S = 120
KERN_HEAD = 100_000  # bytes; comments may stand before the first record
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
LINES_SAID = "Lines and paths lead to the MusicXML made from it, not to the file."
MIDI_SAID = (
    "The file is MIDI, which holds no page: there are no slurs, marks, words, stems, clefs or "
    "spelling in it. Note values and bars were rounded from what is played; "
    "everything that the page should tell players will seem to be missing."
)
LEVELS_SAID = (
    "It has no levels either: those of the hearing are estimated from how hard tones are struck "
    "(velocity), one for each bar of a part; accents within a bar are not told apart."
)
NO_LEVELS_SAID = (
    "All its tones are struck alike (velocity {}), which says nothing of levels: mf is assumed."
)


class Opened(NamedTuple):
    """The MusicXML made of a file, and what was assumed or left out."""

    data: bytes
    said: str


def is_kern(data: bytes) -> bool:
    """Tell by its first record whether a file is Humdrum text."""
    for line in data[:KERN_HEAD].removeprefix(BYTE_ORDER_MARK).splitlines():
        if line.strip() and not line.startswith(b"!!"):
            return line.startswith(b"**")
    return False


def is_midi(data: bytes) -> bool:
    """Tell by its first bytes whether a file is standard MIDI."""
    return data.startswith(b"MThd")


def is_mei(data: bytes) -> bool:
    """Tell by its root whether a file is MEI; what is no XML at all is not."""
    return root_name(data) == "mei"


def open_mei(data: bytes, name: str) -> Opened:
    """Return an MEI file as MusicXML."""
    return _through_child(data, name, "MEI")


def open_kern(data: bytes, name: str) -> Opened:
    """Return a Humdrum file as MusicXML."""
    return _through_child(data, name, "Humdrum kern")


def open_midi(data: bytes, name: str) -> Opened:
    """Return a standard MIDI file as MusicXML."""
    made, only = midi.to_musicxml(data, name)
    levels = LEVELS_SAID if only is None else NO_LEVELS_SAID.format(only)
    return Opened(made, f"{MIDI_SAID} {levels} {LINES_SAID}")


def _through_child(data: bytes, name: str, kind: str) -> Opened:
    made, left_out, assumed = mei.to_musicxml(_converted(data, name, kind), name)
    said = f"The file is {kind}, which was turned into MusicXML. {LINES_SAID}"
    said += f" {assumed}" if assumed else ""
    if left_out:
        listed = ", ".join(f"{count} × {what}" for what, count in sorted(left_out.items()))
        said += f" Not brought along: {listed}."
    return Opened(made, said)


def _converted(data: bytes, name: str, kind: str) -> bytes:
    command = [sys.executable, "-P", "-m", "redstave.reading.door_child"]
    try:
        done = subprocess.run(
            [*command, str(MEGABYTES), str(PROCESSOR_S)],
            input=data,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=WALL_S,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise InputError(
            f"{name} takes too long to turn from {kind} into MusicXML; export it as MusicXML."
        ) from error
    if done.returncode or not done.stdout.strip():
        raise InputError(f"{name} cannot be understood as {kind}; export it as MusicXML.")
    return done.stdout
