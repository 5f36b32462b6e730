"""The ids of parts: the file's own where XML allows them and they are unique."""

import re
from collections.abc import Collection

UNSAFE = re.compile(r"[^A-Za-z0-9_-]")


def new_part_id(raw: str, taken: Collection[str]) -> str:
    """Return an id for the next part of the file that is safe as an XML id and not yet taken.

    Every character but letters, digits, "_" and "-" becomes "_" (the dot separates part, bar and
    note in the ids of notes); an id that does not begin with a letter gets "p" in front; one that
    is taken gets "_2", "_3" … behind.
    """
    safe = UNSAFE.sub("_", raw)
    if not safe[:1].isalpha():
        safe = f"p{safe}"
    number, unique = 1, safe
    while unique in taken:
        number += 1
        unique = f"{safe}_{number}"
    return unique
