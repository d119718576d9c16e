"""Trays for bicycles: how near they stand, held against their own solids; panels, slides and refusals."""

from __future__ import annotations

import random
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from layout.building.rebuild import faults
from layout.checks.context import meets
from layout.errors import ValueFaultError
from layout.jobs.load import Plan, load
from layout.model.building import Bar
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.placing.place import place
from layout.placing.position import Position
from layout.things.base import Shop, Spec
from layout.things.bicycle import Bicycle
from layout.things.bike_row import Row, body_of, from_below
from layout.things.bike_tray import BikeTray
from layout.things.wheel import Wheel
from tests.builders import plain_space
from tests.things.built import DENSITY, bought, misnamed, openings, outer, shop, sizes, union, volume

PROJECT = Path(__file__).parent / "bike-tray.yaml"
BIKE = {"rim": 622.0, "tyre": 57.0, "wheelbase": 1200.0, "bar_width": 760.0, "bar_height": 1080.0,
        "saddle_height": 980.0, "mass": 14.0}  # fmt: skip
BARS = {"lath": Bar(material="lath", section=(18.0, 44.0), density_kg_m3=480.0)}


def _bike(**more: Any) -> Bicycle:
    return Bicycle(kind="bicycle", **{**BIKE, "front_wheel": "removed", **more})


def _wheel(**more: Any) -> Wheel:
    return Wheel(kind="wheel", **{"rim": 622.0, "tyre": 57.0, "axle": 110.0, **more})


def _shop(specs: dict[str, Spec] | None = None, t: float = 18.0) -> Shop:
    known: dict[str, Spec] = {"bike": _bike(), "whole": _bike(front_wheel="fitted"), "wheel": _wheel(), **(specs or {})}
    return replace(shop(known, ply=t), bars=BARS)


def _tray(specs: dict[str, Spec] | None = None, t: float = 18.0, **more: Any) -> Thing:
    said = {"takes": "bike", "sheet": "ply", "axle": "qr", **more}
    return BikeTray(kind="bicycle tray", **said).make("t", "t", _shop(specs, t))


def _stood(tray: Thing, names: list[str], specs: dict[str, Spec] | None = None) -> list[tuple[Solid, ...]]:
    """Return the solids of things in the first places of a tray, turned and shifted without the placing's own code."""
    made = [_shop(specs).specs[name].make(name, name, _shop(specs)) for name in names]
    return [
        tuple(solid.turned(turn).moved(*slot) for solid in thing.solids)
        for thing, slot, turn in zip(made, tray.slots, tray.slot_turns, strict=False)
    ]


def _apart(tray: Thing) -> float:
    return round(tray.slots[1][1] - tray.slots[0][1], 6)


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Return the orienteers' van."""
    return load(str(PROJECT))


def test_the_project_has_no_failing_finding(plan: Plan) -> None:
    """Bicycles and wheels stand free of each other, come out, and slide out through the rear door on their tray."""
    assert [f.text for f in plan.findings if f.severity == "fail"] == []
    assert faults(next(thing for thing in plan.layout.things if thing.group == "tray")) == ()


def test_every_panel_by_hand(plan: Plan) -> None:
    """Two bicycles 1608 long in sheet 17.7, in lips of it, on slides 76.2 high.

    A wheel is 622 + 2 × 57 = 736, the front axle 368 + 1200 = 1568 from the rear edge; the fork reaches from 60 behind
    it to 40 before, 150 wide, its block 20 further on each side: 140 × 190. Head to tail a block is at both ends, 20
    beyond the 1608 of the bicycles: 1648 between the lips, 1683.4 with them. Bars pass a frame: 380 + 60 + 5 = 445
    apart. A loose wheel, its tyre 57 wide, stands 215 + 5 + 28.5 beside the middle of one, at 222.5 + 248.5 = 471; its
    trough ends at 471 + 28.5 + 5 + 17.7 = 522.2, the lip at 539.9: the tray is 1079.8 wide.
    """
    tray = next(thing for thing in plan.layout.things if thing.group == "tray")

    assert _apart(tray) == 445
    assert sizes(tray, "tray board") == [(1683.4, 1079.8)]
    assert sizes(tray, "side lip") == [(1683.4, 40)] * 2
    # Between them: 1079.8 - 2 × 17.7.
    assert sizes(tray, "end lip") == [(1044.4, 40)] * 2
    assert sizes(tray, "mount block") == [(190, 140)] * 2
    # Beside a rear wheel, which stands as high as the block of its fork: 17.7 + 40; beside a loose wheel 40.
    assert sizes(tray, "trough side") == [(300, 57.7)] * 4 + [(300, 40)] * 4
    # A wheel counts as 70 wide at least, and has 5 on each side.
    assert sizes(tray, "trough floor") == [(300, 80)] * 2
    # Under the board 76.2 + 2 × 5, of which bearers leave 5 free below and rails above; one more in the middle, since
    # 1079.8 - 4 × 17.7 - 2 × 19.3 = 970.4 is more than 600. Bearers end at the stop.
    assert sizes(tray, "bearer") == [(1665.7, 81.2)] * 3
    assert sizes(tray, "rail") == [(1683.4, 81.2)] * 2
    assert sizes(tray, "stop") == [(1044.4, 81.2)]
    # Six boxes a bicycle, two a wheel, and for each slide 1524 × 19.3 × 76.2.
    assert openings(tray)[-2:] == [(1524, 19.3, 76.2)] * 2


def test_what_is_bought(plan: Plan) -> None:
    """A mount, two bolts and a strap a bicycle, a strap a wheel, slides in a pair, and a latch."""
    tray = next(thing for thing in plan.layout.things if thing.group == "tray")

    # Rails 1683.4 long: (1683.4 - 80) / 600 is under three fields: four fastenings each.
    assert bought(tray) == {
        "fork-mount-15x110": 2, "bolt-m6x30": 4, "tee-nut-m6": 4, "strap-ratchet": 4, "insert-m8-body": 8,
        "bolt-m8x40": 8, "slides-heavy-pair": 1, "latch-toggle": 1,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("less", "overlaps"), [(0.0, []), (4.0, []), (10.0, [("bike 1", "bike 2"), ("bike 2", "tray")])]
)
def test_as_near_as_they_go(tmp_path: Path, less: float, overlaps: list[tuple[str, str]]) -> None:
    """At the places of the tray nothing overlaps; 10 nearer the two bicycles do, by the rules: their gap is 5.

    So is the gap in its trough. The place of the second bicycle: 20 + 37.7 from the rear, 222.5 left of the middle, on
    a block 17.7 thick on a board whose top is at 86.2 + 17.7.
    """
    text = PROJECT.read_text(encoding="utf-8")
    second = f"bike 1: {{into: tray}}\n  bike 2: {{at: [57.7, {222.5 - less}, 121.6], turn: 180}}"
    path = tmp_path / "nearer.yaml"
    path.write_text(text.replace("bike: {into: tray}", second), encoding="utf-8")

    assert [f.things for f in load(str(path)).findings if f.rule == "overlap"] == overlaps


def test_the_spacings_of_the_trade() -> None:
    """With bars 760 wide: 450 head to tail, 780 side by side without a stagger; the boxes say 440 and 760, and a gap."""
    assert _apart(_tray(gap=10.0)) == 450
    assert _apart(_tray(gap=20.0, heading="forward")) == 780
    assert (_apart(_tray(gap=0.0)), _apart(_tray(gap=0.0, heading="forward"))) == (440, 760)


@pytest.mark.parametrize(("stagger", "by"), [("length", 200), ("height", 150)])
def test_the_stagger_of_the_trade(stagger: str, by: float) -> None:
    """450 apart and all forward: bars 200 deep and 150 high pass each other by so much further on, or higher."""
    tray = _tray(heading="forward", spacing=450.0, stagger=stagger, gap=0.0)

    first, second = tray.slots
    assert (second[0] - first[0], second[2] - first[2]) == pytest.approx((by, 0) if stagger == "length" else (0, by))
    assert faults(tray) == ()
    assert not meets(*_stood(tray, ["bike", "bike"]))


def _random_bike(dice: random.Random) -> Bicycle:
    return _bike(
        rim=dice.choice([406.0, 559.0, 622.0]), tyre=dice.uniform(23, 60), wheelbase=dice.uniform(900, 1250),
        bar_width=dice.uniform(400, 820), bar_height=dice.uniform(900, 1150), saddle_height=dice.uniform(800, 1050),
        pedal_width=dice.uniform(360, 450), mount_height=dice.uniform(90, 130),
        front_wheel=dice.choice(["fitted", "removed"]), bars=dice.choice(["straight", "straight", "turned"]),
        pedals=dice.choice(["fitted", "removed"]), saddle=dice.choice(["up", "dropped"]),
    )  # fmt: skip


def _random(seed: int) -> tuple[dict[str, Spec], dict[str, Any]]:
    dice = random.Random(seed)
    specs: dict[str, Spec] = {"bike": _random_bike(dice), "other": _random_bike(dice)}
    count = dice.randint(1, 4)
    names = ["bike"] * (count - 1) + [dice.choice(["bike", "other"])] if count > 1 else ["bike"]
    also = ("other",) if names[-1] == "other" else ()
    off = [name for name in names if getattr(specs[name], "front_wheel", "") == "removed"]
    said = {
        "bicycles": count, "also": also, "axles": ("12x100",) * len(off), "axle": None, "bar": dice.choice([None, None, "lath"]),
        "heading": dice.choice(["to and fro", "to and fro", "forward"]), "gap": dice.choice([None, 0.0, 12.0]),
        "wheels": "wheel" if off and dice.random() < 0.5 else None, "names": names,
        "slides": dice.choice(["no", "rear", "front"]) if count < 3 else "no",
    }  # fmt: skip
    return specs, said


@pytest.mark.parametrize("seed", range(60))
def test_any_bicycles_go_in(seed: int) -> None:
    """They stand free of each other, of loose wheels and of the tray, which goes together, whatever their sizes."""
    specs, said = _random(seed)
    names = said.pop("names")
    thing = _tray(specs, t=[11.6, 12.0, 14.9, 17.7, 18.0][seed % 5], **said)
    loose = ["wheel"] * (len(thing.slots) - len(names))
    stood = _stood(thing, [*names, *loose], specs)

    assert faults(thing) == ()
    assert misnamed(thing) == []
    assert len(thing.slots) == len(thing.slot_turns) == len(stood)
    assert not any(meets(a, b) for a, b in combinations([*stood, thing.solids], 2))
    # Every bicycle stands on a piece of the tray.
    assert all(any(piece.z1 == pytest.approx(s.z0) for piece in thing.solids) for [s, *_] in stood)
    # Only butt joints: nothing is in anything else.
    assert volume(thing) == pytest.approx(union(thing), rel=1e-9)
    mass = sum(p.area * p.sheet.thickness * DENSITY for p in thing.panels) + sum(
        b.length * 18 * 44 * 480 for b in thing.battens
    )
    assert thing.mass_kg == pytest.approx(mass * 1e-9)


def _row(seed: int) -> Row:
    """Return two or three bicycles, headed to and fro or all forward, with what holds them."""
    dice = random.Random(seed)
    bikes = [_random_bike(dice) for _ in range(dice.randint(1, 2))]
    back = dice.choice([True, False])
    bodies, holders = [], []
    for i in range(dice.randint(2, 3)):
        solids = bikes[i % len(bikes)].make("b", "b", _shop()).solids
        long = max(s.bounds[2] for s in solids)
        turned = [s.turned(180).moved(long, 0, 0) for s in solids] if back and i % 2 else list(solids)
        bodies.append(tuple(body_of(solid) for solid in turned))
        half, at = dice.uniform(40, 90), dice.uniform(0, long - 300)
        holders.append((from_below((at, at + 300), (-half, half), dice.uniform(20, 80)),))
    return Row(bodies=tuple(bodies), holders=tuple(holders), gap=0.0)


def _clash(row: Row, spacing: float, along: float, up: float) -> bool:
    """Return whether any two of a row meet, box by box; only holders of different bicycles that touch do not."""
    stood = []
    for i, (bodies, holders) in enumerate(zip(row.bodies, row.holders, strict=True)):
        shift = (along * (i % 2), spacing * i, up * (i % 2))
        deep = [((x[0], x[1]), y, (-5000.0, z[1])) for x, y, z in holders]
        stood.append([box("", x, y, z).moved(*shift) for x, y, z in (*bodies, *deep)])
    return any(meets(a, b) for a, b in combinations(stood, 2))


@pytest.mark.parametrize("seed", range(40))
def test_no_nearer_and_no_less_stagger(seed: int) -> None:
    """A millimetre less of spacing or of stagger and bicycles meet: tried out box by box, millimetre by millimetre."""
    row, dice = _row(seed), random.Random(seed)
    nearest = row.spacing(0.0, 0.0)
    assert not _clash(row, nearest, 0.0, 0.0)
    assert _clash(row, nearest - 1, 0.0, 0.0)

    nearer = nearest - dice.uniform(1, 150)
    along, up = row.along(nearer), row.up(nearer, 0.0)
    shifts = [shift for mm in range(2200) for shift in (mm, -mm)]
    tried = next((shift for shift in shifts if not _clash(row, nearer, shift, 0.0)), None)
    raised = next((mm for mm in range(1500) if not _clash(row, nearer, 0.0, mm)), None)
    for found, least in ((along, tried), (up, raised)):
        assert (found is None) == (least is None)
        if found is not None and least is not None:
            assert abs(found) - 0.01 <= abs(least) < abs(found) + 1


@pytest.mark.parametrize("seed", range(20))
def test_a_stagger_makes_them_nearer_or_is_none(seed: int) -> None:
    """With a given stagger the spacing is again the least at which none meet."""
    row, dice = _row(seed), random.Random(seed)
    along, up = dice.uniform(-300, 300), dice.uniform(0, 300)
    nearest = row.spacing(along, up)

    assert not _clash(row, nearest, along, up)
    assert _clash(row, nearest - 1, along, up)


@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0])
def test_every_other_one_is_turned_round_in_its_place(turn: float) -> None:
    """Placed into the tray, the second bicycle heads the other way, however the tray itself is turned."""
    tray, bike = _tray(), _bike()
    bikes = tuple(replace(bike.make(f"bike {i}", "bike", _shop())) for i in (1, 2))
    arrangement = {"t": Position(at=(100.0, 0.0, 0.0), turn=turn), "bike": Position(into="t")}

    placed = place(plain_space(4000, 4000), (tray, *bikes), arrangement, ("drive",)).placed["drive"]
    first, second = placed[1:]
    assert (first.turn_deg - turn, second.turn_deg - turn) == (0, 180)
    # From the rear wheel to the fork: along the tray, and back along it.
    way = [
        round(b - a) for a, b in zip(_middle(first.solids, "rear wheel"), _middle(first.solids, "fork"), strict=True)
    ]
    back = [
        round(b - a) for a, b in zip(_middle(second.solids, "rear wheel"), _middle(second.solids, "fork"), strict=True)
    ]
    assert way == {0.0: [1190, 0], 90.0: [0, 1190], 180.0: [-1190, 0]}[turn]
    assert back == [-mm for mm in way]
    assert not any(meets(a.solids, b.solids) for a, b in combinations(placed, 2))


def _middle(solids: tuple[Solid, ...], name: str) -> tuple[float, float]:
    x0, y0, x1, y1 = next(s.bounds for s in solids if s.name == name)
    return (x0 + x1) / 2, (y0 + y1) / 2


@pytest.mark.parametrize(("nominal", "real"), [(18.0, 17.7), (12.0, 11.6)])
@pytest.mark.parametrize("slides", ["no", "rear"])
def test_a_thinner_sheet_keeps_size_spacing_and_slides(nominal: float, real: float, slides: str) -> None:
    """Length, width, spacing, and the room of bicycles and slides stay; the board alone gets thinner."""
    said = {"length": 1720.0, "width": 1100.0, "wheels": "wheel", "slides": slides}
    thick, less = _tray(t=nominal, **said), _tray(t=real, **said)

    assert faults(less) == ()
    assert outer(less)[:2] == outer(thick)[:2] == (0, -550)
    assert outer(less)[3:5] == outer(thick)[3:5] == (1720, 550)
    assert openings(less) == openings(thick)
    assert _apart(less) == _apart(thick)
    # On the board and a block of the same sheet.
    assert thick.slots[0][2] - less.slots[0][2] == pytest.approx(2 * (nominal - real))


def test_four_abreast_lie_on_two_boards() -> None:
    """Three times 445 and twice 230 make 1795, wider than a sheet: two boards of 897.5 meet under a strip."""
    tray = _tray(bicycles=4)

    assert [width for _, width in sizes(tray, "tray board")] == [897.5, 897.5]
    # Between the lips: 1648 + 2 × 18 long, less 2 × 18.
    assert sizes(tray, "joint strip") == [(1648, 100)]
    assert faults(tray) == ()


def test_on_two_wheels_each_stands_in_one_long_trough() -> None:
    """Wheels on, a trough reaches from 150 behind the rear contact to 150 before the front one, 1200 further on."""
    tray = _tray(takes="whole", axle=None)

    assert sizes(tray, "trough side") == [(1500, 40)] * 4
    assert sizes(tray, "mount block") == sizes(tray, "trough floor") == []
    assert bought(tray)["strap-ratchet"] == 4
    assert faults(tray) == ()


def test_a_raised_one_stands_on_strips() -> None:
    """Raised by 150: its block lies on two strips 150 high, its wheel's trough is 150 higher."""
    tray = _tray(heading="forward", stagger="height", by=150.0)

    assert sizes(tray, "block cheek") == [(150, 140)] * 2
    assert sizes(tray, "trough side") == [(300, 58)] * 2 + [(300, 208)] * 2
    assert faults(tray) == ()


def test_lips_of_a_bar() -> None:
    """Lips of a bar 18 × 44 stand 44 high, two over all the length and two between them."""
    tray = _tray(bar="lath")

    assert sorted((b.name, round(b.length, 3)) for b in tray.battens) == [
        ("end lip", 869), ("end lip", 869), ("side lip", 1684), ("side lip", 1684),
    ]  # fmt: skip
    assert faults(tray) == ()


def test_different_bicycles_side_by_side() -> None:
    """One of her own and one of his, each on its own mount: the wider bars give the spacing."""
    specs: dict[str, Spec] = {"hers": _bike(bar_width=600.0), "his": _bike(bar_width=800.0)}
    tray = _tray(specs, takes="hers", also=("his",), axle=None, axles=("12x100", "15x110"))

    # His bars pass her frame: 400 + 60 + 5.
    assert _apart(tray) == 465
    assert (bought(tray)["fork-mount-12x100"], bought(tray)["fork-mount-15x110"]) == (1, 1)


def test_it_slides_out_with_its_bicycles(tmp_path: Path) -> None:
    """Through a rear door 1050 high no saddle goes that stands 121.6 + 980 high; without bicycles the tray does."""
    low = PROJECT.read_text(encoding="utf-8").replace("height: 1650", "height: 1050")
    found = {}
    for name, text in (
        ("full", low),
        ("empty", low.replace("bike: {into: tray}", "bike: {outside: [camp, sleep], into: tray}")),
    ):
        path = tmp_path / f"{name}.yaml"
        path.write_text(text, encoding="utf-8")
        found[name] = [f.things[0] for f in load(str(path)).findings if f.rule == "sweep"]

    assert found == {"full": ["tray"], "empty": []}


def test_it_comes_out_as_far_as_told() -> None:
    """A tray at the front, 600 out, sweeps 600 before its face, from below its bearers to its highest piece."""
    [motion] = _tray(slides="front", out=600.0, person=500.0).motions

    [swept] = motion.swept
    assert swept.bounds == pytest.approx((1684, -452.5, 2284, 452.5))
    # On 86.2, board and block 18 each, and the side of a trough 40.
    assert (swept.z0, swept.z1) == (5, pytest.approx(162.2))
    assert motion.carries
    assert motion.person is not None
    assert motion.person.bounds[0] == pytest.approx(2284)


def test_one_in_a_mount_and_one_on_its_wheels() -> None:
    """Only the one whose wheel is off has a mount; the other stands lower, on the board."""
    tray = _tray(also=("whole",))

    assert bought(tray)["fork-mount-qr"] == 1
    assert tray.slots[0][2] - tray.slots[1][2] == 18
    assert faults(tray) == ()
    assert not meets(*_stood(tray, ["bike", "whole"]))


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("takes", {"takes": "nobody"}, "no thing called 'nobody'"), ("takes", {"takes": "wheel"}, "not a bicycle"),
        ("axle", {"axle": None}, "add axle: qr"), ("axle", {"takes": "whole"}, "stand on both wheels"),
        ("also", {"also": ("bike", "bike")}, "names 2 of 2"),
        ("axles", {"axle": None, "axles": ("qr",)}, "1 given, 2 bicycles"),
        ("axles", {"axles": ("qr", "qr")}, "keep one of the two"),
        ("also", {"also": ("nobody",)}, "no thing called"),
        ("spacing", {"spacing": 430.0, "by": 0.0}, "at least 445"),
        ("spacing", {"bicycles": 3, "spacing": 200.0}, "no stagger in length frees bicycles 200 apart"),
        ("length", {"spacing": 110.0}, "more than boards of 2440 x 1220"),
        ("by", {"stagger": "height", "by": 20.0}, "at least 30"),
        ("length", {"length": 1600.0}, "at least 1684"), ("width", {"width": 600.0}, "at least 671"),
        ("width", {"takes": "whole", "axle": None, "width": 2700.0}, "more than boards of 2440 x 1220"),
        ("wheels", {"takes": "whole", "axle": None, "wheels": "wheel"}, "none is off"),
        ("wheels", {"wheels": "bike"}, "not a wheel"), ("wheels", {"wheels": "nobody"}, "no thing called"),
        ("lip", {"lip": 150.0, "width": 780.0}, "meets bike by its side lip"),
        ("lip", {"lip": 50.0, "bar": "lath"}, "as high as that"),
        ("slide", {"slides": "rear", "slide": 1700.0}, "at most 1666"),
        ("slide", {"slides": "rear", "slide": 1200.0}, "at least 1263"),
        ("slide", {"slides": "rear", "length": 2100.0}, "of 1524 at most on sale"),
        ("out", {"slides": "rear", "slide": 1400.0, "out": 1500.0}, "more than slides 1400 long come out"),
        ("slides", {"takes": "heavy", "bicycles": 4, "slides": "rear"}, "rated for 225"),
        ("takes", {"takes": "low"}, "mounts are 90 to 130 high"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, Any], words: str) -> None:
    """Bicycles in each other, a tray too small, slides that do not suit it: refused, naming the key and what goes."""
    specs: dict[str, Spec] = {"heavy": _bike(mass=60.0), "low": _bike(mount_height=60.0)}
    with pytest.raises(ValueFaultError) as caught:
        _tray(specs, **more)

    assert caught.value.path == ("things", "t", key)
    assert words in caught.value.text


def test_a_lying_wheel_needs_another_place() -> None:
    """A wheel that lies does not go into a trough."""
    with pytest.raises(ValueFaultError) as caught:
        _tray({"flat": _wheel(pose="lying")}, wheels="flat")

    assert caught.value.path == ("things", "t", "wheels")
