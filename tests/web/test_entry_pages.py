"""Hearing, origin, trial, grades and letter over the wire: escaped, refused in sentences, kept."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from redstave import store
from redstave.app import seasons
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access
from tests.web.client import Client
from tests.web.conftest import EVIL, PORT, ROOT, hostile

PAGES = ("hearing", "origin", "trial", "grades", "letter")


def wishes(**wish: object) -> dict[str, str]:
    """Return the query of a trial."""
    return {"bars": "1-2", "wishes": json.dumps([{"bars": "1-2"} | wish])}


@pytest.mark.parametrize("name", PAGES)
def test_words_of_a_score_stay_words(client: Client, code: str, name: str) -> None:
    """A part's name that wants to be markup is shown, and is none."""
    text = client.get(f"/entries/{code}/{name}").text
    assert EVIL not in text
    assert "<script>alert" not in text
    assert "<img src=x" not in text


@pytest.mark.parametrize("name", PAGES)
def test_an_entry_that_is_not_there(client: Client, name: str) -> None:
    """Another code is refused in a sentence, on paper and as data."""
    answer = client.get(f"/entries/Nobody/{name}", headers={"accept": "text/html"})
    assert answer.status_code == 422
    assert "Nobody" in answer.text


@pytest.mark.parametrize("name", PAGES)
def test_no_style_or_script_stands_in_a_page(client: Client, code: str, name: str) -> None:
    """The policy forbids inline styles and scripts; no page relies on any."""
    text = client.get(f"/entries/{code}/{name}").text
    assert " style=" not in text
    assert "<style" not in text
    assert "<script>" not in text
    assert "javascript:" not in text
    assert " onclick" not in text


def test_a_review_of_another_edition_breaks_nothing(teacher: Client, desk: Desk, code: str) -> None:
    """Where a kept finding lacks what today's words need, the season offers to compute it anew."""
    client = teacher
    review = seasons.review_of(desk.season, code)
    bare = replace(review.findings[0], slug="brass-at-par-overpowers", facts=())
    made = replace(review.provenance, redstave="0.0.1")
    other = replace(review, provenance=made, findings=(bare,), ways=(), explains=())
    store.add_review(desk.season, code, 1, other)
    for name in PAGES:
        answer = client.get(f"/entries/{code}/{name}", headers={"accept": "text/html"})
        assert answer.status_code in (200, 422)
        assert answer.status_code == 200 or "To the season" in answer.text
    assert "Compute it" in client.get("/").text


def test_the_strands_of_a_bar(client: Client, code: str) -> None:
    """One bar is told strand by strand; a bar that is not there is refused."""
    text = client.get(f"/entries/{code}/hearing/0").text
    assert "Trombone" in text
    assert "<img src=x" not in text
    assert client.get(f"/entries/{code}/hearing/99").status_code == 422


def test_what_is_heard_before_and_after(client: Client, code: str) -> None:
    """A change is heard; the page's answer holds both sides and the change in words."""
    asked = wishes(who="Trombone", level="p")
    text = client.get(f"/entries/{code}/trial/heard", params=asked).text
    assert "Mark Trombone p in bars\N{NO-BREAK SPACE}1–2" in text
    assert "After" in text
    now = client.get(f"/entries/{code}/trial/heard", params={"bars": "1"}).text
    assert "After" not in now


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ({"bars": "9-12", "wishes": "[]"}, "no bar 9"),
        ({"bars": "1", "wishes": "nothing"}, "cannot be understood"),
        ({"bars": "1", "wishes": '[{"who": "Harp", "bars": "1", "level": "p"}]'}, "Harp"),
        ({"bars": "1", "wishes": '[{"who": "Trombone", "bars": "1"}]'}, "Say what"),
    ],
)
def test_a_trial_that_means_nothing(
    client: Client, code: str, query: dict[str, str], words: str
) -> None:
    """What cannot be tried is told in a sentence."""
    answer = client.get(f"/entries/{code}/trial/heard", params=query)
    assert answer.status_code == 422
    assert words in answer.json()["error"]


def test_a_trial_becomes_a_remark(teacher: Client, desk: Desk, code: str) -> None:
    """Sent with the token, a trial stands in the letter with its picture."""
    wish = {"who": "Trombone", "bars": "1-2", "level": "p"}
    sent = {"wishes": [wish], "kind": "way-out", "text": "Softer, please."}
    made = teacher.post(f"/entries/{code}/trial/remark", json=sent)
    assert made.status_code == 201
    kept = store.read_remark(desk.season, code, made.json()["id"]).remark
    assert kept.trial is not None
    shown = teacher.get(f"/entries/{code}/letter/preview").text
    assert "Softer, please." in shown
    assert 'class="margins"' in shown


def test_points_over_an_old_revision_are_refused(teacher: Client, desk: Desk, code: str) -> None:
    """Two windows: the second is told what the first has given."""
    key = store.read_criteria(desk.season).criteria[0].key
    url = f"/entries/{code}/grades/{key}"
    first = teacher.put(url, json={"points": 5, "note": "", "revision": 0})
    assert first.json()["revision"] == 1
    second = teacher.put(url, json={"points": 7, "note": "", "revision": 0})
    assert second.status_code == 409
    assert second.json()["theirs"].startswith("5")
    assert teacher.put(url, json={"points": 99, "note": "", "revision": 1}).status_code == 422


def test_the_letter_is_framed_by_us_alone(client: Client, code: str) -> None:
    """The preview has a policy of its own: no script at all, and no frame but ours."""
    answer = client.get(f"/entries/{code}/letter/preview")
    policy = answer.headers["content-security-policy"]
    assert "script-src" not in policy
    assert "default-src 'none'" in policy
    assert "frame-ancestors 'self'" in policy
    assert "sandbox allow-same-origin" in policy
    assert "<script" not in answer.text


def test_files_of_a_letter_are_kept_under_its_code(client: Client, code: str) -> None:
    """A file comes under the entry's code name, as what it is; others are not there."""
    answer = client.get(f"/entries/{code}/letter/files/remarks.csv")
    assert answer.headers["content-disposition"] == f'attachment; filename="{code}.remarks.csv"'
    assert answer.headers["content-type"].startswith("text/csv")
    assert client.get(f"/entries/{code}/letter/files/exe").status_code == 422
    assert client.get(f"/entries/{code}/letter/files/..%2f..%2fx").status_code in (404, 422)


def test_how_far_a_letter_is(teacher: Client, desk: Desk, code: str) -> None:
    """Said on the page, it is kept in the season."""
    assert teacher.put(f"/entries/{code}/state", json={"state": "written"}).status_code == 200
    assert str(store.read_entry(desk.season, code).stage) == "written"
    assert teacher.put(f"/entries/{code}/state", json={"state": "new"}).status_code == 422


def test_typed_words_stay_words_in_the_letter(teacher: Client, code: str) -> None:
    """What the teacher types is text on every page it reaches."""
    typed = {"text": EVIL, "revision": 0}
    assert teacher.put(f"/entries/{code}/drafts/opening", json=typed).status_code == 200
    for url in ("letter", "letter/preview"):
        assert "<script>alert" not in teacher.get(f"/entries/{code}/{url}").text


@pytest.fixture
def beside(tmp_path: Path, pictures: Path) -> Iterator[tuple[Client, str]]:
    """A desk whose entry and original are both full of words that want to be markup."""
    original = tmp_path / "original.musicxml"
    original.write_bytes(hostile())
    with seasons.new_season(tmp_path / "season", original) as season:
        code = seasons.add_bytes(season, hostile().replace(b"<alter>", b"<alter> "), "x.musicxml")
        seasons.compute(season)
    desk = Desk(seasons.open_season(tmp_path / "season"), pictures, painters=1)
    client = Client(make_app(desk, Access(), port=PORT), ROOT)
    yield client, code
    client.close()
    desk.close()


def test_both_pages_hold_nothing_but_music(beside: tuple[Client, str]) -> None:
    """Bars of a hostile score beside a hostile original: drawings, words, and nothing else."""
    client, code = beside
    page = client.get(f"/entries/{code}/origin").text
    both = client.get(f"/entries/{code}/origin/0/1?voice=0").text
    for text in (page, both):
        assert "<script>alert" not in text
        assert "<img src=x" not in text
        assert " style=" not in text
    assert both.count('class="score"') == 2
    assert client.get(f"/entries/{code}/origin/0/1?voice=77").status_code == 422


@pytest.fixture
def guest(desk: Desk) -> Iterator[Client]:
    """A guest at a desk with keys, who has opened the guest's link."""
    access = Access(teacher="t" * 24, guest="g" * 24)
    one = Client(make_app(desk, access, port=PORT), ROOT)
    assert one.get(f"/?key={'g' * 24}").status_code == 303
    yield one
    one.close()


@pytest.mark.parametrize("url", ["/", "/lessons", *(f"/entries/CODE/{name}" for name in PAGES)])
def test_a_guest_sees_every_page_and_no_way_to_change_it(
    guest: Client, code: str, url: str
) -> None:
    """Pages open without buttons that would be refused, and without a token."""
    answer = guest.get(url.replace("CODE", code))
    assert answer.status_code == 200
    assert 'name="redstave-token" content=""' in answer.text
    for words in ("Make the remark", "Lock the grades", "Choose the", "Compute", "Open the names"):
        assert words not in answer.text
    for tag in re.findall(r"<textarea[^>]*>", answer.text):
        assert " disabled" in tag
