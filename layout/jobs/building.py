"""What building takes beside sheets: bars cut to length, hardware, steps, and what it all costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from difflib import get_close_matches

from layout.building.cut_sizes import cut_faults
from layout.building.hardware_check import place_faults
from layout.building.order_check import order_faults
from layout.building.rebuild import faults
from layout.cutting.lengths.engine import plan_bars
from layout.cutting.lengths.listing import bars_to_buy, cut_list
from layout.cutting.listing import Table
from layout.drawing.model import Drawing
from layout.errors import NotEnoughSheetsError, PartTooLargeError, RefereeError, ValueFaultError
from layout.export.csv_table import csv_table
from layout.export.pdf import pdf
from layout.files.catalogue import Catalogue
from layout.files.format import WorkshopFormat
from layout.jobs.building_places import batten_table, body_table, places_table
from layout.jobs.building_tables import (
    drilling_table,
    hardware_by_unit_table,
    hardware_table,
    report,
    shopping_table,
    steps_table,
    units_table,
)
from layout.jobs.built import Building, built
from layout.jobs.hardware import drills
from layout.jobs.how_to import how_to
from layout.jobs.load import Plan
from layout.jobs.panels import parts_of
from layout.model.cutting import CutPlan
from layout.model.lengths import Bar, BarJob, BarPlan, Length
from layout.model.thing import Thing
from layout.units.length import drawn_unit
from layout.views.options import ViewOptions
from layout.views.tables import stacked_pages
from layout.views.text_pages import text_pages

__all__ = ["Building", "building", "building_files", "building_tables", "built"]

TITLES = {
    "units": "What is built",
    "steps": "Order of build",
    "places": "What is put on, and where",
    "body": "Held to the body: measured from the cross line and the centreline of the set-out sheet",
    "battens": "Battens: both ends sawn square",
    "drilling": "Screws and blocks, joint by joint",
    "hardware": "Hardware",
    "hardware-by-unit": "Hardware by unit",
    "bars-to-buy": "Bars to buy",
    "bars-cut-list": "Bars, cut to length",
    "shopping": "Shopping list",
}


def building(plan: Plan) -> Building:
    """Return what building the plan takes; every unit is put together by the referee first.

    Raises
    ------
    RefereeError
        When a unit's pieces do not make what it promises, or its parts and steps are not those of its pieces: a fault
        of this program.
    InputError
        When the bars of the workshop do not do, or a price is that of nothing.
    """
    for unit in built(plan):
        _require(f"{unit.name} does not go together", faults(unit))
        _require(f"{unit.name}: its hardware does not sit right", place_faults(unit, plan.project.rules, drills()))
    _require(
        "the parts to saw are not those of the units", cut_faults(plan.layout.things, parts_of(plan.layout.things))
    )
    plan.project.placing_faults(lambda: _refuse_prices(plan))
    made = Building(plan=plan, bars=plan.project.placing_faults(lambda: _bars(plan)))
    _require("the order of build does not hold", order_faults(made.steps, made.units, plan.project.rules))
    return made


def _require(text: str, found: Sequence[str]) -> None:
    if found:
        raise RefereeError(f"{text}: {'; '.join(found[:3])}")


def _refuse_prices(plan: Plan) -> None:
    workshop = plan.project.said.workshop
    items = [name.partition("/")[2] for name in Catalogue(None).names() if name.startswith("hardware/")]
    for item in workshop.prices if workshop else ():
        if item not in items:
            close = get_close_matches(item, items, n=1)
            hint = f"did you mean {close[0]!r}?" if close else "'layout catalog hardware' lists them"
            raise ValueFaultError(("workshop", "prices", item), f"no item of hardware is called {item!r}; {hint}")


def _bars(plan: Plan) -> BarPlan | None:
    workshop = plan.project.said.workshop
    parts = lengths_of(built(plan))
    if not parts or workshop is None:
        return None
    try:
        return plan_bars(BarJob(parts=parts, bars=bars_on_sale(workshop), kerf=workshop.kerf))
    except (PartTooLargeError, NotEnoughSheetsError) as error:
        raise ValueFaultError(("workshop", "bars"), str(error)) from None


def bars_on_sale(workshop: WorkshopFormat) -> tuple[Bar, ...]:
    """Return the bars that a workshop can buy."""
    return tuple(
        Bar(name=name, material=name, length=bar.length, price=bar.price, count=bar.count)
        for name, bar in workshop.bars.items()
    )


def lengths_of(units: Sequence[Thing]) -> tuple[Length, ...]:
    """Return the battens of all units as lengths to saw: equal ones of a unit counted, others of a name numbered."""
    counts: dict[tuple[str, str, str, float], int] = {}
    for unit in units:
        for batten in unit.battens:
            key = (unit.group, batten.name, batten.bar.material, round(batten.length, 3))
            counts[key] = counts.get(key, 0) + 1
    numbers: dict[tuple[str, str], int] = {}
    parts = []
    for (group, name, material, length), count in counts.items():
        nth = numbers[group, name] = numbers.get((group, name), 0) + 1
        said = f"{group} {name}" + (f" {nth}" if nth > 1 else "")
        parts.append(Length(name=said, material=material, length=length, count=count, unit=group))
    return tuple(parts)


def building_tables(made: Building, cuts: CutPlan | None, currency: str) -> dict[str, Table]:
    """Return the lists of building: header and rows by name; empty ones are left out."""
    units = drawn_unit(made.plan.project.said.units)
    tables = {
        "units": units_table(made),
        "steps": steps_table(made),
        "places": places_table(made),
        "body": body_table(made),
        "battens": batten_table(made),
        "drilling": drilling_table(made),
        "hardware": hardware_table(made, currency),
        "hardware-by-unit": hardware_by_unit_table(made),
    }
    if made.bars is not None:
        tables["bars-to-buy"] = bars_to_buy(made.bars)
        tables["bars-cut-list"] = cut_list(made.bars, units)
    tables["shopping"] = shopping_table(made, cuts, currency)
    return {name: table for name, table in tables.items() if table[1]}


def building_files(made: Building, cuts: CutPlan | None, currency: str, options: ViewOptions) -> dict[str, bytes]:
    """Return the files of building by name: lists as CSV, and all of them to print as ``building.pdf``."""
    if not made.units:
        return {}
    pages = building_pages(made, cuts, currency, options)
    return {**building_lists(made, cuts, currency), "building.pdf": pdf(pages, "Building")}


def building_lists(made: Building, cuts: CutPlan | None, currency: str) -> dict[str, bytes]:
    """Return the lists of building as CSV by file name, and what to know of them as ``building.txt``."""
    tables = building_tables(made, cuts, currency)
    csvs = {f"{name}.csv": csv_table([header, *rows]) for name, (header, rows) in tables.items()}
    return {**csvs, "building.txt": report(made, cuts, currency).encode()}


def building_pages(made: Building, cuts: CutPlan | None, currency: str, options: ViewOptions) -> tuple[Drawing, ...]:
    """Return the lists of building as pages, each list under its heading."""
    printed = [
        (TITLES[name], header, [[_unbroken(str(cell)) for cell in row] for row in rows])
        for name, (header, rows) in building_tables(made, cuts, currency).items()
        if name != "hardware-by-unit"  # the steps say it too
    ]
    upright = replace(options, orientation="portrait", scale=None)
    said = how_to(made)
    return *stacked_pages("Building", printed, upright), *(text_pages("How to", said, upright) if said else ())


def _unbroken(text: str) -> str:
    """Return a text in which a count stays in the line of what it counts."""
    return text.replace(" × ", "\u00a0×\u00a0")
