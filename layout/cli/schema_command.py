"""``layout schema``."""

from __future__ import annotations

import click

from layout.cli.options import show_json


@click.command("schema")
def command() -> None:
    r"""Print the JSON Schema of the project file.

    An editor that knows it completes keys and marks mistakes while you type; the first line of each
    example names it.

    \b
    Example: layout schema > layout.schema.json
    """
    from layout.files.project import schema

    show_json(schema())
