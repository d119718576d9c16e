"""``layout try``."""

from __future__ import annotations

import click

from layout.cli.options import end_progress, json_option, project_argument, show_json, tell_progress


@click.command("try")
@project_argument
@json_option
@click.option("--count", type=click.IntRange(1, 20), default=5, show_default=True, help="So many arrangements at most.")
@click.option(
    "--loss", type=click.FloatRange(0, 100), default=25, show_default=True,
    help="Percent by which each may be worse than the best.",
)
@click.option(
    "--effort", type=click.Choice(("quick", "normal", "long")), default="normal", show_default=True,
    help="How long to search for a better one.",
)
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Search in another order.")
@click.option("--seconds", type=click.FloatRange(min=0, min_open=True), help="Take the best ones after so long.")
@click.option("--keep", metavar="NAME", help="Write the arrangement of this name, or number, into the project file.")
@click.pass_context
def command(
    context: click.Context, project: str, as_json: bool, count: int, loss: float, effort: str, seed: int,
    seconds: float | None, keep: str | None,
) -> None:  # fmt: skip
    r"""Find arrangements of what has no place yet in PROJECT, or say why there is none and what to give up.

    What arrangement: gives a place stays there; all else is free, as far as free: does not limit it. wishes: say what
    counts, and how much. Every arrangement has passed all checks. Ctrl-C ends the search with what was found. Exit
    code 1 when there is none.

    \b
    Example: layout try my-van.yaml
    Example: layout try my-van.yaml --keep 2
    """
    from layout.jobs.arrange import Options, as_json as json_of, try_file
    from layout.jobs.arrange_words import report
    from layout.jobs.compare import compared

    options = Options(count=count, loss=loss / 100, effort=effort, seed=seed, seconds=seconds)
    tried = try_file(project, options, tell_progress)
    rows = compared(tried, tell_progress)
    end_progress()
    if keep is not None:
        _keep(project, tried, keep)
    if as_json:
        show_json(json_of(tried))
    else:
        click.echo(report(tried, rows), nl=False)
    context.exit(0 if tried.found.arrangements else 1)


def _keep(project: str, tried: object, name: str) -> None:
    from layout.export.write import write_files
    from layout.jobs.keep import kept

    del kept, write_files
