"""Names of lines in a sentence."""

import pytest

from redstave.analysis.words import listed


@pytest.mark.parametrize(
    ("names", "told"),
    [
        ([], "nothing else"),
        (["Tuba"], "Tuba"),
        (["Horn 1", "Tuba", "Horn 1"], "Horn 1 and Tuba"),
        (["Flute", "Oboe", "Horn", "Tuba"], "Flute, Oboe, Horn and Tuba"),
        (["Flute", "Oboe", "Horn", "Tuba", "Viola"], "Flute, Oboe, Horn and 2 more"),
    ],
)
def test_a_list_names_three_and_counts_the_rest(names: list[str], told: str) -> None:
    """Each name once; a single one left over is named, for “1 more” would be no shorter."""
    assert listed(names) == told
