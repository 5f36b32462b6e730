"""The desk answers nobody it should not: host, origin, token, size, keys, policy."""

from collections.abc import AsyncIterator, Iterator
from contextlib import closing

import pytest

from redstave.web.desk import Desk
from redstave.web.factory import make_app
from redstave.web.guard import Access, allowed_hosts
from tests.web.client import Client
from tests.web.conftest import PORT, ROOT


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        f"evil.example:{PORT}",
        "127.0.0.1",
        "127.0.0.1:1",
        "",
        f"127.0.0.1.evil:{PORT}",
    ],
)
def test_foreign_names_are_refused(client: Client, host: str) -> None:
    """A request under a name that is not ours (DNS rebinding) is answered with 421 only."""
    assert client.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}", f"[::1]:{PORT}"])
def test_our_own_names_are_answered(client: Client, host: str) -> None:
    """On loopback the desk is known under the three names of this machine."""
    assert client.get("/token", headers={"host": host}).status_code == 200


def test_only_figures_are_accepted_where_it_listens_everywhere(desk: Desk) -> None:
    """A desk on every address takes addresses in figures, which no foreign name can pretend."""
    app = make_app(desk, Access(), host="0.0.0.0", port=PORT)
    with closing(Client(app, ROOT)) as client:
        assert client.get("/token", headers={"host": f"192.0.2.7:{PORT}"}).status_code == 200
        assert client.get("/token", headers={"host": f"evil.example:{PORT}"}).status_code == 421
        assert client.get("/token", headers={"host": "192.0.2.7:80"}).status_code == 421


def test_a_named_host_is_allowed() -> None:
    """The host that the desk was told to listen on is one of its names."""
    assert f"desk.example:{PORT}" in allowed_hosts("desk.example", PORT)


def draft(code: str) -> str:
    """Return the address of a text."""
    return f"/entries/{code}/drafts/opening"


BODY = {"text": "Dear colleague", "revision": 0}


def test_a_change_needs_the_token(client: Client, teacher: Client, code: str) -> None:
    """Without our token nothing is written; with it the text is on disk."""
    assert client.put(draft(code), json=BODY).status_code == 403
    assert client.get(draft(code)).json()["revision"] == 0
    assert teacher.put(draft(code), json=BODY).json()["revision"] == 1


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": f"http://127.0.0.1:{PORT + 1}"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_site_changes_nothing(teacher: Client, code: str, headers: dict[str, str]) -> None:
    """Even with the token, a request that another site sends is refused."""
    assert teacher.put(draft(code), json=BODY, headers=headers).status_code == 403


def test_our_own_origin_may(teacher: Client, code: str) -> None:
    """What our own page sends is taken."""
    ours = {"origin": ROOT, "sec-fetch-site": "same-origin"}
    assert teacher.put(draft(code), json=BODY, headers=ours).status_code == 200


def test_another_site_cannot_draw_our_files_into_its_pages(client: Client) -> None:
    """A file asked for by another site's page is refused; following a link here is not."""
    embedded = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors"}
    followed = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert client.get("/token", headers=embedded).status_code == 403
    assert client.get("/token", headers=followed).status_code == 200


def test_a_long_body_is_refused_by_its_claim(teacher: Client, code: str) -> None:
    """A body that says it is too long is refused before it is read."""
    long = {"text": "x" * 600_000, "revision": 0}
    assert teacher.put(draft(code), json=long).status_code == 413


def test_a_long_body_is_refused_by_its_bytes(teacher: Client, code: str) -> None:
    """A body that does not say its length is counted as it comes."""

    async def pieces() -> AsyncIterator[bytes]:
        yield b'{"revision": 0, "text": "'
        for _ in range(60):
            yield b"x" * 10_000
        yield b'"}'

    headers = {"content-type": "application/json"}
    assert teacher.put(draft(code), content=pieces(), headers=headers).status_code == 413
    assert teacher.get(draft(code)).json()["revision"] == 0


@pytest.mark.parametrize("claim", ["-1", "many", "1e9"])
def test_a_senseless_length_is_refused(teacher: Client, code: str, claim: str) -> None:
    """A length that is no number is no length."""
    headers = {"content-type": "application/json", "content-length": claim}
    assert teacher.put(draft(code), content=b"{}", headers=headers).status_code == 413


def test_every_answer_carries_the_policy(client: Client, code: str) -> None:
    """Pages, data, files and refusals forbid inline script and style, frames and sniffing."""
    for path in ("/", f"/entries/{code}/reading", "/token", "/still/x/desk.css", "/nowhere"):
        answer = client.get(path)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy, path
        assert "script-src 'self'" in policy
        assert "style-src 'self'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "no-referrer"
    refused = client.get("/", headers={"host": "evil.example"})
    assert "default-src 'none'" in refused.headers["content-security-policy"]


KEYS = Access(teacher="teacher-key", guest="guest-key")


@pytest.fixture
def far(desk: Desk) -> Iterator[Client]:
    """Return a stranger's client to a desk that has keys."""
    with closing(Client(make_app(desk, KEYS, port=PORT), ROOT)) as one:
        yield one


def test_a_stranger_without_a_key_sees_nothing(far: Client) -> None:
    """A desk with a key answers nobody without it, nor with a wrong one."""
    assert far.get("/").status_code == 401
    assert far.get("/?key=guess").status_code == 401
    assert far.get("/still/x/desk.css").status_code == 401
    assert far.get("/", headers={"cookie": "redstave-key=guess"}).status_code == 401


def test_the_key_goes_from_the_address_into_a_cookie(far: Client) -> None:
    """The link lets in once; the key is then gone from the address, and no script can read it."""
    answer = far.get("/?key=teacher-key&x=1")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/?x=1"
    assert "httponly" in answer.headers["set-cookie"].lower()
    assert "samesite=lax" in answer.headers["set-cookie"].lower()
    assert far.get("/").status_code == 200


def test_a_link_never_leads_to_another_host(far: Client) -> None:
    """A path that looks like a host stays a path."""
    answer = far.get(f"{ROOT}//evil.example/?key=teacher-key")
    assert answer.headers["location"].startswith("/evil.example")


def test_a_guest_looks_and_changes_nothing(far: Client, code: str) -> None:
    """A guest sees every page without token or buttons; every change is refused, token or not."""
    far.get("/?key=guest-key")
    page = far.get(f"/entries/{code}/reading")
    assert page.status_code == 200
    assert 'name="redstave-token" content=""' in page.text
    assert "data-act=" not in page.text
    assert far.get("/token").json() == {"token": ""}
    sent = {"x-redstave-token": KEYS.token}
    assert far.put(draft(code), json=BODY, headers=sent).status_code == 403
    for method in ("POST", "DELETE", "PATCH"):
        assert far.request(method, draft(code), headers=sent).status_code == 403


def test_a_guest_s_key_needs_a_teacher_s() -> None:
    """A desk cannot be made with a key that keeps nobody from anything."""
    with pytest.raises(ValueError, match="one for the teacher"):
        Access(guest="guest-key")
