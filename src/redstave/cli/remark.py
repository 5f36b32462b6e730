"""`redstave remark`: the teacher's remarks on one entry."""

import click

from redstave.cli.remark_change import CHANGING
from redstave.cli.remark_make import MAKING


@click.group()
def remark() -> None:
    """Work on one entry: decide on its findings, write and change remarks."""


for command in (*MAKING, *CHANGING):
    remark.add_command(command)
