"""Which staves must name their key."""

import pytest

from redstave.analysis import Analysis
from redstave.checks import catalogue, run_checks
from redstave.reading import read_bytes

HEAD = 'title: Names\nmeter: 4/4\nkey: 0\ntempo: 96 "Moderato"\npitch: written\n\n'


@pytest.mark.parametrize(
    ("parts", "asked"),
    [
        ({"Horn": -7}, []),  # there is no other horn today
        ({"Horn": -9}, ["Horn"]),
        ({"Horn": -7, "Clarinet in A": -3}, ["Horn"]),
        ({"Horn in F": -7, "Clarinet": -2}, ["Clarinet"]),
        ({"Clarinet": -2}, ["Clarinet"]),
        ({"Trumpet": 0}, []),
        ({"Cor anglais": -7, "Horn in F": -7}, []),
        ({"Piccolo": 12}, []),
    ],
    ids=str,
)
def test_a_key_is_asked_for_where_there_is_a_choice(
    parts: dict[str, int], asked: list[str]
) -> None:
    """Where an instrument has been built in several keys, or the page names those of others."""
    music = "\n".join(f"part {name} | transpose={by}\nmf C5/1 |" for name, by in parts.items())
    analysis = Analysis(read_bytes((HEAD + music).encode(), "names.tiny"))
    found = run_checks(analysis, [catalogue()["naming-inconsistent"]]).findings
    spots = [spot for one in found for spot in one.spots]
    assert [analysis.score.parts_by_id[spot.part].name for spot in spots] == asked
