"""Deciding, writing, rewording, taking back; texts that are kept; two tabs."""

import re

from redstave.app import seasons
from redstave.web.desk import Desk
from tests.web.client import Client
from tests.web.conftest import EVIL


def findings(client: Client, code: str) -> list[str]:
    """Return the keys of all findings on the reading page."""
    text = client.get(f"/entries/{code}/reading").text
    return list(dict.fromkeys(re.findall(r'data-finding="([0-9a-f]+)"', text)))


def revision(text: str) -> int:
    """Return the revision of the remark in a fragment."""
    return int(re.findall(r'data-revision="(\d+)"', text)[0])


def test_accept_makes_a_remark(teacher: Client, desk: Desk, code: str) -> None:
    """Accepting a finding answers with the remark it became; the season has it."""
    key = findings(teacher, code)[0]
    answer = teacher.post(f"/entries/{code}/findings/{key}/accept", json={})
    assert answer.status_code == 200
    assert 'data-decision="accepted"' in answer.text
    (kept,) = seasons.read_remarks(desk.season, code)
    assert kept.remark.finding == key
    assert kept.remark.text
    assert seasons.season_json(desk.season)["entries"][0]["state"] == "in reading"


def test_reword_dismiss_and_take_back(teacher: Client, desk: Desk, code: str) -> None:
    """One's own words stand in the remark; a dismissal has its reason; both can be taken back."""
    first, second = findings(teacher, code)[:2]
    base = f"/entries/{code}/findings"
    reworded = teacher.post(f"{base}/{first}/accept", json={"text": "Lower than a flute goes."})
    assert "Lower than a flute goes." in reworded.text
    dismissed = teacher.post(f"{base}/{second}/dismiss", json={"reason": "meant as a joke"})
    assert "meant as a joke" in dismissed.text
    assert 'data-decision="dismissed"' in dismissed.text
    for key in (first, second):
        again = teacher.post(f"{base}/{key}/reopen")
        assert 'data-decision="open"' in again.text
    assert seasons.read_remarks(desk.season, code) == ()


def test_a_finding_joins_a_remark_and_is_taken_out_again(
    teacher: Client, desk: Desk, code: str
) -> None:
    """One remark has the places of both; taken out, the finding is open and its places are gone."""
    first, second = findings(teacher, code)[:2]
    base = f"/entries/{code}/findings"
    teacher.post(f"{base}/{first}/accept", json={})
    (alone,) = seasons.read_remarks(desk.season, code)
    answer = teacher.post(f"{base}/{second}/join", json={"remark": alone.remark.id})
    assert answer.status_code == 200
    assert f'data-part="{second}"' in answer.json()["full"]
    assert 'class="short"' in answer.json()["short"]
    (both,) = seasons.read_remarks(desk.season, code)
    assert set(both.remark.spots) > set(alone.remark.spots)
    assert second not in findings(teacher, code)
    assert 'data-decision="open"' in teacher.post(f"{base}/{second}/reopen").text
    (again,) = seasons.read_remarks(desk.season, code)
    assert again.remark.spots == alone.remark.spots
    assert again.remark.place == alone.remark.place
    teacher.post(f"{base}/{second}/join", json={"remark": alone.remark.id})
    seasons.reopen(desk.season, code, first, seasons.review_of(desk.season, code))
    (left,) = seasons.read_remarks(desk.season, code)
    body = {"revision": left.remark.revision}
    teacher.request("DELETE", f"/entries/{code}/remarks/{left.remark.id}", json=body)
    assert second in findings(teacher, code)
    gone = teacher.post(f"{base}/{second}/join", json={"remark": "no-such"})
    assert gone.status_code in (404, 422)


def test_an_own_remark_at_a_place(teacher: Client, desk: Desk, code: str) -> None:
    """A remark of the teacher's own stands at its bar and stave, its text as typed."""
    place = {"first": 1, "last": 2, "part": "P2", "stave": 1}
    body = {"kind": "praise", "text": f"Good {EVIL}", "place": place}
    answer = teacher.post(f"/entries/{code}/remarks", json=body)
    assert answer.status_code == 201
    assert EVIL not in answer.text
    (kept,) = seasons.read_remarks(desk.season, code)
    assert kept.remark.text == f"Good {EVIL}"
    assert [(spot.bar, spot.last_bar, spot.part) for spot in kept.remark.spots] == [(1, 2, "P2")]
    gone = teacher.request(
        "DELETE", f"/entries/{code}/remarks/{kept.remark.id}", json={"revision": 1}
    )
    assert gone.status_code == 200
    assert seasons.read_remarks(desk.season, code) == ()


def test_a_place_that_is_not_there_is_refused(teacher: Client, code: str) -> None:
    """Bars, parts and notes that the score does not have are told in a sentence."""
    for wrong in (
        {"first": 3, "last": 9},
        {"first": 2, "last": 1},
        {"first": 0, "last": 0, "part": "../P1"},
        {"first": 0, "last": 0, "part": "P1", "notes": ["P1.0.99"]},
    ):
        body = {"kind": "praise", "text": "x", "place": wrong}
        answer = teacher.post(f"/entries/{code}/remarks", json=body)
        assert answer.status_code == 422, wrong
        assert answer.json()["error"]


def test_a_remark_changed_elsewhere_is_not_overwritten(
    teacher: Client, desk: Desk, code: str
) -> None:
    """Of two tabs that reword one remark the second is told both texts; nothing is lost."""
    key = findings(teacher, code)[0]
    made = teacher.post(f"/entries/{code}/findings/{key}/accept", json={"text": "first"}).text
    name = re.findall(r'data-remark="([0-9a-f]+)"', made)[0]
    url = f"/entries/{code}/remarks/{name}"
    read = revision(made)
    assert teacher.put(url, json={"revision": read, "text": "one tab"}).status_code == 200
    late = teacher.put(url, json={"revision": read, "text": "other tab"})
    assert late.status_code == 409
    assert "one tab" in late.json()["theirs"]
    assert "other tab" in late.json()["mine"]
    (kept,) = seasons.read_remarks(desk.season, code)
    assert kept.remark.text == "one tab"
    assert any("other tab" in one.text for one in seasons.texts_set_aside(desk.season, code))


def test_a_remark_becomes_a_main_point(teacher: Client, desk: Desk, code: str) -> None:
    """Weight and kind are changed without touching the words."""
    key = findings(teacher, code)[0]
    made = teacher.post(f"/entries/{code}/findings/{key}/accept", json={"text": "mine"}).text
    name = re.findall(r'data-remark="([0-9a-f]+)"', made)[0]
    body = {"revision": revision(made), "weight": "main", "kind": "question"}
    answer = teacher.put(f"/entries/{code}/remarks/{name}", json=body)
    assert "main point" in answer.text
    (kept,) = seasons.read_remarks(desk.season, code)
    assert (kept.remark.text, str(kept.remark.kind)) == ("mine", "question")


def test_typed_text_is_on_disk_when_it_is_answered(teacher: Client, desk: Desk, code: str) -> None:
    """A second reader of the same files sees the text as soon as the save is answered."""
    url = f"/entries/{code}/drafts/remark:abc"
    assert teacher.get(url).json()["revision"] == 0
    assert teacher.put(url, json={"text": "half a sent", "revision": 0}).json()["revision"] == 1
    with seasons.open_season(desk.season.folder) as other:
        assert seasons.read_draft(other, code, "remark:abc").text == "half a sent"


def test_a_late_save_is_told_both_texts(teacher: Client, code: str) -> None:
    """A save over an older revision changes nothing and answers with both texts."""
    url = f"/entries/{code}/drafts/opening"
    teacher.put(url, json={"text": "tab one", "revision": 0})
    late = teacher.put(url, json={"text": "tab two", "revision": 0})
    assert late.status_code == 409
    said = late.json()
    assert (said["mine"], said["theirs"], said["revision"]) == ("tab two", "tab one", 1)
    assert teacher.get(url).json()["text"] == "tab one"


def test_a_save_can_be_repeated(teacher: Client, code: str) -> None:
    """A save whose answer got lost is sent again and does no harm."""
    url = f"/entries/{code}/drafts/opening"
    for _ in range(2):
        answer = teacher.put(url, json={"text": "once", "revision": 0})
        assert answer.json()["revision"] == 1


def test_time_is_counted(teacher: Client, desk: Desk, code: str) -> None:
    """Time spent on an entry adds up; what is no time is refused."""
    for _ in range(2):
        assert teacher.post(f"/entries/{code}/spent", json={"seconds": 60}).status_code == 200
    assert teacher.post(f"/entries/{code}/spent", json={"seconds": -1}).status_code == 422
    assert teacher.post(f"/entries/{code}/spent", json={"seconds": 1e9}).status_code == 422
    assert seasons.season_json(desk.season)["entries"][0]["minutes"] == 2.0
