"""What several commands share."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from functools import reduce
from typing import Any, TypeVar

import click

_SMALLEST_SCALE = 1000
Command = TypeVar("Command", bound=Callable[..., Any])

project_argument = click.argument("project", metavar="PROJECT")
json_option = click.option("--json", "as_json", is_flag=True, help="Write JSON for programs to standard output.")
paper_option = click.option("--paper", help="A4, A3, A2, A1, Letter or Tabloid  [default: A3, Tabloid for inches]")
scale_option = click.option(
    "--scale", metavar="1:N", help="A scale such as 1:20; chosen to fit the paper when left out."
)
anyway_option = click.option(
    "--anyway", is_flag=True, help="Make the cut list even if the plan has findings that fail."
)

_EFFORT = (
    click.option(
        "--effort",
        type=click.Choice(("quick", "normal", "long")),
        default="normal",
        show_default=True,
        help="How long to search for a better plan.",
    ),
    click.option("--seed", type=click.IntRange(min=0), default=1, show_default=True, help="Search in another order."),
    click.option("--seconds", type=click.FloatRange(min=0, min_open=True), help="Take the best plan after so long."),
)
_SAW = (
    click.option("--kerf", help="What the blade takes.  [default: 3 mm]"),
    click.option("--trim", help="Taken off every sheet edge.  [default: 0]"),
    click.option("--offcut-min", metavar="LENGTH", help="Keep leftovers of this on both sides.  [default: 100 mm]"),
    click.option("--longest-cut", metavar="LENGTH", help="The longest cut that your guide takes."),
    click.option("--smallest-hold", metavar="LENGTH", help="The least side of a piece that you hold while sawing."),
    click.option("--prefer", metavar="WORDS", help="After the cost: offcut,settings,breakdown in your order."),
)
_SHOP = (
    click.option("--shop-cuts", metavar="N", help="The shop makes up to N cuts a sheet."),
    click.option("--shop-kerf", metavar="LENGTH", help="What its blade takes.  [default: 3.2 mm]"),
    click.option("--shop-narrowest", metavar="LENGTH", help="The narrowest piece that it saws."),
    click.option("--shop-trim", metavar="LENGTH", help="Taken off its edges at home.  [default: 5 mm]"),
    click.option("--shop-tolerance", metavar="LENGTH", help="How far off its cuts may be.  [default: 2 mm]"),
    click.option("--car", metavar="LxW", help="The largest piece that your car carries, such as 1250x950."),
)


def _all(options: tuple[Callable[[Command], Command], ...]) -> Callable[[Command], Command]:
    """Return several options as one decorator, in the order in which help shows them."""
    return lambda command: reduce(lambda made, option: option(made), reversed(options), command)


effort_options = _all(_EFFORT)
saw_options = _all((*_SAW, *_SHOP))


def out_option(what: str, *, required: bool = False) -> Callable[[Command], Command]:
    """Return the option ``-o`` for the folder to write to."""
    return click.option("-o", "--out", metavar="FOLDER", required=required, help=f"The folder for {what}.")


def scale_number(scale: str | None) -> int | None:
    """Return the 20 of ``1:20``.

    Raises
    ------
    click.BadParameter
        When it is no such scale.
    """
    if scale is None:
        return None
    number = scale.strip().removeprefix("1:")
    if not number.isascii() or not number.isdigit() or not 0 < int(number[:9]) <= _SMALLEST_SCALE:
        raise click.BadParameter(f"{scale!r} is not a scale; write for instance 1:20", param_hint="--scale")
    return int(number)


def show_json(value: Any) -> None:
    """Print `value` as JSON."""
    click.echo(json.dumps(value, indent=1, ensure_ascii=False))


def tell_progress(said: str) -> None:
    """Show on standard error, on a line that is written over, what is being done; nothing when that is no terminal."""
    if sys.stderr.isatty():
        click.echo(f"\r{said} ...\x1b[K", err=True, nl=False)


def end_progress() -> None:
    """Clear the line of progress."""
    if sys.stderr.isatty():
        click.echo("\r\x1b[K", err=True, nl=False)


def told_written(names: tuple[str, ...], folder: str) -> None:
    """Say on standard error what was written where."""
    click.echo(f"wrote {len(names)} files to {folder}: {', '.join(names)}", err=True)
