"""A refusal in one sentence: as text for a person, as data for a script."""

from starlette.responses import JSONResponse, PlainTextResponse, Response
from starlette.types import Receive, Scope, Send

SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


async def refuse(scope: Scope, receive: Receive, send: Send, status: int, words: str) -> None:
    """Answer a request with a status and a sentence."""
    person = scope["method"] == "GET" and "text/html" in (header(scope, b"accept") or "")
    answer: Response = JSONResponse({"error": words}, status)
    if person:
        answer = PlainTextResponse(f"{words}\n", status)
    await answer(scope, receive, send)


def header(scope: Scope, name: bytes) -> str | None:
    """Return a header of a request, None where it has none; the last one where it has several."""
    found = [value for key, value in scope["headers"] if key == name]
    return str(found[-1].decode("latin-1")) if found else None
