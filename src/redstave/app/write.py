"""Write an entry to a file: its page as MusicXML, or what its players are told as MIDI."""

from collections.abc import Callable, Mapping
from pathlib import Path

from redstave.analysis import Analysis
from redstave.base.errors import InputError
from redstave.writing import compressed, to_midi, to_musicxml


def _page(analysis: Analysis) -> bytes:
    return to_musicxml(analysis.score)


def _packed(analysis: Analysis) -> bytes:
    return compressed(to_musicxml(analysis.score))


def _sound(analysis: Analysis) -> bytes:
    return to_midi(analysis.playing, analysis.score.title)


KINDS: Mapping[str, Callable[[Analysis], bytes]] = {
    ".musicxml": _page,
    ".xml": _page,
    ".mxl": _packed,
    ".mid": _sound,
}


def write_entry(analysis: Analysis, out: Path) -> None:
    """Write an entry to a file of the kind that its name ends in; InputError for another ending."""
    kind = KINDS.get(out.suffix.lower())
    if kind is None:
        raise InputError(
            f"{out} does not say what to write; let its name end in {', '.join(KINDS)}"
        )
    data = kind(analysis)
    try:
        out.write_bytes(data)
    except OSError as error:
        raise InputError(f"{out} cannot be written: {error.strerror or error}") from error
