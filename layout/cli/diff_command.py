"""``layout diff``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from layout.cli.options import (
    anyway_option,
    effort_options,
    end_progress,
    json_option,
    out_option,
    paper_option,
    show_json,
    tell_progress,
    told_written,
)


@click.command("diff")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@effort_options
@out_option("the lists, the offcuts and the cutting")
@paper_option
@json_option
@anyway_option
@click.pass_context
def command(context: click.Context, /, old: str, new: str, **said: Any) -> None:
    r"""Say what changes from the project OLD to the project NEW, and rebuild the one into the other.

    What moved, came and went; which old panels are used again as they are or cut down, and which are left; what
    is still to cut and to buy. With -o the cutting of the rest is written, and sheets.csv with what is left, as
    stock for layout cut --sheets. Exit code 1 when NEW fails a check, so that nothing is cut, or when its sheets
    on hand do not hold every part.

    \b
    Example: layout diff my-van.yaml my-van-with-kitchen.yaml -o rebuild
    """
    from layout.cutting.effort import Effort
    from layout.export.write import write_files
    from layout.jobs.diff import diff
    from layout.jobs.diff_files import diff_files
    from layout.jobs.diff_words import as_json as json_of
    from layout.jobs.diff_words import report
    from layout.jobs.draw import Paper

    effort = Effort(seed=said["seed"], level=said["effort"], seconds=said["seconds"], tell=tell_progress)
    made = diff(old, new, effort, anyway=said["anyway"])
    files = diff_files(made, Paper(name=said["paper"])) if said["out"] else {}
    end_progress()
    if files:
        write_files(Path(said["out"]), files)
        told_written(tuple(files), said["out"])
    if said["as_json"]:
        show_json(json_of(made))
    else:
        click.echo(report(made), nl=False)
    for line in made.missing:
        click.echo(line, err=True)
    context.exit(1 if made.new.fails or made.missing else 0)
