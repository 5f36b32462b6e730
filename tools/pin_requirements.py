"""Write requirements/*.txt: the exact versions of everything installed here that we ask for.

What we ask for stands in pyproject.toml (`dependencies` and `[dependency-groups]`); what it needs
in turn is read from the installed packages' own metadata. A pin is `name==version` and nothing
else, so that each user's own pip configuration decides where packages come from.

    .venv/bin/python -m tools.pin_requirements
"""

import tomllib
from collections.abc import Iterable, Iterator
from importlib.metadata import distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[1]
FILES = {"run": (), "build": (), "dev": ("run", "build"), "docs": ()}


def asked_for(group: str) -> list[str]:
    """Return the requirements that pyproject.toml states for a group; "run" is the package's."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    if group == "run":
        return list(project["project"]["dependencies"])
    return list(project["dependency-groups"][group])


def closure(requirements: Iterable[str]) -> dict[str, str]:
    """Return name → installed version of the requirements and of all they need in turn."""
    pins: dict[str, str] = {}
    waiting = [Requirement(text) for text in requirements]
    while waiting:
        requirement = waiting.pop()
        name = canonicalize_name(requirement.name)
        if name not in pins:
            pins[name] = distribution(name).version
            waiting.extend(_needs(name, requirement.extras))
    return dict(sorted(pins.items()))


def _needs(name: str, extras: set[str]) -> Iterator[Requirement]:
    for text in distribution(name).requires or ():
        need = Requirement(text)
        wanted = [{"extra": extra} for extra in extras or {""}]
        if need.marker is None or any(need.marker.evaluate(where) for where in wanted):
            yield need


def pin_file(group: str) -> str:
    """Return the text of requirements/<group>.txt; what an included file pins is left out."""
    included = FILES[group]
    known = {name for other in included for name in closure(asked_for(other))}
    lines = [f"-r {other}.txt" for other in included]
    pins = closure(asked_for(group)).items()
    lines += [f"{name}=={version}" for name, version in pins if name not in known]
    return "\n".join(lines) + "\n"


def main() -> None:
    """Write every pin file."""
    for group in FILES:
        path = ROOT / "requirements" / f"{group}.txt"
        path.write_text(pin_file(group), encoding="utf-8")
        print(f"{path.relative_to(ROOT)}: {path.read_text(encoding='utf-8').count('==')} pins")


if __name__ == "__main__":
    main()
