"""Names of single players, in the language and spelling of the page."""

import pytest

from redstave.players.calling import (
    names_player,
    part_names,
    player_name,
    spoken,
    together,
    without_stop,
)


@pytest.mark.parametrize(
    ("part", "player"),
    [
        ("Horn in F 1. 2", "Horn in F 2"),
        ("Horns in F 3-4", "Horn in F 2"),
        ("Corni in F. III. IV.", "Corno in F 2"),
        ("I. II. Corni in F.", "Corno in F 2"),
        ("2 Oboi.", "Oboe 2"),
        ("Flauti I. e II.", "Flauto 2"),
        ("Flauti grandi", "Flauto grande 2"),
        ("Clarinet in B♭ 1. 2", "Clarinet in B♭ 2"),
        ("2 Fagotti", "Fagotto 2"),
        ("Flutes 2. 3 (3. also Piccolo)", "Flute 2"),
        ("Hörner 1.2. in F", "Horn in F 2"),
        ("Flöten", "Flöte 2"),
        ("2 große Flöten", "große Flöte 2"),
        ("Posaunen 1 und 2", "Posaune 2"),
        ("2 Flûtes", "Flûte 2"),
        ("Cors 1er et 2e en fa", "Cor en fa 2"),
        ("Horns I & II in F", "Horn in F 2"),
        ("Fl. 1. 2", "Fl. 2"),
        ("in F.", "in F 2"),
    ],
)
def test_the_name_of_a_player(part: str, player: str) -> None:
    """Numbers go, the instrument is put into the singular, the player's number follows."""
    assert player_name(part, 2) == player


def test_players_of_one_stave_have_one_name_together() -> None:
    """And a name of several names each of them."""
    assert together(["Horn in F 1", "Horn in F 2"]) == "Horn in F 1. 2"
    assert together(["Horn in F 1"]) == "Horn in F 1"
    assert together(["Flute 1", "Oboe 1"]) == "Flute 1, Oboe 1"
    assert names_player("Horn in F 1. 2", "Horn in F 2")
    assert names_player("Tuba", "Tuba")
    assert not names_player("Horn in F 1. 2", "Horn in F 3")
    assert not names_player("Horn", "Horn in F 1")


def test_parts_of_a_division_are_named_from_the_top() -> None:
    """Halves, thirds, and numbered parts beyond."""
    assert part_names(2) == ("upper half", "lower half")
    assert part_names(3)[1] == "middle third"
    assert part_names(4)[3] == "part 4 of 4"


@pytest.mark.parametrize(
    ("printed", "told"),
    [
        ("Controfagotto.", "Controfagotto"),
        ("2 Clarinetti in B.", "2 Clarinetti in B"),
        ("Vlc. div. in 4 P.", "Vlc. div. in 4 P"),
        ("Corni in F. III. IV", "Corni in F. III. IV"),
        ("Timp.", "Timp."),
        (".", "."),
    ],
)
def test_the_stop_behind_a_name_is_the_engravers(printed: str, told: str) -> None:
    """A full stop behind a whole name is left out of sentences, that of an abbreviation is not."""
    assert without_stop(printed) == told


@pytest.mark.parametrize(
    ("instrument", "words"), [("bass-drum", "bass drum"), ("hi-hat", "hi-hat"), ("harp", "harp")]
)
def test_an_instrument_is_spoken_of_as_it_is_written(instrument: str, words: str) -> None:
    """The hyphens of our own names go, those of the language stay."""
    assert spoken(instrument) == words
