"""What changes something must come from our own pages and carry their token.

Another site's page can make a browser send us requests, but it can neither read our token nor claim
our origin. It may not draw our files into its own pages either.
"""

from collections.abc import Mapping
from hmac import compare_digest

from starlette.types import ASGIApp, Receive, Scope, Send

from redstave.web.guard.access import Access
from redstave.web.guard.refusal import SAFE, header, refuse

TOKEN = b"x-redstave-token"
OURS = frozenset({"same-origin", "none"})
_WORDS: Mapping[str, str] = {
    "site": "This desk answers its own pages only.",
    "token": "This page is from before the desk was started again; load it once more.",
}


class OriginGuard:
    """Refuses what another site asks for, and what changes something without our token."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self._app = app
        self._access = access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on where it is ours."""
        trouble = self._trouble(scope) if scope["type"] == "http" else ""
        if trouble:
            await refuse(scope, receive, send, 403, _WORDS[trouble])
            return
        await self._app(scope, receive, send)

    def _trouble(self, scope: Scope) -> str:
        site = header(scope, b"sec-fetch-site")
        mode = header(scope, b"sec-fetch-mode")
        changes = scope["method"] not in SAFE
        if site is not None and site not in OURS and (changes or mode != "navigate"):
            return "site"
        origin = header(scope, b"origin")
        if origin is not None and origin != _own_origin(scope):
            return "site"
        token = header(scope, TOKEN) or ""
        if changes and not compare_digest(token.encode(), self._access.token.encode()):
            return "token"
        return ""


def _own_origin(scope: Scope) -> str:
    return f"{scope.get('scheme', 'http')}://{header(scope, b'host')}"
