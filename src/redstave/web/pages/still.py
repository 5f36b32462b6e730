"""Style sheets, scripts and the music font; and the token, for a page older than the desk."""

from fastapi import APIRouter, Request
from fastapi.responses import JSONResponse, Response
from starlette.exceptions import HTTPException

from redstave.web.asked import guest
from redstave.web.still import stills

router = APIRouter()
FOR_GOOD = "public, max-age=31536000, immutable"


@router.get("/still/{edition}/{name}")
def still(edition: str, name: str) -> Response:
    """Return one file out of the fixed list; the edition is there for the browser's memory."""
    found = stills().get(name)
    if found is None or len(edition) > 64:
        raise HTTPException(404)
    return Response(found.data, media_type=found.kind, headers={"cache-control": FOR_GOOD})


@router.get("/token")
def token(request: Request) -> Response:
    """Return the token that changes carry: a page kept open while the desk restarted asks here."""
    return JSONResponse({"token": "" if guest(request) else request.app.state.access.token})
