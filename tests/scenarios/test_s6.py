"""Ten bins, a small car and a shop that saws: the whole errand by the command, its figures reckoned by hand.

Ply of 2440 × 1220, 11.7 mm by the caliper. The shop saws up to six cuts a sheet, kerf 3.2, within 2 mm, nothing
under 300; the car takes 1250 × 950; at home the kerf is 2.4, and 5 come off every edge of the shop, 3 off the sheet's
own. A bin of 600 × 400 has its ends between its sides, 400 - 2 × 11.7 = 376.6 long, and its base inset.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.cli.test_commands import run

HERE = Path(__file__).parent
PARTS = (HERE / "s6-parts.csv").read_text(encoding="utf-8")
SHEETS = (HERE / "s6-sheets.csv").read_text(encoding="utf-8")
SHOP = (
    "--shop-cuts",
    "6",
    "--shop-kerf",
    "3.2",
    "--shop-tolerance",
    "2",
    "--shop-narrowest",
    "300",
    "--shop-trim",
    "5",
)
CAR, NARROWEST = (1250, 950), 300
TINY = 1e-6
Node = dict[str, Any]


def _cut(folder: Path, parts: str, *words: str, sheets: str = SHEETS, trim: str = "3") -> dict[str, Any]:
    (folder / "parts.csv").write_text(parts, encoding="utf-8")
    (folder / "sheets.csv").write_text(sheets, encoding="utf-8")
    saw = ("--kerf", "2.4", "--trim", trim, *SHOP, "--car", f"{CAR[0]}x{CAR[1]}")
    tables = ("--parts", "parts.csv", "--sheets", "sheets.csv")
    done = run("cut", *tables, *saw, "--effort", "quick", "--json", *words, cwd=folder)
    assert done.returncode == 0, done.stderr
    said: dict[str, Any] = json.loads(done.stdout)
    return said


def _only(*names: str, parts: str = PARTS) -> str:
    """Return the table of parts with only some of its rows."""
    return "".join(line for line in parts.splitlines(keepends=True) if line.split(",")[0] in ("name", *names))


def _twelve(high: int) -> str:
    """Return a table of twelve sides."""
    return _only("side").replace("side,10,600,405", f"side,12,600,{high}")


def _sheets(said: dict[str, Any]) -> list[Node]:
    [material] = said["materials"]
    return list(material["sheets"])


def _walk(root: Node) -> Iterator[Node]:
    waiting = [root]
    while waiting:
        node = waiting.pop()
        waiting += node.get("pieces", [])
        yield node


def _shop_cuts(sheet: Node) -> list[Node]:
    return [node for node in _walk(sheet["root"]) if node.get("cut", {}).get("by") == "shop"]


def _blanks(node: Node) -> list[Node]:
    """Return what the shop hands over of a sheet."""
    if node.get("cut", {}).get("by") != "shop":
        return [node]
    return [blank for piece in node["pieces"] for blank in _blanks(piece)]


def _laid(root: Node) -> list[Node]:
    return [node for node in _walk(root) if "part" in node]


def _parts(said: dict[str, Any]) -> Counter[str]:
    return Counter(node["part"] for sheet in _sheets(said) for node in _laid(sheet["root"]))


def _assert_carried_and_trimmed(said: dict[str, Any]) -> None:
    """Hold what the shop hands over, and every part on it, against the rules of the errand."""
    for sheet in _sheets(said):
        assert len(_shop_cuts(sheet)) <= 6
        for blank in _blanks(sheet["root"]):
            long, short = max(blank["length"], blank["width"]), min(blank["length"], blank["width"])
            assert long <= CAR[0]
            assert NARROWEST <= short <= CAR[1]
            for part in _laid(blank):
                for at, size in (("x", "length"), ("y", "width")):
                    low, high = blank[at], blank[at] + blank[size]
                    assert part[at] - low >= (5 if low > 0 else 3) - TINY
                    assert high - part[at] - part[size] >= (5 if high < sheet[size] else 3) - TINY


def test_the_shop_makes_one_crosscut_and_one_rip_each(tmp_path: Path) -> None:
    """Protects the errand: twelve sides of 400 come from four blanks, (2440 - 3.2) / 2 by (1220 - 3.2) / 2.

    3 × 400 + 2 × 2.4 = 1204.8 of 1218.4, and 600 of 608.4, which leaves 8.4 to trim: 5 and 3.
    """
    said = _cut(tmp_path, _twelve(400))
    [sheet] = _sheets(said)
    cuts = _shop_cuts(sheet)
    assert [node["cut"]["across"] for node in cuts] == ["length", "width", "width"]
    # As near the middle as the shop saws.
    assert [node["cut"]["at"] for node in cuts] == pytest.approx([1218.4, 608.4, 608.4], abs=2)
    assert len(_blanks(sheet["root"])) == 4
    assert _parts(said) == {"side": 12}
    _assert_carried_and_trimmed(said)


def test_five_off_every_edge_is_too_much(tmp_path: Path) -> None:
    """Protects the figure 5 + 3: with 5 off the sheet's own edges too, 598.4 is left for 600, and one sheet is short."""
    assert len(_sheets(_cut(tmp_path, _twelve(400), trim="5"))) == 2


def test_a_side_of_405_costs_a_row_and_the_advice_says_so(tmp_path: Path) -> None:
    """Protects a sheet: 3 × 405 + 2 × 2.4 + 5 + 3 = 1227.8 is more than half a sheet; 401 are the most that go in.

    (1218.4 - 8 - 4.8) / 3 = 401.9.
    """
    said = _cut(tmp_path, _twelve(405), "--what-if")
    assert len(_sheets(said)) == 2
    _assert_carried_and_trimmed(said)
    [text] = [one["text"] for one in said["what_if"] if one["about"] == "size"]
    assert text.startswith("4 mm less on the width of 'side' (405 mm to 401 mm): 1 sheet")
    assert text.endswith("saves 1 sheet")
    assert len(_sheets(_cut(tmp_path, _twelve(401)))) == 1


@pytest.mark.parametrize(("high", "sheets"), [(405, 3), (400, 2)])
def test_twenty_sides_and_their_cleats(tmp_path: Path, high: int, sheets: int) -> None:
    """Protects the order at the shop: five millimetres of height cost the sides a sheet; cleats come from strips."""
    parts = _only("seen side", "side", "cleat").replace("405", str(high))
    said = _cut(tmp_path, parts)
    assert (len(_sheets(said)), said["materials"][0]["proven"]) == (sheets, True)
    assert _parts(said) == {"seen side": 10, "side": 10, "cleat": 40}
    _assert_carried_and_trimmed(said)


def test_all_of_the_bins(tmp_path: Path) -> None:
    """Protects the whole order: every part is cut, what is seen has its grain level, nothing is too large to carry."""
    said = _cut(tmp_path, PARTS)
    counts = {"seen side": 10, "side": 10, "end": 20, "base": 10, "lid": 10, "cleat": 40}
    assert (_parts(said), said["unplaced"]) == (counts, [])
    laid = [node for sheet in _sheets(said) for node in _laid(sheet["root"])]
    assert not any(node["turned"] for node in laid if node["part"] == "seen side")
    _assert_carried_and_trimmed(said)


def test_nothing_touches_the_crushed_corner(tmp_path: Path) -> None:
    """Protects what is seen: ten sides from the crushed sheet alone leave its corner of 60 × 40 free."""
    crushed = "".join(line for line in SHEETS.splitlines(keepends=True) if not line.startswith("whole"))
    said = _cut(tmp_path, _only("side").replace("405", "400"), sheets=crushed)
    assert _parts(said) == {"side": 10}
    [sheet] = _sheets(said)
    assert all(part["x"] >= 60 or part["y"] >= 40 for part in _laid(sheet["root"]))
    _assert_carried_and_trimmed(said)


def test_two_high_is_caught_before_any_cut(tmp_path: Path) -> None:
    """Protects all ten bins: 2 × 405 = 810 stand 110 too high in a bay of 700; of 335 two go in."""
    bay = (HERE / "s6-two-high.yaml").read_text(encoding="utf-8")
    (tmp_path / "low.yaml").write_text(bay.replace("405", "335"), encoding="utf-8")
    high, low = run("check", str(HERE / "s6-two-high.yaml")), run("check", "low.yaml", cwd=tmp_path)
    assert (high.returncode, low.returncode) == (1, 0)
    assert high.stdout.count("110 mm into the roof") == 5
