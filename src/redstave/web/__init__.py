"""The desk: the local web page where the teacher works.

A thin face: a page parses what was asked, calls `redstave.app`, and hands the answer to a template.
It never sees the database, the XML or the engraver.

::

    factory.py       make_app(desk, access): the application with all its guards
    desk.py          Desk: the open season, the entries laid open, the painter
    serve.py         serve(…): the address, the port, uvicorn
    paper.py         templates and what every page of them knows
    still.py         style sheets, scripts and the music font, read once at the start
    asked.py         what a request may say: code names, layouts, ranges of bars
    guard/           who may ask what: one small ASGI layer a file
    pages/           one module a page, each with a `router`
    templates/       one template a page, one a fragment of it (`_name.html.j2`)
    static/          one style sheet a page beside desk.css, small ES modules

How to add a page: write `pages/<page>.py` with `router = APIRouter()`, its template and, where it
needs them, `static/<page>.css` and `static/<page>.js`; add the router to `pages/__init__.py`. A
page that changes something answers POST, PUT or DELETE with JSON or with the fragment that changed;
the guards see to host, origin, token and size, so a page does not. Scripts fetch through
`ask.js`, which sends the token; typed text goes through `keep.js`, which saves it as it is typed.

No inline script, no inline style, no `style` attribute in a template: the policy forbids them.
Scripts may set `element.style` where a length is computed.
"""
