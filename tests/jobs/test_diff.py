"""From one project to another: moves, panels used again, what is cut, bought and left, by hand on small racks."""

from __future__ import annotations

import csv
import json
from dataclasses import replace
from io import StringIO
from pathlib import Path
from typing import Any

import pytest

from layout.building.reuse import reuse
from layout.cutting.effort import Effort
from layout.errors import InputError
from layout.files.sheets_table import read_sheets_table
from layout.jobs.cut_tables import job_from_tables, solve_tables
from layout.jobs.cut_words import CutWords
from layout.jobs.diff import Diff, diff
from layout.jobs.diff_files import diff_files
from layout.jobs.diff_stock import offcuts
from layout.jobs.diff_words import as_json, report
from layout.jobs.draw import Paper
from layout.jobs.load import load
from layout.jobs.panels import solve_plan
from tests.builders import ROOT, project_text
from tests.building.made import PLY as PLY18
from tests.building.made import flat, whole

CRATE = {"kind": "bin", "length": "400", "width": "300", "height": "200", "mass": "5"}
PLY = {"length": "2440", "width": "1220", "thickness": "15", "density": "700", "price": "60"}
BED = ROOT / "tests" / "things" / "bed-platform-wall-rails.yaml"


def _rack(rows: int, **more: str) -> dict[str, Any]:
    return {
        "kind": "bin rack",
        "takes": "crate",
        "columns": "1",
        "rows": str(rows),
        "sheet": "ply15",
        "back": "none",
        **more,
    }


def _write(folder: Path, name: str, racks: dict[str, dict[str, Any]], **more: Any) -> str:
    """Write a project with crates and racks, the racks side by side, and return its path."""
    places = {rack: {"at": [str(200 + 700 * i), "0", "0"]} for i, rack in enumerate(racks)}
    workshop = {"kerf": "3", "sheets": {"ply15": PLY}, **more.pop("workshop", {})}
    text = project_text(
        title=name, things={"crate": CRATE, **racks}, arrangement={"crate": {"outside": ["drive", "camp", "sleep"]}, **places},
        workshop=workshop, **more,
    )  # fmt: skip
    (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return str(folder / f"{name}.yaml")


def _diff(folder: Path, old: dict[str, Any], new: dict[str, Any], **more: Any) -> Diff:
    paths = [_write(folder, name, racks, **more) for name, racks in (("old", old), ("new", new))]
    return diff(*paths, Effort(level="quick"))


def _rows(files: dict[str, bytes], name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(files[name].decode())))


def _uses(made: Diff) -> list[tuple[str, str, str]]:
    return sorted((a.new.name, a.old.name, a.how) for a in made.reuse.panels)


def test_a_rack_of_two_openings_becomes_one_of_one_by_hand(tmp_path: Path) -> None:
    """Openings 230 high: sides of 2 x 230 + 3 x 15 = 505 become sides of 260; boards 410 x 310 stay.

    A new side is 410 long and 260 wide with its grain along; it comes out of an old one 505 x 410. Sawn off right through
    first, 410 - 260 - 3 = 147 by 505 are left, in which the slots for the straps leave no clear piece of 100, and
    505 - 410 - 3 = 92 by 260, too narrow to keep. One board is over.
    Nothing is cut new; all new it would be one sheet of 60. 24 screws were 6 ends x 4, 16 are needed; glue is used up; one
    row of crates less takes a strap less.
    """
    made = _diff(tmp_path, {"rack": _rack(2)}, {"rack": _rack(1)})

    assert _uses(made) == [
        ("bottom", "bottom", "as it is"), ("side", "side", "cut down"), ("side", "side", "cut down"), ("top", "top", "as it is"),
    ]  # fmt: skip
    assert [(s.name, s.count, s.length, s.width) for s in made.offcuts.stocks] == [
        ("old rack shelf 410 × 310", 1, pytest.approx(410), pytest.approx(310)),
    ]  # fmt: skip
    assert made.cutting is not None
    assert made.all_new is not None
    assert (made.cutting.cost, made.all_new.cost, made.cutting.sheets) == (0, 60, None)
    assert dict(made.hardware) == {"glue": 1, "screw-4x35": 16 - 24, "strap-ratchet": -1}
    assert [change.name for change in made.changes.changed] == ["rack"]
    assert made.missing == ()


def test_old_panels_left_over_save_a_sheet(tmp_path: Path) -> None:
    """A rack of three openings is broken up; one for small crates is cut out of what is left, without a sheet.

    Two sides 735 x 410 and four boards 410 x 310 are there. The new rack's boards are 210 x 160 and its sides 210 x 160: as
    a matching gives each old panel to one new one, all four of its panels come out of old ones.
    """
    small = {"kind": "bin", "length": "200", "width": "150", "height": "100", "mass": "1"}
    old, new = ({"rack": _rack(3)}, {"rack": _rack(1, takes="small")})
    paths = []
    for name, racks in (("old", old), ("new", new)):
        path = Path(_write(tmp_path, name, racks))
        text = path.read_text(encoding="utf-8").replace("things:\n", "things:\n  small: " + json.dumps(small) + "\n")
        path.write_text(text, encoding="utf-8")
        paths.append(str(path))
    made = diff(*paths, Effort(level="quick"))

    assert made.reuse.to_cut == ()
    assert len(made.reuse.panels) == 4
    assert made.all_new is not None
    assert made.all_new.cost == 60
    # Boards go where grain does not matter, whole sides are left.
    assert sum(a.old.name == "side" for a in made.reuse.panels) == 2


def test_the_cutting_lays_new_parts_on_what_is_left(tmp_path: Path) -> None:
    """Each old panel serves one new one; what is left beside them takes the others, and no sheet is bought.

    An old rack of six openings has two sides and seven boards. Four racks for crates half as large, 200 x 150, have sixteen
    panels of 210 x 260 and 210 x 160: nine are cut down from an old one each, seven lie on the rests of the sides.
    """
    old = _write(tmp_path, "old", {"rack": _rack(6)})
    racks = {f"rack {i}": _rack(1, takes="crate") for i in range(4)}
    new = Path(_write(tmp_path, "new", racks))
    new.write_text(
        new.read_text(encoding="utf-8").replace(str(CRATE["length"]), "200").replace("'300'", "'150'"), encoding="utf-8"
    )
    made = diff(old, str(new), Effort(level="quick"))

    assert made.cutting is not None
    assert made.all_new is not None
    assert len(made.reuse.panels) == 9
    assert made.cutting.sheets is not None
    assert sum(part.count for part in made.cutting.sheets.job.parts) == 4 * 4 - 9
    assert {s.stock.offcut for m in made.cutting.sheets.materials for s in m.sheets} == {True}
    assert (made.cutting.cost, made.all_new.cost) == (0, 60)


def test_what_is_the_same_stays_and_its_panels_are_not_touched(tmp_path: Path) -> None:
    """Of two racks one is broken up, the other stays where it was: only the one's panels and screws are there.

    Of a side 410 wide what is clear of the slots for the straps, near its edge, is 360.
    """
    made = _diff(tmp_path, {"rack": _rack(2), "other": _rack(2)}, {"rack": _rack(2)})

    assert made.reuse.stays == ("rack",)
    assert (made.reuse.panels, made.reuse.to_cut) == ((), ())
    assert [stock.name for stock in made.offcuts.stocks] == [
        "old other side 505 × 360", "old other bottom 410 × 310", "old other top 410 × 310", "old other shelf 410 × 310",
    ]  # fmt: skip
    assert dict(made.hardware)["screw-4x35"] == -24
    assert "glue" not in dict(made.hardware)


def test_panels_of_unknown_grain_are_told_and_not_laid_on(tmp_path: Path) -> None:
    """Where a new part asks for its grain, an old board that was cut either way is kept, but no part is laid on it.

    A board whose grain runs across is told as a sheet whose length is its width, since a sheet's grain runs along it.
    """
    plan = load(_write(tmp_path, "plan", {"rack": _rack(1)}))
    sheet = replace(PLY18, material="ply15", thickness=15.0)
    boards = [
        flat(name, "xy", (0, 0, 0), size, grain=grain, sheet=sheet)
        for name, size, grain in (
            ("free", (400, 300), "free"),
            ("crossed", (350, 250), "across"),
            ("sliver", (500, 90), "free"),
        )
    ]
    old = whole(tuple(boards), (), None)
    asking, other = (
        replace(
            whole((flat("part", "xy", (0, 0, 0), (900, 600), grain=grain, sheet=sheet),), (), None), name="n", group="n"
        )
        for grain in ("along", "free")
    )
    asked, free = (offcuts(plan, reuse([old], [new], 3)) for new in (asking, other))

    assert [(s.name, s.length, s.width) for s in asked.stocks] == [("old unit crossed 250 × 350", 250, 350)]
    assert asked.unknown == ("1 × old unit free 400 × 300",)
    assert [s.name for s in free.stocks] == ["old unit free 400 × 300", "old unit crossed 250 × 350"]
    assert free.unknown == ()


def test_files_are_read_by_the_other_commands(tmp_path: Path) -> None:
    """sheets.csv is a table of sheets, new-parts.csv one of parts, and the lines of offcuts.yaml stand in a workshop."""
    made = _diff(tmp_path, {"rack": _rack(2), "more": _rack(4)}, {"tall": _rack(5)})
    files = diff_files(made, Paper())
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "buy.csv").write_text("name,material,length,width,price\nfull,ply15,2440,1220,60\n", encoding="utf-8")
    table = read_sheets_table(files["sheets.csv"].decode(), "sheets.csv", "mm")
    asked = job_from_tables(
        str(tmp_path / "new-parts.csv"),
        [str(tmp_path / "sheets.csv"), str(tmp_path / "buy.csv")],
        "mm",
        CutWords(kerf="3"),
    )

    assert [(s.name, s.count, s.offcut) for s in table.stocks] == [(s.name, s.count, True) for s in made.offcuts.stocks]
    assert made.cutting is not None
    assert solve_tables(asked, Effort(level="quick")).cost == made.cutting.cost
    text = (tmp_path / "new.yaml").read_text(encoding="utf-8")
    with_old = text.replace("  sheets:\n", "  sheets:\n" + files["offcuts.yaml"].decode().split("\n", 1)[1])
    (tmp_path / "with-old.yaml").write_text(with_old, encoding="utf-8")
    again = solve_plan(load(str(tmp_path / "with-old.yaml")), Effort(level="quick"))
    assert {stock.name for stock in again.job.stocks if stock.offcut} == {stock.name for stock in made.offcuts.stocks}


def test_the_same_projects_write_the_same_bytes(tmp_path: Path) -> None:
    """Two runs write the same files, and a project beside itself has no files but the words."""
    old, new = {"rack": _rack(2), "more": _rack(4)}, {"tall": _rack(5)}
    first, second = (diff_files(_diff(tmp_path, old, new), Paper()) for _ in range(2))
    same = _diff(tmp_path, new, new)

    assert first == second
    assert set(first) >= {
        "diff.txt",
        "reuse.csv",
        "sheets.csv",
        "offcuts.yaml",
        "new-parts.csv",
        "cut-list.csv",
        "cutting.txt",
    }
    assert set(diff_files(same, Paper())) == {"diff.txt"}
    assert "nothing is otherwise" in report(same)


def test_words_and_json_say_the_same(tmp_path: Path) -> None:
    """The text names what from which, the JSON has it as data with lengths in mm."""
    made = _diff(tmp_path, {"rack": _rack(2), "gone": _rack(6)}, {"rack": _rack(1), "tall": _rack(3)})
    text, data = report(made), json.loads(json.dumps(as_json(made)))

    assert "2 × rack side 410 × 260 from rack side 505 × 410 of ply15: " in text
    assert "added\n  tall: bin rack, 410 × 340 × 750" in text
    assert "rack: 410 × 340 × 505 → 410 × 340 × 260" in text
    assert "so 0.00 EUR saved" in text or "60.00 EUR saved" in text
    assert {(r["new"]["panel"], r["old"]["panel"]) for r in data["reused"]} >= {("side", "side")}
    assert data["cost"]["all_new"] == made.all_new.cost if made.all_new else False
    assert [thing["name"] for thing in data["added"]] == ["tall"]
    assert len(data["to_cut"]) == len(made.reuse.to_cut)


def test_nothing_is_cut_for_a_new_plan_that_fails(tmp_path: Path) -> None:
    """A new plan that fails has its changes told, but no cutting, unless asked."""
    old = _write(tmp_path, "old", {"rack": _rack(2)})
    new = Path(_write(tmp_path, "new", {"rack": _rack(3)}))
    new.write_text(new.read_text(encoding="utf-8").replace("'200'\n    - '0'", "'2900'\n    - '0'"), encoding="utf-8")
    plain, asked = diff(old, str(new), Effort(level="quick")), diff(old, str(new), Effort(level="quick"), anyway=True)

    assert plain.new.fails
    assert (plain.cutting, as_json(plain)["cost"]) == (None, None)
    assert "nothing is cut" in report(plain)
    assert "cut-list.csv" not in diff_files(plain, Paper())
    assert asked.cutting is not None
    assert asked.cutting.sheets is not None


def test_battens_are_used_again_and_the_rest_is_cut_from_bars(tmp_path: Path) -> None:
    """A bed 120 shorter takes its cross members as they are and cuts its slats down; nothing is bought."""
    text = BED.read_text(encoding="utf-8")
    (tmp_path / "old.yaml").write_text(text, encoding="utf-8")
    shorter = text.replace("length: 1900\n", "length: 1780\n").replace(
        "length: 1880, width: 1400", "length: 1760, width: 1400"
    )
    (tmp_path / "new.yaml").write_text(shorter, encoding="utf-8")
    made = diff(str(tmp_path / "old.yaml"), str(tmp_path / "new.yaml"), Effort(level="quick"), anyway=True)
    back = diff(str(tmp_path / "new.yaml"), str(tmp_path / "old.yaml"), Effort(level="quick"), anyway=True)

    assert {(s.new.name, s.how) for s in made.reuse.sticks} == {("slat", "cut down"), ("cross rail", "as it is")}
    assert made.cutting is not None
    assert made.cutting.cost == 0
    # Longer slats do not come out of shorter ones: 21 laths at 3 each are bought, and the old ones are left as bars.
    assert back.cutting is not None
    assert back.cutting.bars is not None
    assert back.cutting.bars.cost == 63
    assert [(bar.material, bar.count, bar.length) for bar in back.offcuts.bars] == [("lath", 21, pytest.approx(1780))]
    table = read_sheets_table(diff_files(back, Paper())["sheets.csv"].decode(), "sheets.csv", "mm")
    assert [(bar.material, bar.count, bar.offcut) for bar in table.bars] == [("lath", 21, True)]


def test_faults_of_both_files_are_told(tmp_path: Path) -> None:
    """What is wrong in either file is told with its place, all at once; standard input can be only one of them."""
    good = _write(tmp_path, "good", {"rack": _rack(2)})
    for name in ("one", "two"):
        path = Path(_write(tmp_path, name, {"rack": _rack(2)}))
        path.write_text(path.read_text(encoding="utf-8").replace("sheet: ply15", f"sheet: {name}"), encoding="utf-8")

    with pytest.raises(InputError) as caught:
        diff(str(tmp_path / "one.yaml"), str(tmp_path / "two.yaml"), Effort())
    assert [Path(fault.file).name for fault in caught.value.faults] == ["one.yaml", "two.yaml"]
    assert all(fault.line for fault in caught.value.faults)
    with pytest.raises(InputError, match="only one of the two"):
        diff("-", "-", Effort())
    with pytest.raises(InputError, match="cannot be read"):
        diff(good, str(tmp_path / "nowhere.yaml"), Effort())


def test_sheets_that_are_too_small_are_told_in_the_new_file(tmp_path: Path) -> None:
    """A part that neither a sheet nor an old panel holds is told at the workshop of the new project."""
    old = _write(tmp_path, "old", {"rack": _rack(1)})
    new = _write(tmp_path, "new", {"rack": _rack(4)}, workshop={"sheets": {"ply15": {**PLY, "length": "600"}}})

    with pytest.raises(InputError, match=r"new\.yaml:\d+:\d+: workshop\.sheets: part 'rack side' is 995 × 410 mm"):
        diff(old, new, Effort())


def test_sheets_on_hand_that_do_not_do_are_told(tmp_path: Path) -> None:
    """With no sheet but one small piece on hand the parts without room are named."""
    few = {"sheets": {"ply15": {**PLY, "length": "800", "width": "450", "count": "1"}}}
    made = _diff(tmp_path, {"rack": _rack(1)}, {"rack": _rack(2)}, workshop=few)

    assert [text.split(" (")[0] for text in made.missing] == [
        "no room for 1 × 'rack side'", "no room for 1 × 'rack shelf'",
    ]  # fmt: skip
    assert as_json(made)["missing"] == made.missing
