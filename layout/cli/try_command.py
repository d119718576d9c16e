"""``layout try``."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from layout.cli.options import end_progress, json_option, show_json, tell_progress, told_written

if TYPE_CHECKING:
    from collections.abc import Sequence

    from layout.jobs.arrange import Options, Tried
    from layout.jobs.compare import Row


@click.command("try")
@click.argument("projects", metavar="PROJECT...", nargs=-1, required=True)
@json_option
@click.option("--count", type=click.IntRange(1, 20), default=5, show_default=True, help="So many arrangements at most.")
@click.option(
    "--loss",
    type=click.FloatRange(0, 100),
    default=25,
    show_default=True,
    help="Percent by which each may be worse than the best.",
)
@click.option(
    "--effort",
    type=click.Choice(("quick", "normal", "long")),
    default="normal",
    show_default=True,
    help="How long to search for a better one.",
)
@click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Search in another order.")
@click.option("--seconds", type=click.FloatRange(min=0, min_open=True), help="Take the best ones after so long.")
@click.option("--keep", metavar="NAME", help="Write the arrangement of this name, or number, into the project file.")
@click.option("-o", "--out", metavar="FOLDER", help="The folder for the comparison page.")
@click.option(
    "--space", "spaces", metavar="ENTRY", multiple=True, help="Try it in this space of the catalogue instead."
)
@click.option(
    "--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Processes for many projects."
)
@click.option("--cluster", metavar="ADDRESS", help="Search on the workers of this dask.distributed scheduler.")
@click.pass_context
def command(
    context: click.Context, projects: tuple[str, ...], as_json: bool, count: int, loss: float, effort: str, seed: int,
    seconds: float | None, keep: str | None, out: str | None, spaces: tuple[str, ...], workers: int,
    cluster: str | None,
) -> None:  # fmt: skip
    r"""Find arrangements of what has no place yet in PROJECT, or say why there is none and what to give up.

    What arrangement: gives a place stays there; all else is free, as far as free: does not limit it. wishes: say what
    counts, and how much. Every arrangement has passed all checks. Ctrl-C ends the search with what was found. Exit
    code 1 when there is none, 2 when a project is at fault.

    Several projects, a folder of them, or --space (which may be given several times) make a search each.

    \b
    Example: layout try my-van.yaml -o my-van
    Example: layout try my-van.yaml --keep 2
    Example: layout try my-gear.yaml --space spaces/van-compact --space spaces/van-high-roof
    """
    from math import isnan
    from pathlib import Path

    from layout.jobs.arrange import Options

    if isnan(loss) or (seconds is not None and isnan(seconds)):
        raise click.UsageError("--loss and --seconds are numbers")
    options = Options(count=count, loss=loss / 100, effort=effort, seed=seed, seconds=seconds)
    if len(projects) > 1 or spaces or cluster is not None or Path(projects[0]).is_dir():
        if keep is not None or out is not None:
            raise click.UsageError("--keep and -o are for one project in its own space")
        context.exit(_many(projects, spaces, options, as_json, workers, cluster))
    context.exit(_one(projects[0], options, as_json, keep, out))


def _one(project: str, options: Options, as_json: bool, keep: str | None, out: str | None) -> int:
    from layout.jobs.arrange import as_json as json_of
    from layout.jobs.arrange import try_file
    from layout.jobs.arrange_words import report
    from layout.jobs.compare import rows_json

    if keep is not None:
        _refuse_keeping(project)
    tried = try_file(project, options, tell_progress)
    rows = _rows(tried)
    end_progress()
    if as_json:
        show_json({**json_of(tried), "stopped": tried.found.stopped, "measures": rows_json(rows)})
    else:
        click.echo(report(tried, rows), nl=False)
    if not tried.found.arrangements:
        return 1
    if out is not None:
        _compare(tried, rows, out)
    if keep is not None:
        from layout.jobs.keep import keep_in_file

        click.echo(f"wrote arrangement {keep_in_file(project, tried, keep)!r} into {project}", err=True)
    return 0


def _refuse_keeping(project: str) -> None:
    """Refuse before a long search what could not be written after it."""
    from layout.jobs.keep import refuse_read_only

    if project == "-":
        raise click.UsageError("--keep writes into the project file, so give its name instead of -")
    refuse_read_only(project)


def _rows(tried: Tried) -> tuple[Row, ...]:
    """Return the table of differences; none where somebody does not wait for it."""
    from layout.jobs.compare import compared

    try:
        return compared(tried, tell_progress)
    except KeyboardInterrupt:
        return ()


def _compare(tried: Tried, rows: Sequence[Row], out: str) -> None:
    from pathlib import Path

    from layout.export.write import write_files
    from layout.jobs.comparison_sheets import comparison_files

    told_written(write_files(Path(out), comparison_files(tried, rows)).written, out)


def _many(
    projects: tuple[str, ...], spaces: tuple[str, ...], options: Options, as_json: bool, workers: int,
    cluster: str | None,
) -> int:  # fmt: skip
    from layout.jobs.executors import Cluster, Processes
    from layout.jobs.many import many, many_json, many_report, variants_of

    executor = Cluster(address=cluster) if cluster is not None else Processes(workers=workers)
    found = many(variants_of(projects, spaces, options), executor, tell_progress)
    end_progress()
    if as_json:
        show_json(many_json(found))
    else:
        click.echo(many_report(found), nl=False)
    return found.exit_code
