"""Pauses Python's cycle collector while many small values are made."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Let no cycle collection interrupt the work inside.

    A score, and what its players are told, is a hundred thousand small values without cycles; the
    collector would walk over all of them, and over whatever else the process holds, again and
    again, for nothing.
    """
    was_enabled = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        # Frozen and thawed, the new values count as old ones: they are not walked over at once.
        gc.freeze()
        gc.unfreeze()
        if was_enabled:
            gc.enable()
