"""One point of the growth curve: how many sheets a number of random furniture parts takes, how long and how much memory.

Run by ``cutting.py --growth`` in a fresh process for each number, so that the memory is that of one job and loading
counts: ``python tests/bench/growth.py 200 --seconds 20``.
"""

from __future__ import annotations

import random
import resource
import time
from pathlib import Path

import click

from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.model.cutting import CutJob, Part, Stock


def furniture(parts: int, seed: int = 4) -> CutJob:
    """Return so many parts on sheets of 2440 × 1220: about twenty a sheet, half of them with their grain locked."""
    dice = random.Random(seed)
    made = tuple(
        Part(
            name=f"p{i}", material="ply", length=dice.randint(150, 900), width=dice.randint(80, 500),
            grain=dice.choice(["along", "free"]),
        )
        for i in range(parts)
    )  # fmt: skip
    sheet = Stock(name="full", material="ply", length=2440, width=1220, price=1.0)
    return CutJob(parts=made, stocks=(sheet,), kerf=3.0, trim=10.0)


def _most_memory() -> float:
    """Return the most memory that this process held, MB."""
    status = Path("/proc/self/status")
    if status.exists():
        # Linux hands the usage of the process that started this one down to it, but begins this figure anew.
        return next(int(line.split()[1]) for line in status.read_text().splitlines() if "VmHWM" in line) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


@click.command()
@click.argument("parts", type=int)
@click.option("--seconds", default=20.0, show_default=True)
def main(parts: int, seconds: float) -> None:
    """Print parts, sheets, bound, gap, seconds and the most memory held."""
    start = time.perf_counter()
    plan = plan_cuts(furniture(parts), Effort(seconds=seconds, level="long")).materials[0]
    taken = time.perf_counter() - start
    gap = 100 * (len(plan.sheets) / plan.bound - 1)
    click.echo(f"{parts:5}  {len(plan.sheets):6}  {plan.bound:5}  {gap:5.1f}  {taken:7.1f}  {_most_memory():.0f}")


if __name__ == "__main__":
    main()
