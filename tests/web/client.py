"""A client that speaks to an ASGI application directly: no network, no browser."""

from collections.abc import Mapping
from contextlib import ExitStack
from functools import partial
from typing import Any

import httpx
from anyio.from_thread import start_blocking_portal
from starlette.types import ASGIApp


class Client:
    """Sends requests one after another and keeps cookies; close it when done.

    Its event loop has a thread of its own: that of the browser's tests may still run in this one.
    """

    def __init__(self, app: ASGIApp, root: str, headers: Mapping[str, str] | None = None) -> None:
        self._held = ExitStack()
        self._loop = self._held.enter_context(start_blocking_portal())
        self._client = httpx.AsyncClient(
            transport=httpx.ASGITransport(app), base_url=root, headers=dict(headers or {})
        )

    def request(self, method: str, url: str, **sent: Any) -> httpx.Response:
        """Send one request and return the answer, redirects not followed."""
        return self._loop.call(partial(self._client.request, method, url, **sent))

    def get(self, url: str, **sent: Any) -> httpx.Response:
        """Ask for something."""
        return self.request("GET", url, **sent)

    def post(self, url: str, **sent: Any) -> httpx.Response:
        """Have something done."""
        return self.request("POST", url, **sent)

    def put(self, url: str, **sent: Any) -> httpx.Response:
        """Have something changed."""
        return self.request("PUT", url, **sent)

    def close(self) -> None:
        """Let go of the event loop."""
        self._loop.call(self._client.aclose)
        self._held.close()
