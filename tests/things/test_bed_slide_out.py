"""The bed that slides out: its pieces by hand arithmetic, its comb of slats, its legs, shut and out."""

from dataclasses import replace
from itertools import pairwise
from math import hypot
from pathlib import Path

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from layout.building.rebuild import faults
from layout.checks.context import meets
from layout.errors import ValueFaultError
from layout.jobs.load import load
from layout.model.solid import Solid
from layout.model.thing import Thing
from layout.things.slide_out_bed import SlideOutBed
from tests.builders import project_text, read
from tests.things.beds import bought, filled_mm3, screws, shop, sizes, union_mm3, weighed_kg

HERE = Path(__file__).parent
WAYS = {"left": (0, 1), "right": (0, -1), "front": (1, 0), "rear": (-1, 0)}


def _made(thickness: float = 15.0, **more: object) -> Thing:
    said = {"length": 1900.0, "closed": 700.0, "opened": 1200.0, "deck": 450.0, "support": 950.0, **more}
    return SlideOutBed(kind="slide-out bed", sheet="ply", **said).make("couch", "couch", shop(thickness))  # type: ignore[arg-type]


def _named(thing: Thing, name: str) -> list[Solid]:
    return [solid for solid in thing.solids if solid.name == name]


def test_panels_by_hand() -> None:
    """A bed 1900 long, 700 shut and 1200 out, its top at 450, in 15 mm with strips 60 wide as slats."""
    bed = _made()

    # Top of the rails: 450 - 15 = 435; rails 100 high, their foot at 335. From the front inward: front rail 15, legs 15,
    # 3 of play, base rail 15, so its inner face is at 700 - 48 = 652: ends from 15 to 667 deep, notched for it.
    # Walls: (1900 - 15) / 950 = 1.98, so two bays, one divider; the tail rail 40 high passes 3 above it: 435 - 43 = 392.
    # Slats: (1900 - 60) / (2 x 63) = 14.6, so 14 slide between 15. Base slats reach to the base rail's face, 667.
    # Legs: bolt at 435 - 50, and half of 60 above it: 415; (1900 - 60) / 950 = 1.94, so three.
    # The tail rail is between the ends with 3 of play: 1900 - 2 x 18.
    assert sizes(bed) == {
        ("back", 1900, 435): 1, ("base rail", 1900, 100): 1, ("front rail", 1900, 100): 1, ("tail rail", 1864, 40): 1,
        ("end", 652, 435): 2, ("divider", 652, 392): 1, ("leg", 415, 60): 3, ("base slat", 667, 60): 15,
        ("sliding slat", 700, 60): 14,
    }  # fmt: skip
    [end, _] = [p for p in bed.panels if p.name == "end"]
    assert end.area == 652 * 435 - 15 * 100
    assert faults(bed) == ()


def test_project_by_hand() -> None:
    """The couch of the project file, by its numbers: sheet 14.9, laths 18 x 44, 700 shut and 1240 out."""
    plan = load(str(HERE / "slide-out-bed.yaml"))
    couch = plan.layout.things[0]

    # Rails' top 450 - 18 = 432, foot 332; base rail's face 700 - 2 x 14.9 - 3 = 667.2; walls 14.9 to 667.2 deep.
    # Laths: (1900 - 44) / (2 x 47) = 19.7: 19 slide between 20; bolt at 382, legs 382 + 30 long.
    assert sizes(couch) == {
        ("back", 1900, 432): 1, ("base rail", 1900, 100): 1, ("front rail", 1900, 100): 1, ("end", 652.3, 432): 2,
        ("tail rail", round(1900 - 2 * 17.9, 3), 40): 1, ("divider", 652.3, 432 - 43): 1, ("leg", 412, 60): 3,
    }  # fmt: skip
    laths = [(b.name, round(b.length, 3)) for b in couch.battens]
    assert sorted(laths) == [("base slat", 667.2)] * 20 + [("sliding slat", 700)] * 19
    sheet = 1900 * 432 + 2 * 1900 * 100 + (1900 - 35.8) * 40 + 3 * 412 * 60
    sheet += 2 * (652.3 * 432 - 14.9 * 100) + (
        652.3 * 389 - 14.9 * 57
    )  # the divider's notch begins at 332, ends at 389
    assert couch.mass_kg == pytest.approx(
        sheet * 14.9 * 690e-9 + (20 * 667.2 + 19 * 700) * 18 * 44 * 480e-9
    )  # fmt: skip
    night = couch.forms["out"]
    assert night.mass_kg == pytest.approx(couch.mass_kg)
    assert night.box.bounds == pytest.approx((0, -350, 1900, 890))
    assert plan.layout.placed["sleep"][0].thing is night


@pytest.mark.parametrize("out", sorted(WAYS))
@pytest.mark.parametrize("slat", [None, "thin"])
def test_it_slides_to_any_side(out: str, slat: str | None) -> None:
    """Whichever side it slides to, it is as large; what slides is 500 further out when it is out, all else stays."""
    more: dict[str, object] = {"out": out, "slat": slat}
    shut, wide = _made(**more), _made(**more, open="yes")
    dx, dy = WAYS[out]

    x0, y0, x1, y1 = shut.box.bounds
    assert sorted((x1 - x0, y1 - y0)) == [700, 1900]
    assert wide.box.bounds == (
        x0 + min(500 * dx, 0),
        y0 + min(500 * dy, 0),
        x1 + max(500 * dx, 0),
        y1 + max(500 * dy, 0),
    )
    for name in ("front rail", "tail rail", "sliding slat"):
        assert [s.moved(500 * dx, 500 * dy, 0) for s in _named(shut, name)] == _named(wide, name)
    for name in ("back", "base rail", "end", "divider", "base slat"):
        assert _named(shut, name) == _named(wide, name)
    assert faults(shut) == faults(wide) == ()


def test_the_comb_passes_at_every_place() -> None:
    """On its way out what slides meets nothing of the base, every 25 mm; a little too far it runs into the base rail."""
    bed, base = _made(), ("back", "base rail", "end", "divider", "base slat")
    fixed = [s for s in bed.solids if s.name in base]
    comb = [s for s in bed.solids if s.name not in base]

    for out in range(0, 501, 25):
        assert not meets([s.moved(0, out, 0) for s in comb], fixed)
    # Its tail rail is stopped by the base rail: nothing else is in the way.
    beyond = [s.moved(0, 502, 0) for s in comb]
    assert {s.name for s in beyond if meets([s], fixed)} == {"tail rail"}
    assert {s.name for s in fixed if meets([s], beyond)} == {"base rail"}


def test_gaps_between_the_slats() -> None:
    """28 gaps of (1900 - 29 x 60) / 28 = 5.7, no less than 3, and 71.4, no more than 80, where every other is away."""
    bed, wide = _made(), _made(open="yes")
    shut = sorted(s.bounds[::2] for s in bed.solids if s.name.endswith("slat"))
    base = sorted(s.bounds[::2] for s in _named(wide, "base slat"))

    assert [b[0] - a[1] for a, b in pairwise(shut)] == pytest.approx([160 / 28] * 28)
    assert [b[0] - a[1] for a, b in pairwise(base)] == pytest.approx([60 + 320 / 28] * 14)


def test_legs_fold_behind_their_rail() -> None:
    """Out, each leg stands from the floor to 415; shut, it lies level about its bolt; on the way it stays below the slats."""
    shut, wide = _made(), _made(open="yes")
    lying, standing = _named(shut, "leg"), _named(wide, "leg")

    assert {(s.z0, s.z1) for s in standing} == {(0, 415)}
    # The bolt is at 435 - 50 = 385, half the leg's width from its end.
    assert {(s.z0, s.z1) for s in lying} == {(355, 415)}
    assert not any(meets([a], [b]) for i, a in enumerate(lying) for b in lying[i + 1 :])
    bolts = [(s.bounds[0] + 30, 385) for s in standing]
    for (x, z), leg in zip(bolts, lying, strict=True):
        assert min(abs(leg.bounds[0] + 30 - x), abs(leg.bounds[2] - 30 - x)) == pytest.approx(0)
        # Corners near the bolt turn on a circle of √2 x 30 = 42.4, so up to 427.4, under 435.
        assert z + hypot(30, 30) < 435
    assert all(s.bounds[0] >= 0 and s.bounds[2] <= 1900 for s in lying)


def test_what_stays_free() -> None:
    """Both bays of the base are free up to the rails, 335, from the back's face to the base rail's: a crate goes in below."""
    bed = _made()
    assert bed.promise is not None

    # Walls 0 to 15, 942.5 to 957.5, 1885 to 1900.
    assert [(o.bounds, o.z0, o.z1) for o in bed.promise.openings] == [
        ((15, -335, 942.5, 317), 0, 335), ((957.5, -335, 1885, 317), 0, 335)
    ]  # fmt: skip


def test_how_it_moves() -> None:
    """Shut, a drawer 500 out to its side, from under its rails up, in the states that are said; out, nothing moves."""
    bed = _made(slides_in=("sleep",), person=600.0)
    [motion] = bed.motions

    assert (motion.kind, motion.face, motion.states) == ("drawer", "left", ("sleep",))
    [swept] = motion.swept
    assert (swept.bounds, swept.z0, swept.z1) == ((0, 350, 1900, 850), 335, 450)
    assert motion.person is not None
    assert motion.person.bounds == (0, 850, 1900, 1450)
    assert _made(open="yes").motions == ()


def test_hardware_by_hand() -> None:
    """Two latches for the road, a bolt and a foot for each of three legs; the back held to the body at most 500 apart."""
    bed = _made()

    assert {i: bought(bed, i) for i in ("latch-toggle", "bolt-m6x50", "tee-nut-m6", "foot-rubber", "insert-m8-body")} == {
        "latch-toggle": 2, "bolt-m6x50": 3, "tee-nut-m6": 3, "foot-rubber": 3, "insert-m8-body": 5,
    }  # fmt: skip
    # One screw where a slat 60 wide crosses a rail (less than 2 x 40): 15 on two rails of the base, 14 on two of the comb.
    # Walls: at the back 435 high ceil(355 / 150) + 1 = 4 for both ends, 392 high ceil(312 / 150) + 1 = 4 for the divider;
    # at the base rail, over the height of the notch: 100 in the ends, 57 of divider: 2 and 1.
    assert screws(bed) == 30 + 28 + 3 * 4 + 2 * 2 + 1


@pytest.mark.parametrize(("real", "nominal"), [(17.7, 18.0), (11.6, 12.0)])
def test_a_thinner_sheet_keeps_outside_and_openings(real: float, nominal: float) -> None:
    """In sheet as it really is, it still keeps what it promised in sheet as it is named."""
    said, made = _made(nominal), _made(real)

    assert faults(replace(made, promise=said.promise)) == ()


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    thickness=st.floats(9, 19), length=st.floats(1200, 2100), closed=st.floats(450, 900), share=st.floats(0.05, 1),
    deck=st.floats(260, 600), rail=st.floats(90, 140), support=st.floats(500, 1000), out=st.sampled_from(sorted(WAYS)),
    slat=st.sampled_from([None, "thin"]), opened=st.sampled_from(["yes", "no"]),
)  # fmt: skip
def test_any_size_keeps_its_promise(share: float, thickness: float, opened: str, **said: object) -> None:
    """Whatever the sizes, the pieces meet and none reaches into another, shut or out, and the mass is right."""
    closed = float(said["closed"])  # type: ignore[arg-type]
    widest = closed + (closed - 3 * thickness - 3) - 100
    try:
        bed = _made(thickness, **said, opened=closed + share * (widest - closed), open=opened)
    except ValueFaultError as refused:
        assume(refused.path[-1] not in ("support", "slat_width"))  # legs that do not fold, gaps that are too wide
        raise

    assert faults(bed) == ()
    assert union_mm3(bed.solids) == pytest.approx(filled_mm3(bed), rel=1e-9)
    assert bed.mass_kg == pytest.approx(weighed_kg(bed), rel=1e-9)


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("opened", {"opened": 700.0}, "no wider than it is shut, 700"),
        # 700 + 652 - 100: so much stays behind the base rail's inner face.
        ("opened", {"opened": 1253.0}, "at most 1252.0"), ("rail", {"rail": 58.0}, "more than 58"),
        ("deck", {"deck": 140.0}, "too low for rails of 100"), ("slat_width", {"slat_width": 77.5}, "at most 80"), ("slat", {"slat": "lath"}, "gaps of 82.5"),
        ("slat_width", {"slat_width": 12.0}, "narrower than the sheet"), ("slat_width", {"slat_width": 950.0}, "no place"),
        ("slat_width", {"slat": "lath", "slat_width": 60.0}, "the slats are of lath"),
        ("leg", {"leg": 71.0}, "at most 70.7"), ("support", {"support": 20.0}, "no bay"),
        ("support", {"support": 500.0}, "do not fold beside each other"), ("support", {"deck": 1000.0}, "or a lower deck"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_slide_or_fold(key: str, more: dict[str, object], words: str) -> None:
    """What slides too far, what does not fold, gaps that are too wide are refused, naming the key and what to write."""
    with pytest.raises(ValueFaultError) as caught:
        _made(**more)

    assert caught.value.path == ("things", "couch", key)
    assert words in caught.value.text


def test_read_from_a_file() -> None:
    """A project says it in a few lines, and its shape when it is out in one."""
    couch = {
        "kind": "slide-out bed",
        "length": "1800",
        "closed": "650",
        "opened": "1150",
        "deck": "420",
        "sheet": "ply",
    }
    sheet = {"length": "2440", "width": "1220", "thickness": "15", "density": "700"}
    text = project_text(
        things={"couch": couch}, forms={"couch": {"out": {"open": "yes"}}}, workshop={"sheets": {"ply": sheet}}
    )
    [thing] = read(text).things

    assert thing.box.bounds == pytest.approx((0, -325, 1800, 325))
    assert thing.forms["out"].box.bounds == pytest.approx((0, -325, 1800, 825))
