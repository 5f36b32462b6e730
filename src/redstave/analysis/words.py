"""Names for a finding's facts: which lines are meant, in words a page can use."""

from collections.abc import Iterable, Sequence

from redstave.analysis.analysis import Analysis
from redstave.analysis.passages import Heard, Passage
from redstave.model.line import Line
from redstave.players.calling import together

MOST_NAMED = 3
SMALLEST_SHARE = 0.1


def loudest_first(analysis: Analysis, together: Iterable[Passage]) -> str:
    """Return the names of lines that play the same, those first that sound loudest."""
    power = analysis.sound.power_db
    loudest = sorted(together, key=lambda one: -float(power[one.rows].mean()))
    return listed(line_names(analysis.playing.lines, (one.line for one in loudest)))


def coverers(analysis: Analysis, result: Heard) -> str:
    """Return the names of the lines that do most of the covering, at most three."""
    return listed(line_names(analysis.playing.lines, _chief(result))[:MOST_NAMED])


def line_names(lines: Sequence[Line], chosen: Iterable[int]) -> list[str]:
    """Return the names of lines (indices), players of one stave together: "Horn in F 1. 2"."""
    staves: dict[tuple[str, str], list[Line]] = {}
    for index in dict.fromkeys(chosen):
        line = lines[index]
        staves.setdefault((line.part, line.instrument), []).append(line)
    found = []
    for own in staves.values():
        parts = [line for line in own if line.of]
        players = sorted((line for line in own if not line.of), key=lambda line: line.numbers)
        found += [together([line.name for line in players])] if players else []
        found += [line.name for line in parts]
    return found


def covering_parts(analysis: Analysis, result: Heard) -> tuple[str, ...]:
    """Return the ids of the parts that do most of the covering, at most three."""
    lines = analysis.playing.lines
    parts = dict.fromkeys(lines[line].part for line in _chief(result))
    return tuple(parts)[:MOST_NAMED]


def _chief(result: Heard) -> list[int]:
    chief = [line for line, share in result.covered_by if share >= SMALLEST_SHARE]
    return chief or [line for line, _ in result.covered_by[:1]]


def listed(names: Sequence[str]) -> str:
    """Return names as a list in a sentence: "Horn 1, Horn 3 and Tuba", "… and 3 more"."""
    kept = list(dict.fromkeys(names)) or ["nothing else"]
    if len(kept) > MOST_NAMED + 1:
        kept[MOST_NAMED:] = [f"{len(kept) - MOST_NAMED} more"]
    return kept[0] if len(kept) == 1 else f"{', '.join(kept[:-1])} and {kept[-1]}"
