"""The face for other programs: `redstave.read` and `redstave.analyse`, documented with them."""

from pathlib import Path

from redstave.analysis import Analysis
from redstave.app.entry import parse_forces, parse_hall, parse_players
from redstave.model.score import Score
from redstave.reading import read as read_path


def read(path: str | Path) -> Score:
    """Return what is printed in a score file: MusicXML, plain or compressed, or tiny notation.

    InputError says in one sentence why a file cannot be read; what had to be assumed stands in
    `Score.problems`.
    """
    return read_path(Path(path))


def analyse(
    score: Score,
    forces: str = "14.12.10.8.6",
    hall: str = "default",
    seat: str = "stalls",
    tail: bool = False,
    players: str = "conservatoire",
) -> Analysis:
    """Return the analysis of a score: who plays what, and what the hall hears of it.

    `forces` are the players of first violins, second violins, violas, cellos and basses; `hall` and
    `seat` say where it is heard, `tail` whether sounds that have ended ring on, `players` how good
    the players are. What is asked of the Analysis is computed then, and once. InputError for a name
    that is not known.
    """
    return Analysis(
        score,
        parse_forces(forces),
        parse_hall(hall, seat, tail),
        players_level=parse_players(players),
    )
