"""The pages of the desk, one module each; every module has a `router`."""

from fastapi import APIRouter

from redstave.web.pages import (
    drafts,
    grades,
    heard,
    hearing,
    lessons,
    letter,
    origin,
    reading,
    season,
    still,
    trial,
    versions,
    word,
    work,
)

PAGES = (
    still,
    season,
    lessons,
    reading,
    hearing,
    origin,
    word,
    trial,
    grades,
    letter,
    versions,
    heard,
    drafts,
    work,
)


def routers() -> tuple[APIRouter, ...]:
    """Return the routers of all pages."""
    return tuple(module.router for module in PAGES)
