"""The teacher's phrase book: wordings used again, with place-holders."""

from dataclasses import dataclass

from redstave.model.remark import RemarkKind

#: What a wording may leave open, written in braces: "{bar}".
PLACE_HOLDERS = ("bar", "bars", "who", "number", "unit", "limit", "way_out")


@dataclass(frozen=True, slots=True)
class Phrase:
    """One thing to say, in as many wordings (`variants`) as the teacher has for it.

    `checks` are the slugs it fits, `criteria` the keys of the criteria it speaks to; `used` counts
    how often each variant has gone into a letter, in their order.
    """

    id: str
    kind: RemarkKind
    variants: tuple[str, ...]
    checks: tuple[str, ...] = ()
    criteria: tuple[str, ...] = ()
    used: tuple[int, ...] = ()
