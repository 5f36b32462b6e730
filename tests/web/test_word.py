"""The teacher's word over the wire: kept, followed by the page, refused in sentences, guarded."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from redstave.app import seasons, teachers_word
from redstave.model.match import Pin
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access
from tests.web.client import Client
from tests.web.conftest import PORT, ROOT, hostile


class Beside:
    """A desk whose one entry stands beside an original, and who asks it."""

    def __init__(self, folder: Path, code: str, pictures: Path) -> None:
        self.desk, self.code = Desk(seasons.open_season(folder), pictures, painters=1), code
        access = Access()
        app = make_app(self.desk, access, port=PORT)
        self.client = Client(app, ROOT, {"x-redstave-token": access.token})
        self.stranger = Client(app, ROOT)

    def say(self, kind: str, text: str, revision: int, method: str = "POST") -> httpx.Response:
        """Say something, or take it back."""
        sent: dict[str, Any] = {"kind": kind, "text": text, "revision": revision}
        return self.client.request(method, f"/entries/{self.code}/word", json=sent)

    @property
    def page(self) -> str:
        """The page of the origin."""
        return self.client.get(f"/entries/{self.code}/origin").text


@pytest.fixture
def beside(tmp_path: Path, pictures: Path) -> Iterator[Beside]:
    """An entry and an original that are both full of words that want to be markup."""
    original = tmp_path / "original.musicxml"
    original.write_bytes(hostile())
    with seasons.new_season(tmp_path / "season", original) as season:
        code = seasons.add_bytes(season, hostile().replace(b"<alter>", b"<alter> "), "x.musicxml")
        seasons.compute(season)
    one = Beside(tmp_path / "season", code, pictures)
    yield one
    one.client.close()
    one.stranger.close()
    one.desk.close()


def test_what_is_said_is_kept_and_followed(beside: Beside) -> None:
    """A pin moves the bar on the page and in the entry laid open; the review then waits."""
    before = beside.desk.opened(beside.code)
    assert "The findings were computed before" not in beside.page
    assert beside.say("pins", "4 = 2", 0).json() == {"revision": 1}
    now = beside.desk.opened(beside.code)
    assert now is not before
    assert now.analysis.pins == (Pin(3, 1),)
    assert now.analysis.playing is before.analysis.playing, "what does not change is taken over"
    assert beside.desk.opened(beside.code) is now
    assert "Bar 4 comes from the piano’s bar 2" in beside.page
    assert "The findings were computed before" in beside.page
    assert not seasons.is_up_to_date(beside.desk.season, beside.code)


def test_both_pages_follow_a_pin(beside: Beside) -> None:
    """Bars that were engraved before are engraved anew beside the bar they are set to."""
    url = f"/entries/{beside.code}/origin/3/3"
    assert "Piano, bar 4" in beside.client.get(url).text
    beside.say("pins", "4 = 2", 0)
    assert "Piano, bar 2" in beside.client.get(url).text


def test_each_thing_is_taken_back(beside: Beside) -> None:
    """Lines, sections and bars: each row of the list takes back what it tells, and no more."""
    said = [("pins", "4 = none"), ("roles", "Trombone, bars 1-2: tune"), ("cuts", "3")]
    for revision, (kind, text) in enumerate(said):
        assert beside.say(kind, text, revision).status_code == 201
    assert len(re.findall(r'class="takeback"', beside.page)) == len(said)
    assert "A section begins at bar 3" in beside.page
    assert 'data-sections="[0, 2]"' in beside.page, "and the keys go by it"
    for revision, (kind, text) in enumerate(said, len(said)):
        assert beside.say(kind, text, revision, "DELETE").status_code == 200
    assert 'class="takeback"' not in beside.page
    assert seasons.is_up_to_date(beside.desk.season, beside.code)


@pytest.mark.parametrize(
    ("kind", "text", "words"),
    [
        ("pins", "9 = 1", "no bar 9 in the entry"),
        ("pins", "1 = 9", "no bar 9 in the piano piece"),
        ("roles", "Harp, bars 1-2: tune", "Harp"),
        ("roles", "Violin I, bar 3: tune", "rests in bar 3"),
        ("roles", "Violin I: melody", "the roles are tune"),
        ("voices", "bars 1-2, left hand, highest: tune", "left hand"),
        ("cuts", "9", "no bar 9"),
    ],
)
def test_what_cannot_be(beside: Beside, kind: str, text: str, words: str) -> None:
    """What is not there is told in a sentence, and nothing is kept."""
    answer = beside.say(kind, text, 0)
    assert answer.status_code == 422
    assert words in answer.json()["error"]
    assert teachers_word.told(beside.desk.season, beside.code).revision == 0


def test_two_windows_do_not_overwrite(beside: Beside) -> None:
    """Said over what somebody else has changed meanwhile, it is refused with both."""
    beside.say("cuts", "3", 0)
    late = beside.say("pins", "4 = 2", 0)
    assert late.status_code == 409
    assert (late.json()["mine"], late.json()["theirs"]) == ("pins: 4 = 2; cuts: 3", "cuts: 3")
    assert "Bar 4 comes" not in beside.page


def test_only_our_pages_may_say_it(beside: Beside) -> None:
    """Without the page's token nothing is kept; markup stays words in the list."""
    sent = {"kind": "cuts", "text": "3", "revision": 0}
    refused = beside.stranger.post(f"/entries/{beside.code}/word", json=sent)
    assert refused.status_code == 403
    lines = beside.desk.opened(beside.code).analysis.playing.lines
    evil = next(line.name for line in lines if "<script>" in line.name)
    assert beside.say("roles", f"{evil}, bars 1-2: inner", 0).status_code == 201
    assert "<script>alert" not in beside.page
    assert "<img src=x" not in beside.page
    assert "bars 1–2: inner" in beside.page


def test_a_guest_reads_it_and_says_nothing(beside: Beside) -> None:
    """A guest sees what was said, without a form and without a way to take it back."""
    beside.say("pins", "4 = 2", 0)
    guest = Client(make_app(beside.desk, Access("t" * 24, "g" * 24), port=PORT), ROOT)
    guest.get(f"/?key={'g' * 24}")
    text = guest.get(f"/entries/{beside.code}/origin").text
    guest.close()
    assert "Bar 4 comes from the piano’s bar 2" in text
    for sign in ('class="takeback"', "Say so", "Compute them anew", "<form data-kind"):
        assert sign not in text


def test_roles_and_sections_are_said_without_a_piano_piece(teacher: Client, code: str) -> None:
    """On the page of hearing; of bars and voices of a piano piece nothing is asked there."""
    url = f"/entries/{code}"
    before = teacher.get(f"{url}/hearing").text
    assert 'data-kind="roles"' in before
    assert 'data-kind="pins"' not in before
    body = {"kind": "roles", "text": "Trombone, bars 1-2: tune", "revision": 0}
    assert teacher.post(f"{url}/word", json=body).status_code == 201
    after = teacher.get(f"{url}/hearing").text
    assert "Take back: Trombone, bars 1–2: tune" in after
    pinned = teacher.post(f"{url}/word", json={"kind": "pins", "text": "1 = 1", "revision": 1})
    assert pinned.status_code == 422
    assert "no piano piece" in pinned.json()["error"]
