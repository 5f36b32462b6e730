"""No path of a request reaches the disk: files come from a fixed list, entries from the season."""

import re
from pathlib import Path

import pytest

from redstave.web.still import stills
from tests.web.client import Client

TRAVERSALS = [
    "/still/x/../desk.css",
    "/still/x/..%2f..%2fdesk.py",
    "/still/x/%2e%2e%2f%2e%2e%2fdesk.py",
    "/still/../still.py",
    "/still/x//etc/passwd",
    "/still/x/desk.css%00.js",
    "/still/x/DESK.CSS",
    "/entries/..%2f..%2fseason.sqlite/reading",
    "/entries/../season.sqlite",
    "/entries/%2e%2e/reading",
    "/season.sqlite",
    "/files/../season.sqlite",
]


@pytest.mark.parametrize("path", TRAVERSALS)
def test_traversals_lead_nowhere(client: Client, path: str) -> None:
    """A path that wants out of its folder finds nothing."""
    assert client.get(path).status_code in (404, 405, 422)


def test_the_list_of_files_is_what_lies_there() -> None:
    """Every style sheet and script of ours can be asked for, and the font; nothing else."""
    folder = Path(__file__).parents[2] / "src" / "redstave" / "web" / "static"
    there = {path.name for path in folder.iterdir() if path.suffix in (".css", ".js")}
    assert there
    assert set(stills()) == there | {"leipzig.woff2"}


def test_files_are_kept_for_good(client: Client) -> None:
    """A file carries an edition in its address and may be kept by the browser."""
    answer = client.get("/still/any/desk.css")
    assert answer.status_code == 200
    assert "immutable" in answer.headers["cache-control"]
    assert client.get("/still/any/leipzig.woff2").content[:4] == b"wOF2"


@pytest.mark.parametrize("code", ["nobody", "a" * 65, "a.b", "a b", "ä", "1"])
def test_unknown_entries_are_told_in_a_sentence(client: Client, code: str) -> None:
    """A code name that the season does not have, or that is none, is refused with words."""
    answer = client.get(f"/entries/{code}/drafts")
    assert answer.status_code == 422
    assert answer.json()["error"]


def test_scripts_and_styles_ask_nobody_else() -> None:
    """No style sheet or script of ours names another host (but the name of SVG, which is none)."""
    for name, one in stills().items():
        if name.endswith((".css", ".js")):
            named = re.findall(r"(?:https?:|[\"'(])//[\w.-]+[\w/]*", one.data.decode())
            assert set(named) <= {"http://www.w3.org/2000/svg"}, name
