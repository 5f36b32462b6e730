"""Pauses Python's cycle collector while many small values are made."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused(many: bool = True) -> Iterator[None]:
    """Let no cycle collection interrupt the work inside.

    A score, and what its players are told, is a hundred thousand small values without cycles; the
    collector would walk over all of them, and over whatever else the process holds, again and
    again, for nothing. Where there are `many`, it does not even do so once, at the end: frozen and
    thawed, they count as old ones. What little is left in cycles then waits for the next full
    collection, so say so only for work that does not come by the thousand.
    """
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if many:
            gc.freeze()
            gc.unfreeze()
        if was_enabled:
            gc.enable()
