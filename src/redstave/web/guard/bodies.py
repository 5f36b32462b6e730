"""No request is longer than it may be, whatever it says of itself: its bytes are counted."""

from collections.abc import Mapping

from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from redstave.web.guard.refusal import header, refuse

USUAL = 512 * 1024  # bytes: the longest text there may be, every letter of it written as six
WORDS = "That is more than this desk takes at once."


class BodyGuard:
    """Refuses longer bodies; `larger` gives paths that may take more, by their beginning."""

    def __init__(self, app: ASGIApp, larger: Mapping[str, int], usual: int = USUAL) -> None:
        self._app = app
        self._larger = dict(larger)
        self._usual = usual

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Judge the length that is claimed, then count the bytes that come."""
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        most = self._most(scope["path"])
        claimed = header(scope, b"content-length")
        if claimed is not None and (not claimed.isdigit() or int(claimed) > most):
            await refuse(scope, receive, send, 413, WORDS)
            return
        came = 0

        async def count() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > most:
                raise HTTPException(413, WORDS)
            return message

        await self._app(scope, count, send)

    def _most(self, path: str) -> int:
        found = [most for start, most in self._larger.items() if path.startswith(start)]
        return max(found, default=self._usual)
