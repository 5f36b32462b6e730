"""A season's own settings, and what its checks have been worth to the teacher so far."""

from redstave import store
from redstave.app.settings import Settings
from redstave.base.errors import InputError
from redstave.checks import catalogue
from redstave.checks.registry import Check
from redstave.model.season import Acceptance
from redstave.store import Season

Json = dict[str, object]

FEW = 20  # decisions below which nothing is suggested
SELDOM = 0.30  # acceptance below which turning a check off is suggested


def settings_of(season: Season) -> Settings:
    """Return the thresholds moved and the checks switched for this season."""
    return Settings(store.thresholds(season), store.switches(season))


def move(season: Season, slug: str, name: str, value: float | None) -> None:
    """Move a threshold for the season (None: back to its default); reviews to come use it."""
    names = [setting.name for setting in _check(slug).settings]
    if name not in names:
        there = ", ".join(names) if names else "none"
        raise InputError(f'the check {slug} has no threshold "{name}"; it has {there}')
    store.move_threshold(season, slug, name, value)


def switch(season: Season, slug: str, is_on: bool | None) -> None:
    """Turn a check on or off for the season (None: as in the catalogue)."""
    _check(slug)
    store.switch_check(season, slug, is_on)


def moved(text: str) -> tuple[str, str, float | None]:
    """Read "tune-covered.least_chance=0.8" as slug, name and value."""
    place, _, value = text.strip().partition("=")
    slug, _, name = place.partition(".")
    try:
        return slug.strip(), name.strip(), float(value)
    except ValueError:
        raise InputError(
            f'"{text}" moves nothing; write such as tune-covered.least_chance=0.8'
        ) from None


def put_back(text: str) -> tuple[str, str, float | None]:
    """Read "tune-covered.least_chance" as slug and name of a threshold to be put back."""
    slug, _, name = text.strip().partition(".")
    return slug, name, None


def checks_json(season: Season) -> list[Json]:
    """Return every check judged on or changed in this season; see docs/json.md.

    `suggestion` is a sentence where the teacher has dismissed most findings of a check; nothing is
    turned off by itself.
    """
    judged = {one.slug: one for one in store.acceptance(season)}
    settings = settings_of(season)
    wanted = sorted({*judged, *settings.changed, *settings.switched} & set(catalogue()))
    return [
        _row(catalogue()[slug], judged.get(slug, Acceptance(slug)), settings) for slug in wanted
    ]


def suggestion(fared: Acceptance, is_on: bool) -> str:
    """Return what to think about where a check was seldom of use, "" where nothing is to be said.

    Below SELDOM of at least FEW decisions (common practice, no source).
    """
    if not is_on or fared.judged < FEW or fared.share >= SELDOM:
        return ""
    used = fared.judged - fared.dismissed
    return (
        f"Of {fared.judged} findings you have used {used}: move its threshold, or turn it off for "
        f"this season with --off {fared.slug}"
    )


def _row(check: Check, fared: Acceptance, settings: Settings) -> Json:
    changed = settings.changed.get(check.slug, {})
    return {
        "slug": check.slug,
        "family": check.family,
        "on": settings.wants(check),
        "accepted": fared.accepted,
        "reworded": fared.reworded,
        "merged": fared.merged,
        "dismissed": fared.dismissed,
        "share": round(fared.share, 3) if fared.judged else None,
        "settings": [
            {
                "name": one.name,
                "value": changed.get(one.name, one.default),
                "default": one.default,
                "unit": one.unit,
            }
            for one in check.settings
        ],
        "suggestion": suggestion(fared, settings.wants(check)),
    }


def _check(slug: str) -> Check:
    if slug not in catalogue():
        raise InputError(f'there is no check "{slug}"; "redstave checks" lists them all')
    return catalogue()[slug]
