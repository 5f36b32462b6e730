"""The page of a season: what waits, what was found, how checks fared, and no file's name."""

from pathlib import Path

import pytest

from redstave.app import seasons
from redstave.app.desk.season_page import (
    add_unseen,
    advice,
    checks_page,
    families_told,
    season_page,
)
from redstave.base.errors import InputError
from redstave.reading.tiny import to_musicxml
from redstave.store import Season
from tests.app.season_entry import FIRST

NAME = "Wilhelmina-Quick.musicxml"


def test_the_page_tells_every_entry(season: Season) -> None:
    """Entries with their states and shares, the sum of findings by family, minutes altogether."""
    page = season_page(season)
    assert [one["code"] for one in page["entries"]] == ["Flint", "Juniper", "Larch", "Sorrel"]
    assert dict(page["counted"]) == {"written": 1, "in reading": 1, "computed": 2}
    found = sum(one["findings"] for one in page["entries"])
    assert sum(many for _, many in page["found"]) == found
    assert page["minutes"] == 41
    assert page["waiting"] == []
    assert all(one["open"] + one["decided"] == one["findings"] for one in page["entries"])


def test_a_moved_threshold_makes_entries_wait(season: Season) -> None:
    """Entries that were computed under other thresholds wait to be computed anew."""
    seasons.move(season, "tune-covered", "least_chance", 0.9)
    assert season_page(season)["waiting"] == ["Flint", "Juniper", "Larch", "Sorrel"]


def test_families_are_told_most_first() -> None:
    """At most four families are named; the rest is counted."""
    told = families_told({"harp": 1, "balance": 7, "form": 2, "levels": 3, "winds": 1, "range": 4})
    assert told == "balance 7, ranges 4, levels 3, form 2 and 2 more"


def test_advice_comes_with_enough_dismissals_only(season: Season) -> None:
    """Checks that were judged stand with their counts; a few dismissals give no advice."""
    rows = checks_page(season)
    dismissed = next(row for row in rows if row["slug"] == "horn-voicing-crossed")
    assert dismissed["judged"] == dismissed["dismissed"] > 0
    assert dismissed["advice"] == ""
    assert all(setting["meaning"] for row in rows for setting in row["settings"])
    assert "used 2 of its 25 findings" in advice(25, 23)


@pytest.mark.parametrize(
    "data",
    [b"", b"PK\x03\x04 nothing", b"<a/>", b"\x00\x01", b"hello", b"<score-partwise/>"],
)
def test_a_file_that_is_refused_stays_unnamed(season: Season, data: bytes) -> None:
    """What is wrong with a file is told in a sentence that does not say whose it is."""
    with pytest.raises(InputError) as refused:
        add_unseen(season, data, NAME)
    assert "Quick" not in str(refused.value)
    assert str(refused.value)


def test_a_file_that_is_there_already_stays_unnamed(season: Season) -> None:
    """The same bytes twice are refused without a name."""
    data = to_musicxml(FIRST)
    add_unseen(season, data, NAME)
    with pytest.raises(InputError) as refused:
        add_unseen(season, data, NAME)
    assert "Quick" not in str(refused.value)


def test_an_added_entry_waits_under_a_code_name(season: Season, tmp_path: Path) -> None:
    """A new entry has a code that is not its file's name, and waits to be computed."""
    code = add_unseen(season, to_musicxml(FIRST), NAME)
    page = season_page(season)
    assert page["waiting"] == [code]
    assert "Quick" not in repr(page)
    assert tmp_path.exists()
