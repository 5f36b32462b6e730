"""The catalogue of checks as data for a page or a terminal."""

from redstave.base.errors import InputError
from redstave.checks.registry import HEADINGS, Check, catalogue

Json = dict[str, object]


def check_pages(slug: str = "") -> list[Json]:
    """Return the page of one check, or of all; an unknown slug is an InputError."""
    known = catalogue()
    if slug and slug not in known:
        raise InputError(f'there is no check "{slug}"; "redstave checks" lists them all')
    return [_page(check) for check in ([known[slug]] if slug else known.values())]


def _page(check: Check) -> Json:
    return {
        "slug": check.slug,
        "family": check.family,
        "claim": str(check.claim),
        "status": str(check.status),
        "on": check.on,
        "summary": summary(check),
        "text": check.text,
        "sources": list(check.sources),
        "settings": [
            {
                "name": setting.name,
                "default": setting.default,
                "unit": setting.unit,
                "meaning": setting.meaning,
                "source": setting.source,
            }
            for setting in check.settings
        ],
    }


def summary(check: Check) -> str:
    """Return the first sentence of what a check reports."""
    lines = check.text.splitlines()
    body = " ".join(line.strip() for line in lines[lines.index(HEADINGS[0]) + 1 :]).strip()
    return body.split(". ")[0].rstrip(".") + "."
