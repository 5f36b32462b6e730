"""Everything the desk answers, thrown at by schemathesis: no crash, no answer of another shape."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis.specs.openapi import checks

from redstave.app import seasons
from redstave.web.asked import CODE
from redstave.web.desk import Desk
from redstave.web.factory import make_app, pages
from redstave.web.guard import Access
from tests.web.client import Client
from tests.web.conftest import PORT, ROOT

ACCESS = Access()
SCHEMA = schemathesis.openapi.from_dict(pages(None, ACCESS).openapi())  # type: ignore[arg-type]
CHECKS = [
    schemathesis.checks.not_a_server_error,
    checks.status_code_conformance,
    checks.content_type_conformance,
    checks.response_schema_conformance,
]
EXAMPLES = 10  # for each operation, beside the wrong values it always tries


@pytest.fixture(scope="module")
def served(
    made: tuple[Path, str], pictures: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Client, str]]:
    """Serve a copy of the season that may be written into; return a client and the code name."""
    import shutil

    folder = tmp_path_factory.mktemp("api") / "season"
    shutil.copytree(made[0], folder)
    desk = Desk(seasons.open_season(folder), pictures, painters=1)
    client = Client(make_app(desk, ACCESS, port=PORT), ROOT, {"x-redstave-token": ACCESS.token})
    yield client, made[1]
    client.close()
    desk.close()


@SCHEMA.parametrize()
@settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
def test_no_request_breaks_the_desk(case: schemathesis.Case, served: tuple[Client, str]) -> None:
    """Whatever is asked, the answer is no server error and has the shape that is promised."""
    client, code = served
    if re.fullmatch(CODE[1:-1], str((case.path_parameters or {}).get("code", ""))):
        case.path_parameters["code"] = code  # an entry that is there: more is reached
    sent = requests.Request(**_sent(case)).prepare()
    headers = {name: value for name, value in sent.headers.items() if name != "Cookie"}
    answer = client.request(case.method, str(sent.url), headers=headers, content=sent.body or b"")
    case.validate_response(answer, checks=CHECKS)


def _sent(case: schemathesis.Case) -> dict[str, Any]:
    """Return the arguments of a request as the library for requests names them."""
    names = ("method", "url", "headers", "files", "data", "json", "params", "auth", "cookies")
    found = case.as_transport_kwargs(base_url=ROOT)
    return {name: found[name] for name in names if name in found}
