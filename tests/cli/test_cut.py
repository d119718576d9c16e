"""The command that cuts: tables in, lists out, and every bad input told in words."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

from tests.builders import ROOT, project_text
from tests.cli.test_commands import run

PARTS = "name,count,length,width,material,grain\n"
SHEETS = "name,material,length,width,price,count\n"
FULL = SHEETS + "full,ply,2440,1220,68,\n"
Done = subprocess.CompletedProcess[str]


def _cut(folder: Path, parts: str, sheets: str, *words: str) -> Done:
    (folder / "parts.csv").write_text(parts, encoding="utf-8", newline="")
    (folder / "sheets.csv").write_text(sheets, encoding="utf-8", newline="")
    return run("cut", "--parts", "parts.csv", "--sheets", "sheets.csv", "--effort", "quick", *words, cwd=folder)


@pytest.mark.parametrize(
    ("parts", "sheets", "words", "says"),
    [
        (PARTS + "a,1,2500,100,ply,\n", FULL, (), "parts.csv:2:0: length: part 'a' is 2500 × 100 mm"),
        (PARTS + "a,1,600,100,ply,\n", FULL.replace("price", "thickness").replace("68", "?"), (), "thickness: cannot read"),
        (PARTS + "a,1,600,2,ply,\n", FULL, ("--kerf", "3"), "parts.csv:2:0: width: 2 mm is less than the kerf"),
        (PARTS + "a,-1,600,100,ply,\n", FULL, (), "parts.csv:2:0: count: '-1' is not a count"),
        (PARTS + "a,1000000000,600,100,ply,\n", FULL, (), "parts.csv:2:0: count: '1000000000' is not a count"),
        (PARTS.replace(",", ";") + "a;1;600;100;ply;\n", FULL, (), "parts.csv:1:0: the columns are separated by semicolons"),
        (PARTS + "a,1,600,100,ply,\na,1,600,100,ply,\n", FULL, (), "parts.csv:3:0: name: 'a' is already the name in line 2"),
        (PARTS + "=cmd(),1,600,100,ply,\n", FULL, (), "parts.csv:2:0: name: '=cmd()' begins with '=', like a formula"),
        (PARTS + "a,1,600,100,plya,\n", FULL, (), "parts.csv:2:0: material: no sheet of 'plya' is in sheets.csv, perhaps ply"),
        (PARTS + "a,1,600,100,ply,\n", FULL, ("--prefer", "speed"), "--prefer: 'speed' cannot be used"),
        (PARTS + "a,1,600,100,ply,\n", FULL, ("--car", "big"), "--car: is about the shop"),
        (PARTS + "a,1,600,100,ply,\n", FULL, ("--what-if", "--less", "-3"), "--less"),
        (PARTS + "a,1,600,100,ply,\n", FULL, ("--seconds", "0"), "--seconds"),
    ],
)  # fmt: skip
def test_bad_input_is_told_with_its_row(
    tmp_path: Path, parts: str, sheets: str, words: tuple[str, ...], says: str
) -> None:
    """Protects the writer of tables: exit code 2, file and row and key, no traceback, nothing written."""
    done = _cut(tmp_path, parts, sheets, *words, "-o", "out")

    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_byte_order_mark_and_inch_fractions_are_read(tmp_path: Path) -> None:
    """Protects spreadsheets: what they put before and within a table is no fault."""
    parts = "\ufeff" + PARTS.replace("\n", "\r\n") + '"side",1,"23 5/8""",11 13/16,ply,\r\n'
    sheets = "\ufeff" + SHEETS + "full,ply,96,48,68,\n"
    done = _cut(tmp_path, parts, sheets, "--units", "in", "--kerf", "1/8", "--json")

    assert done.returncode == 0
    [sheet] = json.loads(done.stdout)["materials"][0]["sheets"]
    assert (sheet["length"], sheet["width"]) == (2438.4, 1219.2)


def test_parts_without_room_are_told_and_the_rest_is_written(tmp_path: Path) -> None:
    """Protects a person who has only so many sheets: what fits is planned and written, what does not is named."""
    done = _cut(tmp_path, PARTS + "top,3,2400,1200,ply,\n", FULL.replace("68,", "68,2"), "-o", "out", "--json")
    said = json.loads(done.stdout)

    assert done.returncode == 1
    assert said["unplaced"] == ["top"]
    assert said["materials"][0]["sheets_used"] == 2
    assert "no room for 1 × 'top' (2400 × 1200)" in done.stderr
    assert "no room for 1 × 'top'" in (tmp_path / "out" / "cutting.txt").read_text(encoding="utf-8")


def test_leftovers_go_in_as_stock(tmp_path: Path) -> None:
    """Protects what is left: the table written is taken as it is, and its pieces are used at no price."""
    first = _cut(tmp_path, PARTS + "top,1,1200,1200,ply,\n", FULL, "-o", "out")
    (tmp_path / "parts.csv").write_text(PARTS + "lid,1,1200,1200,ply,\n", encoding="utf-8")
    words = ("--sheets", "sheets.csv", "--sheets", "out/leftovers.csv", "--effort", "quick", "--trim", "8")
    second = run("cut", "--parts", "parts.csv", *words, cwd=tmp_path)

    assert (first.returncode, second.returncode) == (0, 0)
    assert "1 sheet (1 of them your own offcuts), 0.00" in second.stdout


def test_what_if_is_said_and_written(tmp_path: Path) -> None:
    """Protects the purse: asked for, the advice is printed, written and in the JSON; not asked for, it is not."""
    parts = PARTS + "shelf,3,2440,406,ply,along\n"
    told = _cut(tmp_path, parts, FULL, "--what-if", "-o", "out")
    as_data = _cut(tmp_path, parts, FULL, "--what-if", "--json")
    plain = _cut(tmp_path, parts, FULL)

    assert (
        "ply: 2 mm less on the width of 'shelf' (406 mm to 404 mm): 1 sheet, 68.00, saves 1 sheet, 68.00" in told.stdout
    )
    assert "2 mm less" in (tmp_path / "out" / "cutting.txt").read_text(encoding="utf-8")
    assert {one["about"] for one in json.loads(as_data.stdout)["what_if"]} >= {"size", "spare"}
    assert "less" not in plain.stdout.replace("less than a second", "")


def test_the_shop_gets_its_own_list(tmp_path: Path) -> None:
    """Protects the trip to the shop: with a shop there are two lists, without one only the home's."""
    parts = PARTS + "side,4,1150,550,ply,\n"
    shop = ("--shop-cuts", "1", "--shop-trim", "5", "--car", "1250x1250")
    assert _cut(tmp_path, parts, FULL, "-o", "plain").returncode == 0
    assert _cut(tmp_path, parts, FULL, *shop, "-o", "shop").returncode == 0

    assert not (tmp_path / "plain" / "shop-list.csv").exists()
    assert (tmp_path / "shop" / "shop-list.csv").read_text(encoding="utf-8").count("\n") == 2


def test_the_same_tables_write_the_same_files(tmp_path: Path) -> None:
    """Protects printed lists: cutting again writes the same bytes, for the clock is in none of them."""
    parts = PARTS + "".join(f"p{i},2,{300 + 37 * i},{200 + 23 * i},ply,\n" for i in range(8))
    for name in ("a", "b"):
        assert _cut(tmp_path, parts, FULL, "--what-if", "--seed", "3", "-o", name).returncode == 0
    first, second = ({path.name: path.read_bytes() for path in (tmp_path / name).iterdir()} for name in ("a", "b"))

    assert first == second
    assert {"cut-list.csv", "leftovers.csv", "fence-settings.csv", "cutting.txt", "sheets-to-buy.csv"} <= set(first)


def test_options_of_the_saw_go_with_tables() -> None:
    """Protects a project's own saw: an option that it would silently overrule is refused, with where to say it."""
    done = run("cut", "examples/market-van.yaml", "--kerf", "3", "--shop-cuts", "2")

    assert (done.returncode, done.stdout) == (2, "")
    assert "workshop; write --kerf, --shop-cuts there" in done.stderr


def _workshop(**more: object) -> str:
    bed = {"kind": "bed platform", "length": "1880", "width": "1320", "deck": "700", "sheet": "ply"}
    ply = {"length": "2500", "width": "1250", "thickness": "15", "density": "650", "price": "74"}
    sheet = {**ply, **more.pop("sheet", {})}  # type: ignore[dict-item]  # texts by key
    return project_text(
        things={"bed": bed}, arrangement={"bed": {"rear": "40", "centre": "0"}},
        workshop={"sheets": {"ply": sheet}, **more},
    )  # fmt: skip


def test_a_project_says_its_shop_and_its_sheets_faults() -> None:
    """Protects the workshop of a project: shop, guide, trims, damage and preferences reach the saw."""
    text = _workshop(
        shop={"cuts": "2", "car": ["2000", "1300"], "trim": "6"}, longest_cut="2600", smallest_hold="50",
        prefer=["settings", "offcut"],
        sheet={"trim": {"left": "0"}, "damage": [{"x": "0", "y": "0", "length": "60", "width": "40"}]},
    )  # fmt: skip
    done = run("cut", "-", "--anyway", "--json", "--effort", "quick", given=text)

    assert done.returncode == 0, done.stderr
    sheets = json.loads(done.stdout)["materials"][0]["sheets"]
    assert all(sheet["damage"] == [{"x": 0, "y": 0, "length": 60, "width": 40}] for sheet in sheets)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"sheet": {"offcut": "yes"}}, "workshop.sheets.ply.price: an offcut on hand costs nothing"),
        ({"sheet": {"offcut": "maybe"}}, "workshop.sheets.ply.offcut"),
        ({"shop": {"cuts": "2", "trim": "1"}}, "workshop.shop.trim: 1 mm is less than the tolerance"),
        ({"shop": {"kerf": "2"}}, "workshop.shop.cuts: is missing"),
        ({"prefer": ["speed"]}, "workshop.prefer"),
        ({"sheet": {"damage": [{"x": "0"}]}}, "workshop.sheets.ply.damage"),
    ],
)
def test_a_workshop_that_cannot_be_used(more: dict[str, object], says: str) -> None:
    """Protects the writer of a project: what is wrong in its workshop is told with line and key."""
    done = run("cut", "-", "--anyway", given=_workshop(**more))

    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr
    assert "standard input:" in done.stderr


def test_the_shipped_schema_knows_the_shop() -> None:
    """Protects editors: the schema beside the examples knows the keys of the shop."""
    schema = json.loads((ROOT / "examples" / "layout.schema.json").read_text(encoding="utf-8"))

    assert {"shop", "longest_cut", "smallest_hold", "prefer"} <= set(schema["$defs"]["WorkshopFormat"]["properties"])


def test_rows_without_a_width_are_cut_from_bars(tmp_path: Path) -> None:
    """Protects battens: they come out beside the panels, in lists and JSON, and their leftovers are stock again."""
    parts = PARTS + "side,1,600,400,ply,\nrail,2,905,,batten,\nstud,1,1200,,batten,\n"
    sheets = FULL + "bar,batten,2400,,4.20,\n"
    told = _cut(tmp_path, parts, sheets, "--json")
    written = _cut(tmp_path, parts, sheets, "-o", "out")
    said = json.loads(told.stdout)
    again = _cut(
        tmp_path, PARTS + "peg,1,500,,batten,\n", (tmp_path / "out" / "leftovers.csv").read_text(encoding="utf-8")
    )

    assert (told.returncode, written.returncode) == (0, 0), told.stderr
    assert said["cost"] == 68 + 2 * 4.2
    assert [material["bars_used"] for material in said["lengths"]["materials"]] == [2]
    assert {"cut-list.csv", "lengths-cut-list.csv", "bars-to-buy.csv"} <= {p.name for p in (tmp_path / "out").iterdir()}
    assert (again.returncode, again.stderr) == (0, "")
    assert "1 bar (1 × left" in again.stdout


def test_bars_alone_need_no_sheets(tmp_path: Path) -> None:
    """Protects jobs of battens only: no empty lists of panels; too long and missing pieces are told as for sheets."""
    bar = SHEETS + "bar,batten,2400,,4.20,1\n"
    short = _cut(tmp_path, PARTS + "rail,3,905,,batten,\n", bar, "-o", "out")
    long = _cut(tmp_path, PARTS + "rail,3,2500,,batten,\n", bar)

    assert short.returncode == 1
    assert "no room for 1 × 'rail': the bars of 'batten' on hand do not do" in short.stderr
    assert not (tmp_path / "out" / "cut-list.csv").exists()
    assert long.returncode == 2
    assert "parts.csv:2:0: length: " in long.stderr


def test_one_sheet_is_filled_as_well_as_can_be(tmp_path: Path) -> None:
    """Protects a person with one sheet: which parts it yields, with its diagram; a wrong name is told."""
    parts = PARTS + "side,6,605,1220,ply,along\nshelf,9,400,300,ply,\n"
    told = _cut(tmp_path, parts, FULL, "--one-sheet", "full", "-o", "out")
    data = json.loads(_cut(tmp_path, parts, FULL, "--one-sheet", "full", "--json").stdout)
    wrong = _cut(tmp_path, parts, FULL, "--one-sheet", "ful")

    assert told.returncode == 0, told.stderr
    assert "one sheet of 'full': 4 of 15 pieces" in told.stdout
    assert "left for another sheet: 2 × side, 9 × shelf" in told.stdout
    assert (data["one_sheet"]["parts"], data["unplaced"]) == ({"side": 4}, [])
    assert (tmp_path / "out" / "cut-01.svg").exists()
    assert (wrong.returncode, "did you mean 'full'?" in wrong.stderr) == (2, True)


def test_what_is_not_safe_to_saw_is_said_and_written(tmp_path: Path) -> None:
    """Protects hands: a guide too short and strips too small to hold are warned of, on the screen and in the file."""
    parts = PARTS + "side,4,600,400,ply,\nslat,2,2000,12,ply,\n"
    limits = ("--longest-cut", "1000", "--smallest-hold", "50")
    done = _cut(tmp_path, parts, FULL, *limits, "-o", "out")
    assert done.returncode == 0
    for text in (done.stdout, (tmp_path / "out" / "cutting.txt").read_text(encoding="utf-8")):
        assert "take care: ply, sheet 1: cuts" in text
        assert "the guide takes 1000 mm" in text
        assert "too small to hold safely (under 50 mm)" in text
    assert "take care" not in _cut(tmp_path, parts, FULL).stdout
