"""Bins, mattresses, bicycles and people against published figures."""

from pathlib import Path

import pytest

from layout.files.catalogue import Catalogue
from layout.files.rules import read_rules
from layout.units.length import parse_length
from tests.builders import plan_of


def _mm(name: str, key: str) -> float:
    entry = Catalogue(None).entry(name)
    assert entry is not None
    return float(parse_length(entry[key], "mm"))


@pytest.mark.parametrize(
    ("name", "outside", "height", "step"),
    [("600x400", (594, 396), 280, 265), ("400x300", (396, 297), 280, 265),
     ("600x400", (594, 396), 147.5, 132.5), ("400x300", (396, 297), 147.5, 132.5)],
)  # fmt: skip
def test_euro_box_outside_sizes_and_steps(name: str, outside: tuple[float, float], height: float, step: float) -> None:
    """Small load carriers: nominal 600x400 is 594x396 outside, steps 15 mm less than the height (Wikipedia, Euro container)."""
    entry = f"bins/euro-{name}x{int(height)}"

    assert (_mm(entry, "length"), _mm(entry, "width")) == outside
    assert (_mm(entry, "height"), _mm(entry, "stack_step")) == (height, step)


@pytest.mark.parametrize(("entry", "count", "height"), [("euro-600x400x280", 4, 1075), ("euro-600x400x147", 6, 810)])
def test_height_of_a_stack(entry: str, count: int, height: float, tmp_path: Path) -> None:
    """Four boxes 280 high with a step of 265 stand 1075 high, not 1120; six of 147.5 stand 810 (same source)."""
    stacked = {"c": {"rear": "0", "left": "wall", "grid": ["1", "1", str(count)]}}
    plan = plan_of(tmp_path, things={"c": {"use": f"bins/{entry}", "count": str(count)}}, arrangement=stacked)

    assert max(p.box.z1 for p in plan.layout.placed["drive"]) == pytest.approx(height)
    assert not plan.fails


def test_four_boxes_cover_a_pallet(tmp_path: Path) -> None:
    """Four 600x400 boxes stand on 1200 x 800, the pallet of ISO 3394, without overlap: two along, two across."""
    stood = {"c": {"front": "0", "centre": "0", "grid": ["2", "2", "1"]}}
    plan = plan_of(tmp_path, things={"c": {"use": "bins/euro-600x400x280", "count": "4"}}, arrangement=stood)
    boxes = [p.box.bounds for p in plan.layout.placed["drive"]]

    assert max(b[2] for b in boxes) - min(b[0] for b in boxes) <= 1200
    assert max(b[3] for b in boxes) - min(b[1] for b in boxes) <= 800
    assert not plan.fails


@pytest.mark.parametrize(
    ("name", "width", "length"),
    [("us-twin", "38 in", "75 in"), ("us-twin-xl", "38 in", "80 in"), ("us-full", "54 in", "75 in"),
     ("us-queen", "60 in", "80 in"), ("uk-single", "90 cm", "190 cm"), ("uk-double", "135 cm", "190 cm"),
     ("eu-90", "90 cm", "200 cm"), ("eu-140", "140 cm", "200 cm")],
)  # fmt: skip
def test_mattress_trade_sizes(name: str, width: str, length: str) -> None:
    """Trade sizes of mattresses as sellers' tables print them: US in inches, UK and European in centimetres."""
    assert _mm(f"mattresses/{name}", "width") == float(parse_length(width))
    assert _mm(f"mattresses/{name}", "length") == float(parse_length(length))


def test_full_mattress_in_millimetres() -> None:
    """54 x 75 in is 1371.6 x 1905 mm (exact inch, NIST SP 811 B.6)."""
    assert (_mm("mattresses/us-full", "width"), _mm("mattresses/us-full", "length")) == (1371.6, 1905)


@pytest.mark.parametrize(("rim", "tyre", "diameter"), [(622, 25, 672), (622, 57, 736), (559, 50, 659), (507, 47, 601)])
def test_wheel_diameters(rim: float, tyre: float, diameter: float) -> None:
    """Outside diameter is bead seat + 2 x section, marked as in ISO 5775: 57-622 gives 736 (±3 mm)."""
    from layout.things.bicycle import Bicycle

    bike = Bicycle(
        kind="bicycle", rim=rim, tyre=tyre, wheelbase=1000.0, bar_width=600.0, bar_height=1000.0, saddle_height=900.0
    )

    assert bike.wheel == pytest.approx(diameter, abs=3)


def test_handlebar_and_length_envelope() -> None:
    """Catalogue bicycles lie within published envelopes: length 1.5 to 2.0 m, bars 400 to 800 wide (MnDOT manual ch. 3; ISO 5775)."""
    for name in Catalogue(None).names():
        if name.startswith("bicycles/") and "child" not in name:
            length = _mm(name, "wheelbase") + _mm(name, "rim") + 2 * _mm(name, "tyre")
            assert 1500 <= length <= 2000, name
            assert 400 <= _mm(name, "bar_width") <= 800, name


# ANSUR II, men (Natick/TR-15/007): stature 50th and 95th percentile, bideltoid breadth 95th, sitting height 50th; mm.
STATURE_50, STATURE_95, BIDELTOID_95, SITTING_50 = 1755, 1870, 567, 918


def test_bed_rule_for_a_tall_man(tmp_path: Path) -> None:
    """A man of the 95th percentile (1870, ANSUR II) lies about 15 mm longer: 1885 must be covered by the wanted length."""
    mattress = {"kind": "mattress", "length": "1900", "width": "700", "thickness": "100", "sleeps": ["A"]}
    plan = plan_of(
        tmp_path,
        people={"A": {"stature": str(STATURE_95)}},
        things={"m": mattress},
        arrangement={"m": {"at": ["100", "0", "300"]}},
    )
    [finding] = [f for f in plan.findings if f.rule == "bed-size"]

    assert finding.wanted is not None
    assert finding.wanted >= STATURE_95 + 15
    assert finding.severity == "fail"


def test_bed_width_covers_shoulders() -> None:
    """Each sleeper's width is at least the 95th percentile bideltoid breadth, 567 mm (ANSUR II, men)."""
    assert read_rules()["bed-size"]["each"] >= BIDELTOID_95


def test_sitting_share_is_ansurs() -> None:
    """The share of stature that sitting takes agrees with ANSUR II medians, 918 / 1755, within 0.005."""
    assert read_rules()["headroom"]["sitting_share"] == pytest.approx(SITTING_50 / STATURE_50, abs=0.005)
