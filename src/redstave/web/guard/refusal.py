"""A refusal in one sentence."""

from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


async def refuse(scope: Scope, receive: Receive, send: Send, status: int, words: str) -> None:
    """Answer a request with a status and a sentence."""
    await PlainTextResponse(f"{words}\n", status)(scope, receive, send)


def header(scope: Scope, name: bytes) -> str | None:
    """Return a header of a request, None where it has none; the last one where it has several."""
    found = [value for key, value in scope["headers"] if key == name]
    return str(found[-1].decode("latin-1")) if found else None
