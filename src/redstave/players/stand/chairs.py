"""Who sits where: the players of a score, each with every line he or she plays."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from redstave.base.errors import InputError
from redstave.instruments.names import resolve_name
from redstave.model.line import Line, Playing

MOST_NAMED = 12  # players named in one sentence
_NUMBER_STOP = re.compile(r"(?<=[\dIVX])\.$")  # "Corno in F 1." is one name, not a sentence


@dataclass(frozen=True, slots=True)
class Chair:
    """One player, or a section playing from one page: a name and lines (indices), home first.

    A player who changes instrument has a line for each; a section that divides has its parts too.
    A `portion` is one of those parts, with the whole section it plays in otherwise.
    """

    name: str
    lines: tuple[int, ...]
    portion: bool = False


def chairs(playing: Playing) -> tuple[Chair, ...]:
    """Return the players in the order of the score, the parts of divided sections after the whole.

    Names that stand twice in a score are told apart by the id of their part.
    """
    homes: dict[str, list[int]] = {}
    roots = {line.id: line.of or line.id for line in playing.lines}
    for index, line in enumerate(playing.lines):
        homes.setdefault(_root(line.id, roots), []).append(index)
    found: list[Chair] = []
    for members in homes.values():
        first = playing.lines[members[0]]
        found.append(Chair(_NUMBER_STOP.sub("", first.name), tuple(members)))
        if first.section:
            others = ((playing.lines[index].name, index) for index in members[1:])
            found.extend(Chair(name, (members[0], index), True) for name, index in others)
    return _told_apart(found, playing.lines)


def _root(line: str, roots: dict[str, str]) -> str:
    while roots.get(line, line) != line:
        line = roots[line]
    return line


def _told_apart(found: Sequence[Chair], lines: Sequence[Line]) -> tuple[Chair, ...]:
    often = Counter(chair.name for chair in found)
    return tuple(
        replace(chair, name=f"{chair.name} ({lines[chair.lines[0]].part})")
        if often[chair.name] > 1
        else chair
        for chair in found
    )


def find_chair(playing: Playing, wanted: str) -> Chair:
    """Return the one player a name means: as printed, in part, by id, or in another language.

    "Horn 2" finds "Corno in F 2". InputError names what matches, or who there is.
    """
    known = chairs(playing)
    for matches in _matches(playing, known, wanted):
        if len(matches) == 1:
            return matches[0]
        if matches:
            raise InputError(
                f'"{wanted}" may be {_listed([one.name for one in matches], " or ")}; '
                "write the name in full"
            )
    names = _listed([one.name for one in known], " and ")
    raise InputError(f'no player is called "{wanted}"; this score has {names}')


def _matches(playing: Playing, known: Sequence[Chair], wanted: str) -> Sequence[Sequence[Chair]]:
    """Return what a name may mean, from the strictest reading to the freest."""
    plain = _plain(wanted)
    naming = resolve_name(wanted)
    home = {chair: playing.lines[chair.lines[0]] for chair in known}
    whole = [chair for chair in known if not chair.portion]
    same = [one for one in whole if home[one].instrument == naming.instrument != ""]
    numbered = [one for one in same if set(naming.numbers) & set(home[one].numbers)]
    return (
        [one for one in known if _plain(one.name) == plain],
        [one for one in whole if wanted.strip() in (home[one].id, home[one].part)],
        numbered,
        [one for one in known if plain and set(plain) <= set(_plain(one.name))],
        [] if naming.numbers else same,
    )


def _plain(name: str) -> tuple[str, ...]:
    return tuple(re.findall(r"\w+", name.casefold()))


def _listed(names: Sequence[str], joint: str) -> str:
    shown = [f'"{name}"' for name in names[:MOST_NAMED]]
    if len(names) > MOST_NAMED:
        return f"{', '.join(shown)} and {len(names) - MOST_NAMED} more"
    return joint.join(filter(None, [", ".join(shown[:-1]), *shown[-1:]]))
