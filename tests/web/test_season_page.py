"""The season over the wire: files in, computing, thresholds, and no file's name while blind."""

import re
import time

import pytest

from redstave import store
from redstave.reading.tiny import to_musicxml
from redstave.web.desk import Desk
from tests.web.client import Client
from tests.web.conftest import EVIL

NAME = "Wilhelmina-Quick.musicxml"
TINY = "title: X\nmeter: 4/4\npart Flute\nmf C5/1 | D5/1 |.\n"


def added(teacher: Client, data: bytes, name: str = NAME, again: str = "") -> int | str:
    """Add a file; return its code, or the status of a refusal."""
    sent = {"files": {"file": (name, data)}, "data": {"again": again}}
    answer = teacher.post("/files", **sent)
    return str(answer.json()["code"]) if answer.status_code == 201 else answer.status_code


def waited(teacher: Client) -> dict[str, object]:
    """Wait until nothing is computed; return how far it got."""
    for _ in range(600):
        now: dict[str, object] = teacher.get("/computing").json()
        if not now["running"]:
            return now
        time.sleep(0.05)
    raise AssertionError("computing did not end")


def test_the_page_shows_every_entry(client: Client, code: str) -> None:
    """Code, state and counts stand on the page; nothing of the score's own words is markup."""
    text = client.get("/").text
    assert f"/entries/{code}/reading" in text
    assert "computed" in text
    assert EVIL not in text
    assert "onerror" not in text


def test_a_file_is_added_computed_and_readable(teacher: Client, desk: Desk) -> None:
    """Dropped, an entry gets a code at once, is computed in the background, and can be read."""
    code = added(teacher, to_musicxml(TINY))
    assert isinstance(code, str)
    assert waited(teacher)["done"] == [code]
    assert teacher.get(f"/entries/{code}/reading").status_code == 200
    assert store.read_entry(desk.season, code).newest.number == 1


def test_no_name_is_shown_while_blind(teacher: Client) -> None:
    """Neither the answer to an intake nor any page of the season says what a file was called."""
    answers = [
        teacher.post("/files", files={"file": (NAME, to_musicxml(TINY))}).text,
        teacher.post("/files", files={"file": (NAME, to_musicxml(TINY))}).text,
        teacher.post("/files", files={"file": (NAME, b"<a/>")}).text,
    ]
    waited(teacher)
    answers += [teacher.get(url).text for url in ("/", "/entries", "/checks", "/computing")]
    assert not any("Quick" in text for text in answers)


def test_names_are_shown_once_the_seal_is_broken(teacher: Client) -> None:
    """Opened by the teacher, the season shows under which names the files came."""
    assert "entry.musicxml" not in teacher.get("/entries").text
    assert teacher.post("/names", json={}).status_code == 200
    assert "entry.musicxml" in teacher.get("/entries").text


def test_a_further_version_is_one_of_an_entry(teacher: Client, desk: Desk, code: str) -> None:
    """A file can come as a further version of an entry that is there, and of no other."""
    assert added(teacher, to_musicxml(TINY), again=code) == code
    assert store.read_entry(desk.season, code).newest.number == 2
    assert added(teacher, to_musicxml(TINY.replace("D5", "E5")), again="Nobody") == 422


@pytest.mark.parametrize("name", ["../../x.musicxml", "/etc/passwd", "a\x00b.xml", "", "."])
def test_a_file_name_never_becomes_a_path(teacher: Client, desk: Desk, name: str) -> None:
    """Whatever a file is called, its bytes lie under their hash in the season's folder."""
    before = set(desk.season.folder.rglob("*"))
    added(teacher, to_musicxml(TINY), name)
    waited(teacher)
    new = {path for path in desk.season.folder.rglob("*") if path not in before}
    hashed = re.compile(r"files(/[0-9a-f]{2})?(/[0-9a-f]+)?|season\.sqlite-\w+")
    names = [path.relative_to(desk.season.folder).as_posix() for path in new]
    assert [one for one in names if not hashed.fullmatch(one)] == []


def test_computing_can_be_stopped(teacher: Client, desk: Desk) -> None:
    """A stop is answered at once, also where nothing runs."""
    assert teacher.request("DELETE", "/computing", json={}).json()["running"] is False
    added(teacher, to_musicxml(TINY))
    assert teacher.request("DELETE", "/computing", json={}).json()["running"] is False
    assert not desk.computing.progress.running


def test_what_is_not_there_is_not_computed(teacher: Client) -> None:
    """A code that no entry has is refused in a sentence."""
    answer = teacher.post("/computing", json={"codes": ["Nobody"]})
    assert answer.status_code == 422
    assert "no entry Nobody" in answer.json()["error"]


def test_a_threshold_is_moved_by_an_explicit_act(teacher: Client, desk: Desk) -> None:
    """Moved, it is listed beside its default and the entries wait; put back, they do not."""
    url = "/checks/tune-covered/least_chance"
    assert "Back to" in teacher.put(url, json={"value": 0.9}).text
    assert store.thresholds(desk.season) == {"tune-covered": {"least_chance": 0.9}}
    assert "Compute it" in teacher.get("/entries").text
    teacher.put(url, json={"value": None})
    assert store.thresholds(desk.season) == {}
    assert "Compute it" not in teacher.get("/entries").text


def test_a_check_is_left_out_and_taken_in(teacher: Client, desk: Desk) -> None:
    """Turned off for the season it is struck through, and can be taken in again."""
    assert "Take it in again" in teacher.put("/checks/tune-covered", json={"on": False}).text
    assert store.switches(desk.season) == {"tune-covered": False}
    teacher.put("/checks/tune-covered", json={"on": None})
    assert store.switches(desk.season) == {}


def test_a_strange_threshold_is_refused(teacher: Client) -> None:
    """Checks and thresholds that are not there are told in a sentence."""
    for url in ("/checks/tune-covered/nothing", "/checks/no-such-check/least_chance"):
        assert teacher.put(url, json={"value": 1}).status_code == 422


def test_a_guest_can_add_and_compute_nothing(client: Client) -> None:
    """Without the token nothing of it is done."""
    assert client.post("/files", files={"file": ("x.musicxml", b"x")}).status_code == 403
    assert client.post("/computing", json={}).status_code == 403
    assert client.put("/checks/tune-covered", json={"on": False}).status_code == 403
