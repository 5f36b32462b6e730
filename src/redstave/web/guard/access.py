"""Who asks: the teacher, or a guest who may only look.

A desk on loopback has no key: whoever can ask is the teacher. A desk that listens elsewhere, or
that has a link for guests, has a key for the teacher: the address carries it once, a cookie from
then on. A guest's key opens every page and changes nothing.
"""

from dataclasses import dataclass, field
from hmac import compare_digest
from http.cookies import CookieError, SimpleCookie
from secrets import token_urlsafe
from urllib.parse import parse_qsl, urlencode

from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from redstave.web.guard.refusal import SAFE, header, refuse

COOKIE, QUERY = "redstave-key", "key"
TEACHER, GUEST, NOBODY = "teacher", "guest", ""


@dataclass(frozen=True)
class Access:
    """The keys of a desk: `teacher` is "" where none is needed, `guest` where guests have no link.

    `token` is what our own pages send along with everything that changes something. ValueError for
    a guest's key without one for the teacher: it would keep nobody from anything.
    """

    teacher: str = ""
    guest: str = ""
    token: str = field(default_factory=lambda: token_urlsafe(24))

    def __post_init__(self) -> None:
        if self.guest and not self.teacher:
            raise ValueError("a desk with a key for guests needs one for the teacher")

    def role(self, key: str) -> str:
        """Return who has a key: TEACHER, GUEST or NOBODY."""
        if not self.teacher or compare_digest(key.encode(), self.teacher.encode()):
            return TEACHER
        if self.guest and compare_digest(key.encode(), self.guest.encode()):
            return GUEST
        return NOBODY


class AccessGuard:
    """Tells the application who asks (`scope["state"]["guest"]`) and refuses strangers."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self._app = app
        self._access = access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Take a key from the address into a cookie, or judge the one that is there."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        query = dict(parse_qsl(scope["query_string"].decode("latin-1")))
        if self._access.teacher and scope["method"] in SAFE and self._opens(query):
            await self._let_in(scope, receive, send, query)
            return
        role = self._access.role(_cookie(scope))
        if role == NOBODY:
            words = "This desk has a key; open the address with the key that it printed."
            await refuse(scope, receive, send, 401, words)
        elif role == GUEST and scope["method"] not in SAFE:
            await refuse(scope, receive, send, 403, "A guest may look and change nothing.")
        else:
            scope.setdefault("state", {})["guest"] = role == GUEST
            await self._app(scope, receive, send)

    def _opens(self, query: dict[str, str]) -> bool:
        return QUERY in query and self._access.role(query[QUERY]) != NOBODY

    async def _let_in(
        self, scope: Scope, receive: Receive, send: Send, query: dict[str, str]
    ) -> None:
        """Keep the key in a cookie and go on to the same page without it in the address."""
        key = query.pop(QUERY)
        rest = f"?{urlencode(query)}" if query else ""
        path = "/" + scope["path"].lstrip("/\\")  # never to another host
        answer = RedirectResponse(f"{path}{rest}", 303)
        answer.set_cookie(COOKIE, key, httponly=True, samesite="lax")
        await answer(scope, receive, send)


def _cookie(scope: Scope) -> str:
    try:
        jar = SimpleCookie(header(scope, b"cookie") or "")
    except CookieError:
        return ""
    return jar[COOKIE].value if COOKIE in jar else ""
