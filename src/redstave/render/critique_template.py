"""The template of a finished letter: ours, or the teacher's own in a folder of his.

A folder may hold any of

    critique.html.j2   used in place of ours; it may extend "redstave/critique.html.j2" and change
                       single blocks of it
    critique.css       used in place of our style
    additions.css      comes after the style, whichever it is

Templates run in a sandbox and escape what they print.
"""

import re
import traceback
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from jinja2 import (
    BaseLoader,
    ChoiceLoader,
    FileSystemLoader,
    PackageLoader,
    PrefixLoader,
    StrictUndefined,
    Template,
    TemplateNotFound,
    TemplateSyntaxError,
)
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup

from redstave.base.errors import InputError
from redstave.render.figures import figures, in_a_line
from redstave.render.letter import tied
from redstave.render.typed import direction
from redstave.render.wording import measured

TEMPLATE = "critique.html.j2"
STYLE = "critique.css"
ADDITIONS = "additions.css"
OURS = "redstave"
#: What the template engine says of a name that a value of ours does not have.
_LACKING = re.compile(r"'redstave\.[\w.]+ object' has no attribute '(\w+)'")


@dataclass(frozen=True, slots=True)
class Design:
    """How a letter looks: its template and its style; `folder` is the teacher's, None for ours."""

    template: Template
    style: str
    folder: Path | None = None

    def render(self, values: Mapping[str, object]) -> str:
        """Return the page; InputError names the line of the teacher's template that fails."""
        try:
            return self.template.render(values)
        except Exception as error:
            if self.folder is None:
                raise
            raise _failure(error, self.folder) from error


def design(folder: Path | None = None) -> Design:
    """Return our design, or that of a folder; InputError for a folder without one, or a fault."""
    if folder is None:
        return _ours()
    names = [name for name in (TEMPLATE, STYLE, ADDITIONS) if (folder / name).is_file()]
    if not folder.is_dir():
        raise InputError(f"there is no folder {folder} to take a template from; check the name")
    if not names:
        raise InputError(
            f"{folder} holds none of {TEMPLATE}, {STYLE} and {ADDITIONS}; put at least one there"
        )
    style = _read(folder / STYLE) if STYLE in names else _style()
    style += _read(folder / ADDITIONS) if ADDITIONS in names else ""
    try:
        return Design(_template(folder), style, folder)
    except Exception as error:
        raise _failure(error, folder) from error


@cache
def _ours() -> Design:
    return Design(_template(None), _style())


@cache
def _style() -> str:
    folder = files("redstave.render").joinpath("templates")
    sheets = ("letter.css", STYLE)
    return "\n".join(folder.joinpath(name).read_text(encoding="utf-8") for name in sheets)


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}); check the name") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not UTF-8 text; save it as UTF-8") from error


def _template(folder: Path | None) -> Template:
    ours = PackageLoader("redstave.render", "templates")
    loaders: list[BaseLoader] = [PrefixLoader({OURS: ours})]
    if folder is not None:
        loaders.append(FileSystemLoader(folder))
    environment = ImmutableSandboxedEnvironment(
        loader=ChoiceLoader([*loaders, ours]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {"measured": measured, "figures": figures, "in_a_line": in_a_line}
    environment.filters |= {"tied": tied, "placed": placed}
    environment.filters["direction"] = direction
    return environment.get_template(TEMPLATE)


def placed(place: str) -> Markup:
    """Return a place as a heading shows it: no line ends inside "bars 31–36" or "Violin II"."""
    pieces = re.split(r"(?<=,) | (?=and )", tied(place))
    return Markup(" ").join(
        Markup('<span class="whole-name">{}</span>').format(piece) for piece in pieces
    )


def _failure(error: Exception, folder: Path) -> InputError:
    """Say where a template fails and why, in one sentence."""
    where = str(folder / TEMPLATE)
    if isinstance(error, TemplateSyntaxError):
        where = f"{error.filename or error.name or where}, line {error.lineno}"
    elif isinstance(error, TemplateNotFound):
        return InputError(f"{where} asks for the template {error}, which is not in {folder}")
    else:
        lines = [
            f"{frame.filename}, line {frame.lineno}"
            for frame in traceback.extract_tb(error.__traceback__)
            if Path(frame.filename).parent == folder
        ]
        where = lines[-1] if lines else where
    words = " ".join(str(error).split()).rstrip(".") or type(error).__name__
    words = _LACKING.sub(r'there is no "\1"', words)
    return InputError(f"{where}: {words}; mend the template")
