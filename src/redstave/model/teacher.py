"""What the teacher knows better than any computation, about one version of an entry."""

from dataclasses import dataclass

from redstave.model.match import Pin, VoiceOverride
from redstave.model.role import RoleOverride


@dataclass(frozen=True, slots=True)
class TeachersWord:
    """Bars pinned to the original, voices of the original, roles of lines, where sections begin.

    `cuts` are bars of the entry (indices).
    """

    pins: tuple[Pin, ...] = ()
    voices: tuple[VoiceOverride, ...] = ()
    roles: tuple[RoleOverride, ...] = ()
    cuts: tuple[int, ...] = ()


NOTHING_SAID = TeachersWord()
