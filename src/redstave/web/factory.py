"""The application: pages, what goes wrong told in a sentence, and the guards round it all."""

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp

from redstave.base.errors import InputError, StaleError
from redstave.web.desk import Desk
from redstave.web.guard import (
    Access,
    AccessGuard,
    BodyGuard,
    HeaderGuard,
    HostGuard,
    OriginGuard,
    allowed_hosts,
)
from redstave.web.guard.hosts import EVERYWHERE
from redstave.web.pages import routers
from redstave.web.paper import page

#: Paths that take more than a text: entries are added there.
UPLOADS = {"/files": 64 * 1024 * 1024}
TOLD = (400, 404, 405, 409, 413, 422)  # statuses that come with a sentence


class Trouble(BaseModel):
    """What went wrong, in a sentence; for a text changed elsewhere both texts and the revision."""

    error: str
    field: str | None = None
    mine: str | None = None
    theirs: str | None = None
    revision: int | None = None


_TROUBLE: dict[str, Any] = {
    "description": "What went wrong",
    "content": {"application/json": {"schema": Trouble.model_json_schema()}},
}


def make_app(desk: Desk, access: Access, host: str = "127.0.0.1", port: int = 8765) -> ASGIApp:
    """Return the desk as an ASGI application that answers at `host` and `port` only."""
    guarded: ASGIApp = pages(desk, access)
    guarded = BodyGuard(guarded, UPLOADS)
    guarded = OriginGuard(guarded, access)
    guarded = AccessGuard(guarded, access)
    guarded = HostGuard(guarded, allowed_hosts(host, port), host in EVERYWHERE, port)
    return HeaderGuard(guarded)


def pages(desk: Desk, access: Access) -> FastAPI:
    """Return the application without its guards."""
    app = FastAPI(
        title="Redstave desk",
        openapi_url=None,
        docs_url=None,
        redoc_url=None,
        responses=dict.fromkeys(TOLD, _TROUBLE),
    )
    app.state.desk = desk
    app.state.access = access
    for router in routers():
        app.include_router(router)
    app.add_exception_handler(StaleError, _stale)
    app.add_exception_handler(InputError, _told)
    app.add_exception_handler(HTTPException, _refused)
    app.add_exception_handler(RequestValidationError, _not_understood)
    return app


async def _stale(_: Request, error: Exception) -> Response:
    """Tell of a text that was changed elsewhere, with both texts."""
    assert isinstance(error, StaleError)
    both = {"mine": error.mine, "theirs": error.theirs, "revision": error.revision}
    return JSONResponse({"error": str(error), "field": error.field, **both}, 409)


async def _told(request: Request, error: Exception) -> Response:
    return _answer(request, 422, str(error))


async def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    words = "There is no such page." if error.status_code == 404 else str(error.detail)
    answer = _answer(request, error.status_code, words)
    answer.headers.update(error.headers or {})
    return answer


async def _not_understood(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    first = error.errors()[0]
    where = ".".join(str(part) for part in first["loc"])
    return _answer(request, 422, f"{where}: {first['msg']}")


def _answer(request: Request, status: int, words: str) -> Response:
    """Answer a person with a page and a script with data."""
    sentence = words[:1].upper() + words[1:]
    if "text/html" in request.headers.get("accept", "") and request.method == "GET":
        return page(request, "trouble.html.j2", status, words=sentence, number=status)
    return JSONResponse({"error": sentence}, status)
