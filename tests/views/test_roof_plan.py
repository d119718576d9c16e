"""The roof plan: what is on it and under it, to scale; the rule's arithmetic by hand."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from shapely.geometry import box

from layout.drawing.model import Drawing, Text
from layout.drawing.model import Path as Line
from layout.errors import InputError
from layout.jobs.draw import Paper
from layout.jobs.load import Plan
from layout.jobs.roof_sheets import roof_sheets
from layout.model.finding import Finding
from tests.builders import BASE, plan_of

Check = Callable[[Drawing], list[str]]
PANEL = {"kind": "panel", "length": "1000", "width": "700", "at": ["620", "0"]}
FAN = {"kind": "fan", "length": "400", "width": "400", "at": ["1650", "0"]}
MATTRESS = {"kind": "mattress", "length": "1900", "width": "700", "thickness": "100"}


def _plan(folder: Path, on_roof: dict[str, object], **more: object) -> Plan:
    ribs = {"at": ["700", "1400", "2100"], "width": "60", "depth": "10"}
    roof = {"length": "3000", "width": "1400", "things": on_roof}
    space = {**BASE["space"], "ribs": ribs, "roof_top": roof}  # type: ignore[dict-item]  # a plain room
    return plan_of(folder, space=space, **more)


def _found(plan: Plan, *severities: str) -> list[Finding]:
    return [f for f in plan.findings if f.rule == "roof-plan" and f.severity in severities]


def _texts(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Text)]


def test_a_project_without_a_roof_has_no_roof_plan(tmp_path: Path) -> None:
    """Where the file tells of no roof nothing is drawn and nothing found."""
    plan = plan_of(tmp_path)

    assert roof_sheets(plan, Paper()) == ()
    assert _found(plan, "fail", "warn", "note") == []


@pytest.mark.parametrize("paper", [None, "A4", "A2", "Letter"])
def test_texts_of_a_full_roof_can_be_read(tmp_path: Path, paper: str | None, text_faults: Check) -> None:
    """Feet, glands, a fan and panels side by side on every paper: no text on another."""
    foot = {"kind": "rack foot", "length": "80", "width": "60"}
    things = {
        "panel": PANEL, "fan": FAN, "gland": {"kind": "gland", "length": "60", "width": "40", "at": ["1050", "200"]},
        **{f"foot {i + 1}": {**foot, "at": [str(200 + 700 * (i // 2)), str(640 - 1280 * (i % 2))]} for i in range(4)},
    }  # fmt: skip
    [sheet] = roof_sheets(_plan(tmp_path, things), Paper(name=paper))

    assert text_faults(sheet) == []
    said = " ".join(_texts(sheet))
    assert all(all(word in said for word in name.split()) for name in things)


def test_a_roof_is_drawn_to_scale_with_its_holes(tmp_path: Path) -> None:
    """The roof of 3000 is 150 long at 1:20, the fan of 400 is 20; its hole is told from the rear edge."""
    [sheet] = roof_sheets(_plan(tmp_path, {"fan": FAN}), Paper(scale=20))

    def length(layer: str) -> float:
        xs = [x for m in sheet.marks if isinstance(m, Line) and m.layer == layer for x, _ in m.points]
        return max(xs) - min(xs)

    assert length("roof") == pytest.approx(150)
    assert length("on the roof") == pytest.approx(20)
    said = " ".join(_texts(sheet))
    assert "fan: hole 400 × 400, its middle 1650 from the rear edge, on the centre line" in said
    assert "1650" in _texts(sheet)


def test_what_is_under_a_hole_is_told_by_state(tmp_path: Path) -> None:
    """Under the fan a mattress of 100 on the floor is 1700 below a ceiling of 1800, but on the road only the floor is."""
    plan = _plan(
        tmp_path, {"fan": FAN}, things={"m": MATTRESS},
        arrangement={"m": {"at": ["500", "0", "0"], "outside": ["drive"]}},
    )  # fmt: skip
    said = {f.states: f.text for f in _found(plan, "note")}

    assert said["drive",] == "under the hole of fan: the floor, 1800 mm below the ceiling"
    assert said["camp", "sleep"] == "under the hole of fan: m, 1700 mm below the ceiling"


def test_something_right_under_a_hole_is_warned_of(tmp_path: Path) -> None:
    """A wardrobe of 1750 under a ceiling of 1800 leaves 50 of the 100 wanted."""
    wardrobe = {"kind": "box", "length": "500", "width": "500", "height": "1750"}
    plan = _plan(tmp_path, {"fan": FAN}, things={"w": wardrobe}, arrangement={"w": {"at": ["1500", "0", "0"]}})
    [finding] = _found(plan, "warn")

    assert (finding.measured, finding.wanted, finding.short_by) == pytest.approx((50, 100, 50))
    assert finding.things == ("w",)


@pytest.mark.parametrize(
    ("fan", "severity", "measured", "cure"),
    [
        (["1650", "0"], None, None, None),  # 1450 to 1850, 20 from the rib that ends at 1430
        (["1640", "0"], "warn", 10, "move it 5 mm forward"),
        (["1550", "0"], "fail", -80, "move it 95 mm forward"),
        (["1250", "0"], "fail", None, None),  # on the rib at 1400 and in the panel that ends at 1120
    ],
)
def test_a_fan_and_a_rib(
    tmp_path: Path, fan: list[str], severity: str | None, measured: float | None, cure: str | None
) -> None:
    """The rib at 1400 is from 1370 to 1430, and 15 are wanted beside it."""
    found = _found(_plan(tmp_path, {"panel": PANEL, "fan": {**FAN, "at": fan}}), "fail", "warn")

    assert {f.severity for f in found} == ({severity} if severity else set())
    if measured is not None:
        assert [(f.measured, f.cure) for f in found] == [(pytest.approx(measured), cure)]


def test_a_cure_leaves_nothing_wrong(tmp_path: Path) -> None:
    """Every move that is offered is carried out, and then nothing is found of that thing any more."""
    tried = 0
    for x in range(500, 2600, 90):
        things = {"panel": PANEL, "fan": {**FAN, "at": [str(x), "150"]}}
        for finding in _found(_plan(tmp_path, things), "fail", "warn"):
            if finding.cure.startswith("move it"):
                _, _, by, _, way = finding.cure.split()
                dx, dy = {"forward": (1, 0), "back": (-1, 0), "left": (0, 1), "right": (0, -1)}[way]
                at = [str(x + dx * float(by)), str(150 + dy * float(by))]
                moved = _plan(tmp_path, {"panel": PANEL, "fan": {**FAN, "at": at}})
                assert _found(moved, "fail", "warn") == []
                tried += 1
    assert tried > 5


def test_overlaps_are_those_of_rectangles(tmp_path: Path) -> None:
    """Two panels fail exactly when their rectangles share an area, by an independent polygon library's word."""
    for dx, dy in ((900, 0), (1000, 0), (1010, 0), (1020, 0), (990, 699), (0, 705), (990, 701), (1015, 715)):
        other = {**PANEL, "at": [str(620 + dx), str(-300 + dy)]}
        first = {**PANEL, "at": ["620", "-300"]}
        found = [f for f in _found(_plan(tmp_path, {"a": first, "b": other}), "fail") if "into a" in f.text]
        one = box(120, -650, 1120, 50)
        two = box(120 + dx, -650 + dy, 1120 + dx, 50 + dy)
        assert bool(found) == (one.intersection(two).area > 0)


def test_a_panel_may_stand_over_its_feet_and_gland(tmp_path: Path) -> None:
    """Feet and a gland under a panel are as they should be; a hatch under it fails."""
    under = {
        "foot": {"kind": "rack foot", "length": "80", "width": "80", "at": ["300", "200"]},
        "gland": {"kind": "gland", "length": "60", "width": "60", "at": ["1000", "200"]},
    }
    hatch = {"hatch": {"kind": "hatch", "length": "300", "width": "300", "at": ["480", "0"]}}

    assert _found(_plan(tmp_path, {"panel": PANEL, **under}), "fail", "warn") == []
    assert any("into panel" in f.text for f in _found(_plan(tmp_path, {"panel": PANEL, **hatch}), "fail"))


@pytest.mark.parametrize(
    ("roof", "said"),
    [
        ({"length": "3000"}, "give either length: and width: of the roof, or its corners"),
        ({"corners": [["0", "0"], ["1", "1"], ["0", "1"], ["1", "0"]]}, "crosses itself or encloses nothing"),
        ({"length": "3000", "width": "1400", "things": {"a": {**PANEL, "kind": "chimney"}}}, "chimney"),
        ({"length": "3000", "width": "1400", "things": {"a": {"kind": "fan", "at": ["1", "2"]}}}, "length"),
    ],
)
def test_a_roof_that_cannot_be_is_refused(tmp_path: Path, roof: dict[str, object], said: str) -> None:
    """A wrong roof is told of with its place in the file."""
    with pytest.raises(InputError, match=said) as raised:
        plan_of(tmp_path, space={**BASE["space"], "roof_top": roof})  # type: ignore[dict-item]  # a plain room

    assert "roof_top" in str(raised.value)
