"""The lines of a divided string section: halves, thirds, a solo, desks, the others."""

from collections.abc import Collection, Mapping
from dataclasses import replace

from redstave.model.line import Line
from redstave.players.calling import part_names
from redstave.players.dividing import DESKS, HALF, OTHERS, SOLO, WHOLE, Division
from redstave.players.texture import Texture

GroupKey = tuple[str, int]
_PORTIONS = {SOLO: "solo", DESKS: "desks", HALF: "half", OTHERS: "the others"}
_LETTERS = "abcdefghijkl"


def group_lines(
    whole: Line, counted: Texture, states: Mapping[int, tuple[Division, ...]]
) -> tuple[dict[GroupKey, int], tuple[Line, ...]]:
    """Return the lines a section may need: the whole, the parts of its divisions, its portions."""
    told = [state for ones in states.values() for state in ones]
    crowded = max((stand.total for stand in counted.stands.values()), default=1)
    parts = min(len(_LETTERS), max(crowded, *(state.parts for state in told)))
    keys: list[GroupKey] = [(WHOLE, 0)]
    if crowded > 1:
        keys += [(WHOLE, part) for part in range(1, parts + 1)]
    named = {name for state in told for name in (state.portion, state.single)}
    keys += [(name, 0) for name in _PORTIONS if name in named]
    soli = max((state.members for state in told), default=1)
    if crowded > 1 and soli > 1:
        keys += [(SOLO, solo) for solo in range(1, min(len(_LETTERS), soli) + 1)]
    lines = [whole, *(_group_line(whole, key, told) for key in keys[1:])]
    return {key: index for index, key in enumerate(keys)}, tuple(lines)


def _group_line(whole: Line, key: GroupKey, told: Collection[Division]) -> Line:
    name, part = key
    if name == WHOLE:
        return replace(whole, id=f"{whole.id}.{_LETTERS[part - 1]}", of=whole.id)
    if part:
        return replace(
            whole,
            id=f"{whole.id}.{name}.{_LETTERS[part - 1]}",
            name=f"{whole.name} ({_PORTIONS[name]} {part})",
            players=1,
            of=whole.id,
        )
    count = max((state.heads for state in told if state.portion == name), default=0.0)
    players = {HALF: whole.players // 2, OTHERS: whole.players - 1}.get(name, round(count))
    return replace(
        whole,
        id=f"{whole.id}.{name}",
        name=f"{whole.name} ({_PORTIONS[name]})",
        players=max(1, min(players, whole.players)),
        of=whole.id,
    )


def named_parts(
    lines: tuple[Line, ...], groups: Mapping[GroupKey, int], used: Collection[int]
) -> tuple[Line, ...]:
    """Name the parts of a division by how many there are; `used` are the lines that play."""
    parts = [at for (name, part), at in groups.items() if name == WHOLE and part and at in used]
    if not parts:
        return lines
    count = max(part for (_, part), at in groups.items() if at in parts)
    called = part_names(count)
    named = list(lines)
    for (_, part), at in groups.items():
        if at in parts:
            players = max(1, round(lines[0].players / max(2, count)))
            title = f"{lines[0].name} ({called[part - 1]})"
            named[at] = replace(lines[at], name=title, players=players)
    return tuple(named)
