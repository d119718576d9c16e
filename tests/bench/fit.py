"""Time the checks on layouts of 10 to 400 things, spread out in a long room: ``python tests/bench/fit.py``.

Every run checks a layout that the program has not met, in a room that it has: what is kept from layout to layout is
the shape of the room, as in a session in which one thing after another is moved. Prints figures, asserts nothing:
times are a machine's, not the program's.
"""

from __future__ import annotations

import os
import platform
import random
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from math import log
from pathlib import Path
from statistics import median

import click
import numpy as np

from layout.checks.context import Context
from layout.checks.moves import shifted
from layout.checks.recheck import COVERED, check_covered, recheck
from layout.checks.run import checks, run_checks
from layout.files.rules import read_rules
from layout.model.layout import Layout, Placed
from layout.model.panel import Panel, Sheet
from layout.model.person import Person
from layout.model.rule import Rule
from layout.model.solid import box
from layout.model.thing import Thing
from layout.placing.stand import placed
from layout.space.parts import Door, Obstacle
from layout.space.space import Space
from layout.space.walls import Station, Wall
from layout.things.base import board

STATES = ("drive", "camp", "sleep")
COUNTS = (10, 25, 50, 100, 200, 400)
_CELL, _HALF = 700.0, 950.0
_PLY = Sheet(material="ply", thickness=12.0, density_kg_m3=680.0)
Place = tuple[float, float, float]
Item = tuple[Thing, Place, float]


def room(count: int) -> Space:
    """Return a room for so many things, 1,900 wide: leaning walls, a rear door, a pair of wells every four metres."""
    length = 220.0 * count + 5000
    profile = ((0.0, _HALF), (600.0, _HALF + 10), (1000.0, _HALF), (1400.0, _HALF - 60), (1800.0, _HALF - 200))
    wall = Wall(stations=(Station(x=0.0, profile=profile), Station(x=length, profile=profile)))
    wells = tuple(
        Obstacle(
            name=f"wheel well {x:.0f}", outline=((x, low), (x + 800, low), (x + 800, high), (x, high)), z0=0.0, z1=250.0,
            top_radius=90.0,
        )
        for x in np.arange(1000.0, length - 800, 4000.0).tolist()
        for low, high in ((-_HALF, 160 - _HALF), (_HALF - 160, _HALF))
    )  # fmt: skip
    door = Door(name="rear door", side="rear", kind="two leaves", low=-760.0, high=760.0, sill=0.0, top=1700.0)
    return Space(
        outline=((0.0, -_HALF), (length, -_HALF), (length, _HALF), (0.0, _HALF)), left=wall, right=wall,
        roof=((0.0, 1850.0), (length, 1850.0)), obstacles=wells, doors=(door,),
    )  # fmt: skip


def spread(count: int, seed: int) -> Layout:
    """Return `count` things, none in another, alike in all states: stacks of bins, boxes, beds over bins, racks."""
    dice = random.Random(seed)
    items: list[Item] = []
    cell = 1
    while len(items) < count:
        some, cells = _some(dice, f"{len(items)}", cell)
        items += some
        cell += cells
    return Layout(
        things=tuple(thing for thing, _, _ in items[:count]), people=(Person(name="Ada", stature=1700.0),),
        placed={state: tuple(_stood(*item) for item in items[:count]) for state in STATES},
        outside=dict.fromkeys(STATES, ()),
    )  # fmt: skip


def _stood(thing: Thing, at: Place, turn: float) -> Placed:
    return placed(thing, tuple(solid.turned(turn).moved(*at) for solid in thing.solids), turn)


def _some(dice: random.Random, name: str, cell: int) -> tuple[list[Item], int]:
    """Return a few things that belong together and how many cells, beside the aisle by turns, they take."""
    kind = dice.random()
    along = cell // 2 * _CELL + dice.uniform(0, 60)
    if kind < 0.03 and cell % 2 == 0:
        return list(_bed(name, along)), 6
    if kind < 0.06 and cell % 2 == 0:
        return list(_rack(name, along)), 2
    at = (along, (1 if cell % 2 else -1) * dice.uniform(391, 393), 0.0)
    if kind < 0.7:
        return list(_stack(name, at, dice.randint(1, 3))), 1
    x, y, z = (dice.uniform(150, high) for high in (430, 430, 1200))
    turn = dice.choice([0.0, 0.0, 90.0, dice.uniform(0, 90)])
    body = box(name, (0.0, x), (-y / 2, y / 2), (0.0, z))
    middle = _stood(Thing(name=name, group=name, kind="box", solids=(body,)), (0.0, 0.0, 0.0), turn).box.bounds
    made = Thing(name=f"box {name}", group=f"box {name}", kind="box", solids=(body,), mass_kg=9.0)
    return [(made, (at[0] - middle[0], at[1] - (middle[1] + middle[3]) / 2, 0.0), turn)], 1


def _tub(name: str) -> Thing:
    body = box(name, (0.0, 600.0), (-200.0, 200.0), (0.0, 280.0))
    return Thing(name=name, group="bin", kind="bin", solids=(body,), mass_kg=12.0, take_out="any", stack_step=265.0)


def _stack(name: str, at: Place, high: int) -> Iterator[Item]:
    for i in range(high):
        yield _tub(f"bin {name} {i}"), (at[0], at[1], 265.0 * i), 0.0


def _built(name: str, kind: str, panels: Sequence[Panel]) -> Thing:
    solids = tuple(panel.solid for panel in panels)
    return Thing(name=name, group=name, kind=kind, solids=solids, panels=tuple(panels), mass_kg=30.0)


def _bed(name: str, x: float) -> Iterator[Item]:
    """Yield a bed 1,900 by 1,200 of 16 boards, a mattress on it, three bins under it."""
    t, uprights = _PLY.thickness, [0.0, 470.0, 940.0, 1410.0, 1888.0]
    panels = [board("deck", _PLY, (0.0, 950.0), (-600.0, 600.0), (688.0, 700.0)),
              board("deck", _PLY, (950.0, 1900.0), (-600.0, 600.0), (688.0, 700.0))]  # fmt: skip
    for low, high, skin in ((-600.0, -400.0, -600.0), (400.0, 600.0, 588.0)):
        panels += [board("bottom", _PLY, (0.0, 1900.0), (low, high), (0.0, t)),
                   board("back", _PLY, (0.0, 1900.0), (skin, skin + t), (t, 688.0))]  # fmt: skip
        inner = (low + t, high) if low < 0 else (low, high - t)
        panels += [board("upright", _PLY, (at, at + t), inner, (t, 688.0)) for at in uprights]
    yield _built(f"bed {name}", "bed platform", panels), (x, 0.0, 0.0), 0.0
    body = box(name, (0.0, 1900.0), (-600.0, 600.0), (0.0, 100.0))
    soft = Thing(name=f"mattress {name}", group=f"mattress {name}", kind="mattress", solids=(body,), sleeps=("Ada",))
    yield soft, (x, 0.0, 700.0), 0.0
    for i in range(3):
        yield _tub(f"bin {name} {i}"), (x + 20 + 620 * i, 0.0, 0.0), 0.0


def _rack(name: str, x: float) -> Iterator[Item]:
    """Yield a rack for two by two bins, open in front, of eight boards, and its bins."""
    t = _PLY.thickness
    panels = [board("back", _PLY, (0.0, t), (-430.0, 430.0), (0.0, 660.0))]
    panels += [board("side", _PLY, (t, 630.0), (y, y + t), (0.0, 660.0)) for y in (-430.0, -6.0, 418.0)]
    for low, high in ((-418.0, -6.0), (6.0, 418.0)):
        panels += [board("shelf", _PLY, (t, 630.0), (low, high), (z, z + t)) for z in (0.0, 324.0)]
    yield _built(f"rack {name}", "bin rack", panels), (x, 0.0, 0.0), 0.0
    for i in range(4):
        yield _tub(f"bin {name} {i}"), (x + t + 5, (-212.0, 212.0)[i % 2], 12.0 + 324 * (i // 2)), 0.0


def _milliseconds(run: Callable[[], object]) -> float:
    """Return how long the processor works on it, ms: on a shared machine the clock on the wall says less."""
    start = time.process_time()
    run()
    return 1e3 * (time.process_time() - start)


def _by_rule(count: int, rules: Mapping[str, Rule], names: Sequence[str], seeds: range) -> dict[str, float]:
    """Return the median time of each rule and of all together, ms; reach has an aim of its own.

    One more layout warms the room up first.
    """
    space = room(count)
    times: dict[str, list[float]] = {}
    quick = set(checks()) - {"reach"}
    for seed in (-1, *seeds):
        contexts = [Context(space=space, layout=spread(count, s), rules=rules) for s in (seed, seed + 1000)]
        for rule, check in ((name, checks()[name]) for name in names or checks()):
            times.setdefault(rule, []).append(_milliseconds(lambda: list(check(contexts[0]))))  # noqa: B023 (run at once)
        if not names:
            times.setdefault("all but reach", []).append(
                sum(taken[-1] for rule, taken in times.items() if rule in quick)
            )
            times.setdefault("all rules", []).append(_milliseconds(lambda: run_checks(contexts[1])))  # noqa: B023 (as above)
    return {rule: median(taken[1:]) for rule, taken in times.items()}


def _moved(count: int, rules: Mapping[str, Rule], by: float, times: int = 15) -> float:
    """Return the median time to check again when one thing is shifted by up to `by` mm, ms."""
    dice, layout = random.Random(1), spread(count, 1)
    checked = check_covered(Context(space=room(count), layout=layout, rules=rules))
    taken = []
    for _ in range(times):
        k, shift = dice.randrange(count), (dice.uniform(-by, by), dice.uniform(-by, by), 0.0)
        tried = replace(layout, placed={state: _with(things, k, shift) for state, things in layout.placed.items()})
        taken.append(_milliseconds(lambda tried=tried: recheck(checked, tried).findings))
    return median(taken)


def _with(things: tuple[Placed, ...], k: int, shift: Place) -> tuple[Placed, ...]:
    return (*things[:k], shifted(things[k], shift), *things[k + 1 :])


def _power(counts: Sequence[int], times: Sequence[float], *, with_log: bool) -> float:
    """Return the exponent p of the straight line, on logarithmic axes, through times ~ n ** p or (n log n) ** p."""
    sizes = [n * log(n) if with_log else float(n) for n in counts]
    return float(np.polyfit(np.log(sizes), np.log(times), 1)[0])


def _machine() -> str:
    info = Path("/proc/cpuinfo")
    lines = info.read_text().splitlines() if info.exists() else []
    name = next((line.split(":")[1].strip() for line in lines if "model name" in line), platform.processor())
    return f"{name}, Python {platform.python_version()}, one core"


@click.command()
@click.option("--layouts", default=7, show_default=True, help="Layouts of each size; the median is told.")
@click.option("--rule", multiple=True, help="Only this rule; may be said several times.")
@click.option("--most", default=400, show_default=True, help="The most things.")
def main(layouts: int, rule: tuple[str, ...], most: int) -> None:
    """Print the time of each rule by the number of things, how it grows, and that of checking one move again."""
    rules, counts = read_rules(), [count for count in COUNTS if count <= most]
    click.echo(
        f"{datetime.now(UTC):%Y-%m-%d}, {_machine()}; load {os.getloadavg()[0]:.1f}; median of {layouts} layouts, ms of process time"
    )
    found = {count: _by_rule(count, rules, rule, range(layouts)) for count in counts}
    click.echo(f"{'things':22}" + "".join(f"{count:>9}" for count in counts) + "   n^p  (n log n)^p")
    for name in found[counts[0]]:
        times = [found[count][name] for count in counts]
        grows = f"{_power(counts, times, with_log=False):6.2f}{_power(counts, times, with_log=True):12.2f}"
        click.echo(f"{name:22}" + "".join(f"{ms:9.2f}" for ms in times) + grows)
    click.echo(f"one thing moved, and {', '.join(COVERED)} checked again:")
    for text, by in (("  by up to 3 mm", 3.0), ("  by up to 300 mm", 300.0)):
        click.echo(f"{text:22}" + "".join(f"{_moved(count, rules, by):9.2f}" for count in counts))


if __name__ == "__main__":
    main()
