"""What the desk shows and does with one entry: the use cases behind its pages.

::

    opened    an entry laid open: analysis, review, page, and the look-ups every page needs
    painter   systems painted ahead of the reader by child processes
    heard     what the hall hears, by stave and bar, as shapes and in words
    margin    findings as they stand in the margin beside their systems
    jumps     where one can go: bars, letters, sections, findings
    sounds    the tones of some bars, to be heard in the browser
    work      what the teacher does: decides, writes, rewords, takes back

Texts that are being typed are drafts of the store, handed through as they are.
"""

from redstave.app.desk.heard import heard_in_bars, ribbons_of
from redstave.app.desk.jumps import jumps
from redstave.app.desk.margin import margin_notes
from redstave.app.desk.opened import Opened
from redstave.app.desk.painter import Painter
from redstave.app.desk.sounds import tones_in_bars
from redstave.app.desk.work import (
    Place,
    Rewording,
    accept,
    being_read,
    dismiss,
    join,
    reopen,
    reword,
    spent,
    take_back,
    write_remark,
)
from redstave.store import read_draft, read_drafts, save_draft

__all__ = [
    "Opened",
    "Painter",
    "Place",
    "Rewording",
    "accept",
    "being_read",
    "dismiss",
    "heard_in_bars",
    "join",
    "jumps",
    "margin_notes",
    "read_draft",
    "read_drafts",
    "reopen",
    "reword",
    "ribbons_of",
    "save_draft",
    "spent",
    "take_back",
    "tones_in_bars",
    "write_remark",
]
