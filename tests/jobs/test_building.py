"""What a plan takes to build: lists that agree with each other, and every bad workshop told in words."""

from __future__ import annotations

import csv
from collections import Counter
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from layout.building.cut_sizes import cut_faults
from layout.errors import InputError, RefereeError
from layout.jobs import building as job
from layout.jobs.book import book
from layout.jobs.building import building, building_files, building_tables
from layout.jobs.draw import Paper, view_options
from layout.jobs.load import Plan, load
from layout.jobs.panels import parts_of, solve_plan
from tests.builders import ROOT, plan_of

CRATE = {"kind": "bin", "length": "400", "width": "300", "height": "200", "mass": "5"}
RACK = {"kind": "bin rack", "takes": "crate", "columns": "1", "rows": "2", "sheet": "ply15", "back": "none"}
PLY = {"length": "2440", "width": "1220", "thickness": "15", "density": "700", "price": "60"}
BED = ROOT / "tests" / "things" / "bed-platform-wall-rails.yaml"


def _plan(folder: Path, **more: Any) -> Plan:
    workshop = {"currency": "EUR", "sheets": {"ply15": PLY}, **more.pop("workshop", {})}
    things = {"crate": {**CRATE, "count": "2"}, "rack": RACK, **more.pop("things", {})}
    arrangement = {"rack": {"at": ["1000", "0", "0"]}, "crate": {"into": "rack"}, **more.pop("arrangement", {})}
    return plan_of(folder, things=things, arrangement=arrangement, workshop=workshop, **more)


def _rows(files: dict[str, bytes], name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(files[name].decode())))


def _files(plan: Plan) -> dict[str, bytes]:
    return building_files(building(plan), solve_plan(plan), "EUR", view_options(plan, Paper()))


def test_hardware_and_its_cost_by_hand(tmp_path: Path) -> None:
    """A rack of two openings for crates 400 x 300 x 200 in 15: four boards between two sides, each joint 410 long.

    The openings are 300 + 2 x 5 wide; the rack is 400 + 10 deep, so a joint has (410 - 80) / 150 = 2.2, 3 + 1 = 4 screws
    through 15 and 20 deep: 35 long. Three boards, two ends each: 24 screws. Glue on 6 x 410 x 15 mm² at 180 g/m²: 6.6 g.
    """
    plan = _plan(tmp_path, workshop={"prices": {"screw-4x35": "0.05", "glue": "3"}})
    files = _files(plan)
    hardware = {row["item"]: row for row in _rows(files, "hardware.csv")}
    shopping = {row["material"]: row["cost EUR"] for row in _rows(files, "shopping.csv")}

    assert [(p.name, p.length, p.width) for p in plan.layout.things[2].panels if p.name == "shelf"] == [
        ("shelf", 410, 310)
    ]
    assert (hardware["screw-4x35"]["count"], hardware["screw-4x35"]["cost EUR"]) == ("24", "1.20")
    assert hardware["screw-4x35"]["what it is"] == "wood screw 4 × 35"
    assert (hardware["glue"]["count"], hardware["glue"]["cost EUR"]) == ("1", "3.00")
    assert hardware["insert-m8-body"]["price EUR"] == ""
    assert shopping == {"ply15": "60.00", "hardware": "4.20", "in all": "64.20"}


def test_lists_agree_with_each_other(tmp_path: Path) -> None:
    """Hardware by unit, in the steps and in all are the same counts; the drilling list has the screws of the joints."""
    files = _files(_plan(tmp_path))
    total = {row["item"]: int(row["count"]) for row in _rows(files, "hardware.csv")}
    by_unit = Counter[str]()
    for row in _rows(files, "hardware-by-unit.csv"):
        by_unit[row["item"]] += int(row["count"])
    steps = Counter[str]()
    for row in _rows(files, "steps.csv"):
        for taken in filter(None, row["hardware"].split(", ")):
            steps[taken.split(" × ")[1]] += int(taken.split(" × ")[0])
    drilled = sum(int(row["joints"]) * int(row["in each"]) for row in _rows(files, "drilling.csv"))

    assert dict(by_unit) == dict(steps) == total
    assert drilled == total["screw-4x35"]


def test_units_tell_mass_lift_fastening_and_way_in(tmp_path: Path) -> None:
    """A rack is weighed empty; who lifts it follows the rule's number; a project without doors is not judged."""
    plan = _plan(tmp_path)
    (row,) = (row for row in _rows(_files(plan), "units.csv") if row["unit"] == "rack")
    rack = plan.layout.things[2]
    # Two sides 410 x 520 with two slots of 35 x 10 for straps each, three boards 410 x 310, 15 thick, 700 kg/m³.
    mass = (2 * 410 * (2 * 230 + 3 * 15) - 4 * 35 * 10 + 3 * 410 * 310) * 15 * 700e-9

    assert rack.mass_kg == pytest.approx(mass)
    assert (row["mass empty"], row["lifted by"], row["way in"]) == (f"{mass:.1f} kg", "one person", "goes in whole")
    assert row["held to the body by"].startswith("4 × insert-m8-body")

    heavy = _plan(tmp_path, rules={"way-in": {"lift": "5"}})
    assert [row["lifted by"] for row in _rows(_files(heavy), "units.csv")] == ["2 people"]
    weak = _plan(tmp_path, rules={"way-in": {"lift": "3"}})
    assert [row["lifted by"] for row in _rows(_files(weak), "units.csv")] == ["take it apart to carry it"]
    closed = replace(plan, project=replace(plan.project, space=replace(plan.project.space, doors=())))
    assert [row["way in"] for row in _rows(_files(closed), "units.csv")] == ["not judged"]


def test_a_unit_that_does_not_go_in_whole_says_what_the_rule_says() -> None:
    """The way-in rule's own words stand in the table of units."""
    plan = load(str(BED))
    made = building(plan)
    header, rows = building_tables(made, None, "EUR")["units"]

    assert rows[0][header.index("way in")] == next(f.text for f in plan.findings if f.rule == "way-in" and f.where)


def test_bars_are_cut_to_length_with_a_proof() -> None:
    """Battens are cut from the workshop's bars, their cost is in the shopping list, and why fewer cannot do is told."""
    plan = load(str(BED))
    made = building(plan)
    files = building_files(made, None, "EUR", view_options(plan, Paper()))
    bought = {row["bar"]: float(row["sum"]) for row in _rows(files, "bars-to-buy.csv")}
    shopping = {row["material"]: row["cost EUR"] for row in _rows(files, "shopping.csv")}

    assert made.bars is not None
    assert made.bars.proven
    assert bought == {"beam": 18.0, "lath": 63.0}
    assert (shopping["beam"], shopping["lath"], shopping["in all"]) == ("18.00", "63.00", "81.00")
    assert sum(part.count for part in made.bars.job.parts) == len(plan.layout.things[0].battens)
    assert "is impossible because" in files["building.txt"].decode()


@pytest.mark.parametrize(
    ("was", "now", "says"),
    [
        ("beam: {use: timber/batten-44x44, price: 6}", "beam: {use: timber/batten-44x44, length: 1500}", ": workshop.bars: "),
        ("  bars:", "  prices: {screw-4x53: 1}\n  bars:", "workshop.prices.screw-4x53: no item of hardware is called 'screw-4x53'; did you mean"),
        ("  bars:", "  prices: {moon: 1}\n  bars:", "'layout catalog hardware' lists them"),
    ],
)  # fmt: skip
def test_a_workshop_that_does_not_do_is_told_with_its_place(tmp_path: Path, was: str, now: str, says: str) -> None:
    """Bars that are too short, and prices of what there is not, are told with file, line and key."""
    text = BED.read_text(encoding="utf-8")
    assert was in text
    path = tmp_path / "van.yaml"
    path.write_text(text.replace(was, now), encoding="utf-8")

    with pytest.raises(InputError) as caught:
        building(load(str(path)))

    assert says in str(caught.value)
    assert caught.value.faults[0].line > 0


def test_bars_that_run_out_are_told(tmp_path: Path) -> None:
    """With two bars on hand where three are wanted the list says which pieces have no room."""
    text = BED.read_text(encoding="utf-8").replace("batten-44x44, price: 6", "batten-44x44, price: 6, count: 2")
    (tmp_path / "van.yaml").write_text(text, encoding="utf-8")
    plan = load(str(tmp_path / "van.yaml"))
    files = building_files(building(plan), None, "EUR", view_options(plan, Paper()))

    assert "no room for 1 × 'bed cross rail': the bars of 'beam' on hand do not do" in files["building.txt"].decode()


def test_the_book_has_the_building_only_for_a_plan_that_passes(tmp_path: Path) -> None:
    """The book of a plan that fails has no order of build unless asked; nor has one without furniture."""
    failing = _plan(tmp_path, arrangement={"rack": {"at": ["2900", "0", "0"]}})
    plain = plan_of(tmp_path, things={"crate": CRATE}, arrangement={"crate": {"at": ["100", "0", "0"]}})

    assert failing.fails
    assert "steps.csv" not in book(failing, Paper())
    assert {"steps.csv", "building.pdf", "shopping.csv", "building.txt"} <= set(book(failing, Paper(), anyway=True))
    assert "building.pdf" not in book(plain, Paper())


def test_the_referee_stands_before_every_list(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A unit that does not go together, or parts that are not its pieces, end the job: nobody saws by such a list."""
    plan = _plan(tmp_path)
    rack = plan.layout.things[2]
    torn = replace(rack, panels=rack.panels[1:])
    broken = replace(plan, layout=replace(plan.layout, things=(*plan.layout.things[:2], torn)))
    with pytest.raises(RefereeError, match="rack does not go together"):
        building(broken)

    monkeypatch.setattr(job, "parts_of", lambda things: parts_of(things)[1:])
    with pytest.raises(RefereeError, match="the parts to saw are not those of the units"):
        building(plan)


def test_parts_are_what_panels_take_without_bands_and_with_what_is_cut_to_fit(tmp_path: Path) -> None:
    """A part too long by its band, turned in its grain, or missing is told; the parts of a plan are right."""
    rack = _plan(tmp_path).layout.things[2]
    banded = replace(rack, panels=(replace(rack.panels[0], bands=(("left", 2.0),), oversize=10.0), *rack.panels[1:]))
    parts = parts_of([banded])
    first = parts[0]

    assert first.length == rack.panels[0].length - 2 + 10
    assert cut_faults([banded], parts) == ()
    assert any("0 of 1 parts 513 x 420" in fault for fault in cut_faults([banded], parts_of([rack])))
    for wrong in (replace(first, length=first.length + 2), replace(first, grain="across"), replace(first, count=2)):
        assert cut_faults([banded], [wrong, *parts[1:]])


def test_what_carries_is_built_in_first(tmp_path: Path) -> None:
    """A large rack that stands on a small one is carried in after it."""
    tray = {"kind": "bin", "length": "600", "width": "400", "height": "250", "mass": "5"}
    things = {"tray": tray, "upper": {**RACK, "takes": "tray", "columns": "2"}}
    plan = _plan(
        tmp_path,
        things=things,
        arrangement={"upper": {"on": "rack", "rear": "1000", "centre": "0"}, "tray": {"into": "upper"}},
    )
    names = [step.name for step in building(plan).steps]

    assert names.index("rack: into its place") < names.index("upper: into its place")
