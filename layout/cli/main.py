"""The command ``layout``; a command's own module is imported when it runs, so that help is quick."""

from __future__ import annotations

import os
import sys
from importlib import import_module

import click

from layout import __version__
from layout.errors import LayoutError

_COMMANDS = {
    "new": "Write a commented project file to start from.",
    "check": "Say what fits, what does not, and the smallest change that helps.",
    "try": "Find arrangements of what has no place yet, compare them, or say why there is none.",
    "print": "Draw the floor plan and the elevations to scale.",
    "cut": "Make the cut list, the cutting diagrams and the shopping list of sheets.",
    "book": "Everything in one folder: findings, drawings, panels, cut list, hardware, order of build.",
    "diff": "From one project to another: what changes, what is used again, what it costs.",
    "explain": "Explain a rule: what, why, its numbers and their sources.",
    "catalog": "List the catalogue entries that a project can use.",
    "schema": "Print the JSON Schema of the project file, for editors.",
}


class _Commands(click.Group):
    """A group that imports a command when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _COMMANDS:
            return None
        command: click.Command = import_module(f"layout.cli.{cmd_name}_command").command
        # Docstrings are raw, so that their marks for kept lines are two signs; click wants the one that they stand for.
        command.help = _marked(command.help)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(_COMMANDS.items()))


@click.command(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="layout")
def layout() -> None:
    r"""Plan the inside of a van, box trailer or truck bed, from a tape measure to a cut list.

    \b
    Exit codes: 0 good, 1 the plan has findings that fail, 2 bad input.

    \b
    Example:
      layout new my-van.yaml
      layout check my-van.yaml
      layout book my-van.yaml -o my-van
    """


def _marked(text: str | None) -> str:
    return (text or "").replace("\\b\n", "\b\n")


layout.help = _marked(layout.help)


def main() -> None:
    """Run the command line; errors made on purpose are printed without a traceback."""
    try:
        code = layout.main(standalone_mode=False)
        sys.stdout.flush()
    except click.exceptions.Exit as done:
        code = done.exit_code
    except click.exceptions.Abort:
        click.echo("stopped", err=True)
        code = 130
    except click.ClickException as error:
        error.show()
        code = 2
    except LayoutError as error:
        click.echo(str(error), err=True)
        code = error.exit_code
    except BrokenPipeError:
        _drop_stdout()
        code = 0
    except OSError as error:
        _drop_stdout()
        click.echo(f"cannot write the result: {(error.strerror or 'unknown reason').lower()}", err=True)
        code = 2
    sys.exit(code if isinstance(code, int) else 0)


def _drop_stdout() -> None:
    """Send what is still to be written nowhere, so that the interpreter does not fail on it at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
