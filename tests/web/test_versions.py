"""Versions over the wire: what changed, what became of remarks, what is taken along."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from redstave import store
from redstave.app import seasons
from redstave.model.remark import finding_key
from redstave.model.role import Role, RoleOverride
from redstave.model.teacher import TeachersWord
from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access
from tests.app.season_entry import FIRST, SECOND, signed
from tests.web.client import Client
from tests.web.conftest import PORT, ROOT


@pytest.fixture
def worked(tmp_path: Path, pictures: Path) -> Iterator[tuple[Client, Desk, str]]:
    """A desk whose one entry was remarked on and has come a second time, computed."""
    with seasons.new_season(tmp_path / "s", None, "steps") as season:
        code = seasons.add_bytes(season, signed(FIRST), "a.musicxml")
        seasons.compute(season)
        review, score = seasons.review_of(season, code), seasons.score_of(season, code)
        for one in review.findings:
            if one.slug in ("pitch-outside-instrument", "tune-covered"):
                seasons.accept(season, code, finding_key(one), review, score)
        said = TeachersWord(roles=(RoleOverride("P1", 2, 4, Role.TUNE),))
        store.write_word(season, code, 1, said, 0)
        seasons.add_bytes(season, signed(SECOND), "b.musicxml", again=code)
        seasons.compute(season)
    desk, access = Desk(seasons.open_season(tmp_path / "s"), pictures, painters=1), Access()
    client = Client(make_app(desk, access, port=PORT), ROOT, {"x-redstave-token": access.token})
    yield client, desk, code
    client.close()
    desk.close()


def test_a_second_version_is_told_and_its_remarks_go_along(
    worked: tuple[Client, Desk, str],
) -> None:
    """What is answered stays, what remains goes to its new place; the reading page points there."""
    client, desk, code = worked
    assert f"/entries/{code}/versions" in client.get(f"/entries/{code}/reading").text
    page = client.get(f"/entries/{code}/versions").text
    assert "answered" in page
    assert "remains" in page
    assert "Bar 2 is new" in page
    assert "1 remark goes" in page
    assert client.post(f"/entries/{code}/versions/along").json() == {"unsaid": []}
    versions = {
        one.remark.slug: one.remark.version for one in seasons.read_remarks(desk.season, code)
    }
    assert versions == {"pitch-outside-instrument": 1, "tune-covered": 2}
    assert store.read_word(desk.season, code, 2).word.roles[0].first == 3
    assert "No remark is left to go" in client.get(f"/entries/{code}/versions").text


def test_one_version_is_told(client: Client, code: str) -> None:
    """Where there is nothing to compare, the page says how a further version comes in."""
    answer = client.get(f"/entries/{code}/versions")
    assert answer.status_code == 200
    assert "one version of this entry so far" in answer.text


def test_taking_along_asks_for_the_token(client: Client, code: str) -> None:
    """Without the page's token nothing is changed."""
    assert client.post(f"/entries/{code}/versions/along").status_code == 403
