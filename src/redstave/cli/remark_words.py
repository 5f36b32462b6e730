"""How the commands of `redstave remark` take a remark's words, and how they print one."""

import click

from redstave.app import seasons
from redstave.cli.options import print_json
from redstave.cli.season_options import KINDS, Command, out
from redstave.model.remark import Remark
from redstave.model.season import KeptRemark


def words_options(command: Command) -> Command:
    """Add the options that say how a remark is to be."""
    for option in (
        click.option("--kind", type=click.Choice(KINDS), help="What the remark does."),
        click.option("--why", help="Why it matters."),
        click.option("--way-out", help="A way out."),
        click.option("--criterion", help="The criterion it speaks to."),
        click.option("--main/--small", "main", default=None, help="Main point or smaller one."),
    ):
        command = option(command)
    return command


def tell_remark(season: seasons.Season, code: str, made: Remark, as_json: bool) -> None:
    """Print a remark that was made or changed."""
    kept = seasons.read_remark(season, code, made.id)
    if as_json:
        print_json(seasons.remark_json(kept, seasons.score_of(season, code)))
    else:
        print_remark(kept)


def print_remark(kept: KeptRemark) -> None:
    """Print a remark to be read in the terminal."""
    one = kept.remark
    tags = [one.id, str(one.kind), str(one.weight), one.criterion, one.place]
    out().print(" · ".join(filter(None, [*tags, "withdrawn" if kept.withdrawn else ""])))
    for text in filter(None, (one.text, one.why, one.way_out)):
        out().print(f"    {text}")
    for row in one.trial.heard if one.trial else ():
        out().print(
            f"    tried: {row.who} {row.before} {row.before_db:+.0f} → {row.after} "
            f"{row.after_db:+.0f} ± {row.sigma_db:.0f} dB"
        )
