"""The page of the original: lists that hold what the match holds, both pages engraved, kept."""

from pathlib import Path

import pytest

from redstave.app import seasons
from redstave.app.desk import Opened
from redstave.app.desk.origin_page import Origins, origin_page, sources
from redstave.base.errors import InputError
from redstave.original.beside import beside
from redstave.store import Season
from tests.app.desk.conftest import laid_open


@pytest.fixture
def origins(season: Season) -> Origins:
    """The piano piece of the demonstration's season."""
    return Origins(season)


def test_every_tone_that_is_left_out_is_listed_once(juniper: Opened) -> None:
    """The list names as many tones as the match leaves out."""
    page, both = origin_page(juniper), beside(juniper.analysis)
    assert page is not None
    assert both is not None
    counted = sum(len(one.pitches.replace(" and ", ", ").split(", ")) for one in page.lost)
    assert counted == len(both.match.left_out)
    pitched = [at for at in both.match.added if not both.playing.tones[at].unpitched]
    assert sum(one.tones for one in page.added) == len(pitched)


def test_both_pages_are_engraved_with_a_voice_ringed(origins: Origins, juniper: Opened) -> None:
    """The piano stands above the entry; rings lie round the tune in both."""
    shown = origins.compare(juniper, 24, 25, voice=0)
    assert (shown.piano_words, shown.entry_words) == ("Piano, bars 25–26", "Entry, bars 25–26")
    assert 'class="ring"' in shown.piano
    assert 'class="ring"' in shown.entry
    assert 'class="ring"' not in origins.compare(juniper, 24, 25).piano
    assert shown.glyphs


def test_what_was_engraved_is_kept(origins: Origins, juniper: Opened) -> None:
    """The same bars asked for again are the same picture, not engraved anew."""
    assert origins.compare(juniper, 8, 9) is origins.compare(juniper, 8, 9)


def test_only_what_sounds_is_shown(origins: Origins, juniper: Opened) -> None:
    """Staves that rest in the bars are left out."""
    shown = origins.compare(juniper, 0, 1)
    assert "Cl" in shown.entry
    assert "Harp" in shown.entry
    assert "Tuba" not in shown.entry


def test_too_many_bars_and_strange_voices_are_refused(origins: Origins, juniper: Opened) -> None:
    """More bars than fit, and a voice that is not there, are told in a sentence."""
    with pytest.raises(InputError, match="at most 6 bars"):
        origins.compare(juniper, 0, 6)
    with pytest.raises(InputError, match="no such voice"):
        origins.compare(juniper, 0, 1, voice=50)


def test_bars_lead_back_to_the_piano(juniper: Opened) -> None:
    """In the demonstration every bar comes from the bar of the same number."""
    both = beside(juniper.analysis)
    assert both is not None
    assert sources(both.match, 4, 7) == [4, 5, 6, 7]


def test_without_an_original_there_is_no_page(tmp_path: Path, root: Path) -> None:
    """A season without an original has nothing to set beside its entries, and says so."""
    with seasons.new_season(tmp_path / "season") as season:
        path = root / "src" / "redstave" / "app" / "demo" / "flint.tiny"
        code = seasons.add_files(season, [path]).codes[0]
        seasons.compute(season)
        opened = laid_open(season, code)
        assert origin_page(opened) is None
        with pytest.raises(InputError, match="no original"):
            Origins(season).compare(opened, 0, 1)
