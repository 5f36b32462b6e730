"""The engraved score in systems, as the desk shows it.

::

    layout   what the reader wants to see: pitch, size of the notes, which staves
    widths   how wide every bar will come out, estimated from its rhythm
    plan     which bars and parts make up each system
    paint    one system: cut from the page, engraved by the child process, its boxes measured
    allowed  the few elements and attributes that a drawing may hold
    store    painted systems on disk, named by what they show
    heard    hearing ribbons under the staves of a painted system
"""

from redstave.render.systems.heard import Cell, ribbon_rows
from redstave.render.systems.layout import Layout, Notes, Pitch, layout_of
from redstave.render.systems.paint import Picture, paint
from redstave.render.systems.plan import System, plan
from redstave.render.systems.store import PictureStore

__all__ = [
    "Cell",
    "Layout",
    "Notes",
    "Picture",
    "PictureStore",
    "Pitch",
    "System",
    "layout_of",
    "paint",
    "plan",
    "ribbon_rows",
]
