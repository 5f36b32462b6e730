"""Only requests to our own names are answered, so that no other site's name can lead here.

A page of another site can make its own name point to this machine; the browser then believes that
we belong to that site. Names we do not know are therefore refused (421). An address in figures
cannot be used for this and is accepted where the desk was told to listen on every address.
"""

import re
from collections.abc import Collection
from ipaddress import ip_address

from starlette.types import ASGIApp, Receive, Scope, Send

from redstave.web.guard.refusal import header, refuse

LOOPBACK = ("127.0.0.1", "localhost", "[::1]")
EVERYWHERE = ("0.0.0.0", "::")
_HOST = re.compile(r"(?P<name>\[[0-9a-fA-F:.]+\]|[A-Za-z0-9.-]+)(?::(?P<port>\d{1,5}))?\Z")


def allowed_hosts(host: str, port: int) -> frozenset[str]:
    """Return the names (with port) under which a desk that listens on `host` may be asked."""
    own = () if host in EVERYWHERE else (f"[{host}]" if ":" in host else host,)
    return frozenset(f"{name}:{port}" for name in (*LOOPBACK, *own))


class HostGuard:
    """Refuses requests to any other name; `figures` accepts addresses in figures at `port`."""

    def __init__(
        self, app: ASGIApp, allowed: Collection[str], figures: bool = False, port: int = 0
    ) -> None:
        self._app = app
        self._allowed = frozenset(allowed)
        self._figures = figures
        self._port = port

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on where its host is ours."""
        if scope["type"] == "http" and not self._ours(header(scope, b"host") or ""):
            words = "This desk does not answer to that name; use the address it printed."
            await refuse(scope, receive, send, 421, words)
            return
        await self._app(scope, receive, send)

    def _ours(self, host: str) -> bool:
        if host.lower() in self._allowed:
            return True
        found = _HOST.match(host)
        if not self._figures or found is None or found["port"] != str(self._port):
            return False
        try:
            ip_address(found["name"].strip("[]"))
        except ValueError:
            return False
        return True
