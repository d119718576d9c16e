"""``layout book``."""

from __future__ import annotations

from pathlib import Path

import click

from layout.cli.options import (
    anyway_option,
    end_progress,
    out_option,
    paper_option,
    project_argument,
    scale_number,
    scale_option,
    tell_progress,
)


@click.command("book")
@project_argument
@out_option("the book", required=True)
@paper_option
@scale_option
@anyway_option
@click.pass_context
def command(context: click.Context, project: str, out: str, paper: str, scale: str | None, anyway: bool) -> None:
    r"""Write everything about PROJECT into one folder: book.pdf to print, every drawing, the lists, and an index.

    Open index.html: it says what each file is for. A plan that fails a check gets its findings and drawings, and
    exit code 1, but no cut list. Files that have not changed are left alone; none is ever deleted.

    \b
    Example: layout book my-van.yaml -o my-van
    """
    from layout.export.write import write_files
    from layout.jobs.book import bound
    from layout.jobs.draw import Paper
    from layout.jobs.load import load

    plan = load(project, tell_progress)
    end_progress()
    made = bound(plan, Paper(name=paper, scale=scale_number(scale)), anyway=anyway, tell=tell_progress)
    end_progress()
    left = made.left_in(Path(out))
    done = write_files(Path(out), made.whole(left))
    click.echo(f"{out}: {len(done.written)} files written, {len(done.unchanged)} unchanged; see index.html", err=True)
    if left:
        click.echo(f"left from an earlier book, no longer made: {', '.join(left)}", err=True)
    if plan.fails:
        click.echo("the plan fails a check (see findings.txt)" + ("" if anyway else "; no cut list was made"), err=True)
    context.exit(1 if plan.fails else 0)
