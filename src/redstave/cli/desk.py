"""`redstave desk`: the local web page where the teacher works."""

import webbrowser
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from redstave.web.serve import Addresses


@click.command()
@click.argument("season", type=click.Path(path_type=Path), default=Path())
@click.option("--port", default=8765, show_default=True, help="Answer at this port; 0: a free one.")
@click.option(
    "--host",
    default="127.0.0.1",
    show_default=True,
    help="Listen here. Anything but this machine needs the key that is printed.",
)
@click.option("--guest", is_flag=True, help="Print a second link that can look and change nothing.")
@click.option("--no-browser", is_flag=True, help="Do not open the browser.")
def desk(season: Path, port: int, host: str, guest: bool, no_browser: bool) -> None:
    """Open the desk on SEASON, a folder made with "redstave season new" (here, if none is named).

    It answers this machine only, unless --host says otherwise, until Ctrl+C closes it. Whatever is
    typed is on disk at once.
    """
    from redstave.web.serve import serve  # here: no other command needs the web framework

    def ready(at: "Addresses") -> None:
        _tell(at)
        if not no_browser:
            webbrowser.open(at.teacher)

    serve(season, host, port, guest, ready)


def _tell(at: "Addresses") -> None:
    click.echo(f"The desk is at {at.teacher}")
    if at.guest:
        click.echo(f"For a guest, who can change nothing: {at.guest}")
    if not at.loopback:
        click.secho(
            "Other machines can reach this desk. Whoever has the first link can change everything, "
            "and what travels is not encrypted: use it in a network you trust only.",
            fg="red",
            err=True,
        )
    click.echo("Ctrl+C closes it.")
