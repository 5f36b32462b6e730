"""Texts as they are typed: saved over the revision that was seen, or kept beside."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from redstave import store
from redstave.base.errors import StaleError
from redstave.store import Season
from tests.store.conftest import begun


def test_a_text_is_saved_over_the_one_it_was_typed_from(season: Season) -> None:
    """Each save is a revision, and what is read is what was saved last."""
    assert store.read_draft(season, "Juniper", "opening") == store.read_draft(
        season, "Juniper", "opening"
    )
    first = store.save_draft(season, "Juniper", "opening", "Dear", 0)
    second = store.save_draft(season, "Juniper", "opening", "Dear you", first.revision)
    assert (first.revision, second.revision) == (1, 2)
    assert store.read_draft(season, "Juniper", "opening") == second
    assert store.read_drafts(season, "Juniper") == (second,)


@pytest.mark.parametrize("seen", [0, 1, 7])
def test_a_second_tab_never_overwrites_silently(season: Season, seen: int) -> None:
    """A save over anything but the newest revision is refused, and its text is kept."""
    store.save_draft(season, "Juniper", "opening", "Dear", 0)
    store.save_draft(season, "Juniper", "opening", "Dear you", 1)
    with pytest.raises(StaleError) as refused:
        store.save_draft(season, "Juniper", "opening", "Mine", seen)
    assert (refused.value.theirs, refused.value.mine) == ("Dear you", "Mine")
    assert store.read_draft(season, "Juniper", "opening").text == "Dear you"
    assert [one.text for one in store.texts_set_aside(season, "Juniper")] == ["Mine"]


def test_a_save_can_be_repeated(season: Season) -> None:
    """Saving what stands there already, as after a lost answer, succeeds and changes nothing."""
    first = store.save_draft(season, "Juniper", "opening", "Dear", 0)
    assert store.save_draft(season, "Juniper", "opening", "Dear", 0) == first


def test_a_text_can_be_emptied(season: Season) -> None:
    """An empty text is a text: it is saved, and the earlier one is kept."""
    store.save_draft(season, "Juniper", "opening", "A long text", 0)
    assert store.save_draft(season, "Juniper", "opening", "", 1).revision == 2
    assert [one.text for one in store.earlier_drafts(season, "Juniper", "opening")] == [
        "A long text"
    ]


def test_earlier_texts_are_kept_minute_by_minute_and_before_a_cut(tmp_path: Path) -> None:
    """Typing on keeps an earlier text once a minute; cutting a text down keeps it at once."""
    times = iter(datetime(2026, 5, 1, tzinfo=UTC) + timedelta(seconds=5 * n) for n in range(999))
    with begun(store.make_season_folder(tmp_path / "s", clock=lambda: next(times))) as season:
        text = ""
        for revision in range(20):
            text += "word "
            store.save_draft(season, "Juniper", "opening", text, revision)
        kept = len(store.earlier_drafts(season, "Juniper", "opening"))
        assert 2 <= kept < 15
        store.save_draft(season, "Juniper", "opening", "word", 20)
        assert store.earlier_drafts(season, "Juniper", "opening")[-1].text == text


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40)
@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")))
def test_any_text_comes_back_as_it_was(in_a_file: Season, typed: str) -> None:
    """Whatever can be typed comes back letter by letter."""
    now = store.read_draft(in_a_file, "Juniper", "opening")
    store.save_draft(in_a_file, "Juniper", "opening", typed, now.revision)
    assert store.read_draft(in_a_file, "Juniper", "opening").text == typed
