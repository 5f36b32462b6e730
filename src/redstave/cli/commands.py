"""The `redstave` command and its exit statuses: 0 clean, 1 findings to fail on, 2 cannot run."""

import sys

import click

import redstave
from redstave.base.errors import RedstaveError
from redstave.cli.contents import Contents


@click.group(cls=Contents)
@click.version_option(redstave.__version__, prog_name="redstave")
def commands() -> None:
    """Read an orchestral score as an orchestration teacher does.

    Redstave reads the page, works out what each player is told and what the hall hears, and
    proposes findings with their evidence. It proposes; the teacher disposes.
    """


def main() -> None:
    """Run a command; what cannot be used is told in one sentence, with exit status 2."""
    try:
        sys.exit(commands(prog_name="redstave", standalone_mode=False))
    except click.Abort:
        click.echo("stopped", err=True)
        sys.exit(2)
    except click.ClickException as wrong:
        wrong.show()
        sys.exit(2)
    except RedstaveError as error:
        click.echo(f"redstave: {error}", err=True)
        sys.exit(2)
