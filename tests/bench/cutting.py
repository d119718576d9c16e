"""Time the cutting against published packing instances and workshop jobs, side by side with rectpack.

Run it as ``python tests/bench/cutting.py FOLDER [--seconds 1] [--every 1]``. FOLDER holds
``bin_packing_instances.json`` (Berkey and Wang 1987, classes 1 to 6; Martello and Vigo 1998, classes 7 to 10)
and ``workshop_jobs.json``. Prints figures, asserts nothing: times are a machine's, not the program's.
"""

from __future__ import annotations

import json
import platform
import time
from datetime import UTC, datetime
from itertools import product
from pathlib import Path
from typing import Any

import click
import rectpack
import rectpack.guillotine

from layout.cutting.effort import Effort
from layout.cutting.engine import plan_cuts
from layout.model.cutting import CutJob, Part, Stock

_RULES = ("Bssf", "Blsf", "Baf")
_SPLITS = ("Minas", "Slas", "Las", "Maxas", "Llas", "Sas")
_SORTS = (
    rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI, rectpack.SORT_DIFF,
    rectpack.SORT_RATIO, rectpack.SORT_NONE,
)  # fmt: skip


def packing_job(instance: dict[str, Any], turn: bool) -> CutJob:
    """Return a packing instance as a job without kerf."""
    length, width = instance["sheet"]
    parts = tuple(
        Part(name=f"p{i}", material="m", length=w, width=h, grain="free" if turn else "along")
        for i, (w, h) in enumerate(instance["parts"])
    )
    sheet = Stock(name="s", material="m", length=length, width=width, price=1.0)
    return CutJob(parts=parts, stocks=(sheet,), kerf=0.0, smallest_offcut=0.0)


def workshop_job(job: dict[str, Any]) -> CutJob:
    """Return a workshop job."""
    stocks = tuple(
        Stock(name=f"{s['length']}x{s['width']}", material=m["material"], **s)
        for m in job["materials"]
        for s in m["sheets"]
    )
    parts = tuple(
        Part(name=f"{m['material']}-{i}", material=m["material"], **p)
        for m in job["materials"]
        for i, p in enumerate(m["parts"])
    )
    return CutJob(parts=parts, stocks=stocks, kerf=job["kerf"], trim=job["trim"])


def by_rectpack(instance: dict[str, Any], turn: bool) -> int:
    """Return the fewest sheets over all edge-to-edge algorithms and orders of rectpack."""
    best = len(instance["parts"])
    for rule, split, order in product(_RULES, _SPLITS, _SORTS):
        packer = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=rectpack.PackingBin.BFF,
            pack_algo=getattr(rectpack.guillotine, f"Guillotine{rule}{split}"),
            sort_algo=order,
            rotation=turn,
        )
        for w, h in instance["parts"]:
            packer.add_rect(w, h)
        packer.add_bin(*instance["sheet"], count=best)
        packer.pack()
        if len(packer.rect_list()) == len(instance["parts"]):
            best = min(best, len(packer))
    return best


def _packing(instances: list[dict[str, Any]], turn: bool, seconds: float, with_rectpack: bool) -> None:
    ours = theirs = proven = worse = better = 0
    start = time.perf_counter()
    for instance in instances:
        plan = plan_cuts(packing_job(instance, turn), Effort(seconds=seconds, level="long")).materials[0]
        ours += len(plan.sheets)
        proven += plan.proven
        if with_rectpack:
            other = by_rectpack(instance, turn)
            theirs += other
            worse += len(plan.sheets) > other
            better += len(plan.sheets) < other
    number = len(instances)
    click.echo(
        f"{'turned' if turn else 'fixed'}: {number} instances, {ours} sheets, proven {proven} ({proven / number:.1%});"
        f" rectpack {theirs or 'not run'}, worse than it {worse}, better {better};"
        f" {time.perf_counter() - start:.0f} s in all"
    )


def _workshop(jobs: list[dict[str, Any]], seconds: float) -> None:
    total, single, several = 0.0, [], []
    for job in jobs:
        start = time.perf_counter()
        plan = plan_cuts(workshop_job(job), Effort(seconds=seconds, level="long"))
        taken = time.perf_counter() - start
        total += plan.cost
        proven = all(material.proven for material in plan.materials)
        (several if any(len(m["sheets"]) > 1 for m in job["materials"]) else single).append((proven, taken))
    mean = sum(taken for _, taken in single) / len(single)
    click.echo(
        f"workshop: total {total:.2f}; one size {sum(p for p, _ in single)} of {len(single)} proven, mean {mean:.2f} s;"
        f" several sizes {sum(p for p, _ in several)} of {len(several)} proven"
    )


@click.command()
@click.argument("folder", type=click.Path(exists=True, path_type=Path))
@click.option("--seconds", default=1.0, show_default=True)
@click.option("--every", default=1, show_default=True, help="Take every n-th packing instance only.")
@click.option("--rectpack/--no-rectpack", "with_rectpack", default=True)
def main(folder: Path, seconds: float, every: int, with_rectpack: bool) -> None:
    """Print the figures, with the machine and the date."""
    click.echo(
        f"{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, Python {platform.python_version()}, {seconds} s each"
    )
    instances = json.loads((folder / "bin_packing_instances.json").read_text())["instances"][::every]
    jobs = json.loads((folder / "workshop_jobs.json").read_text())["jobs"]
    for instance in instances[:: max(1, len(instances) // 12)]:
        plan_cuts(packing_job(instance, True), Effort(seconds=seconds, level="long"))
    _workshop(jobs, seconds)
    for turn in (False, True):
        _packing(instances, turn, seconds, with_rectpack)


if __name__ == "__main__":
    main()
