"""Templates, and what every page of them knows: who asks, the token, paper or dark."""

from functools import cache

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from redstave.render.letter import tied
from redstave.web.asked import guest
from redstave.web.still import edition

#: The pages of one entry: path below it, and what it is called.
ENTRY_PAGES = (
    ("reading", "Reading"),
    ("hearing", "Hearing"),
    ("origin", "Origin"),
    ("trial", "Trial"),
    ("grades", "Grades"),
    ("letter", "Letter"),
)
LIGHTS = ("paper", "dark")
LIGHT_COOKIE = "redstave-light"


def page(request: Request, template: str, status: int = 200, **known: object) -> HTMLResponse:
    """Answer with a whole page, or with a fragment of one (`_name.html.j2`)."""
    return HTMLResponse(filled(request, template, **known), status)


def filled(request: Request, template: str, **known: object) -> str:
    """Return the HTML of a page or of a fragment."""
    light = request.cookies.get(LIGHT_COOKIE, "")
    return (
        _environment()
        .get_template(template)
        .render(
            known,
            guest=guest(request),
            token="" if guest(request) else request.app.state.access.token,
            light=light if light in LIGHTS else "",
            edition=edition(),
        )
    )


def still(name: str) -> str:
    """Return the address of a style sheet, a script or the font."""
    return f"/still/{edition()}/{name}"


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("redstave.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["tied"] = tied
    environment.filters["svg"] = Markup  # only for drawings of ours
    environment.globals["still"] = still
    environment.globals["entry_pages"] = ENTRY_PAGES
    return environment
