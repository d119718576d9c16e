"""Boards on bins: their sizes by hand arithmetic, how they rest on each other's battens, and how they come off."""

from pathlib import Path

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import load
from layout.model.thing import Thing
from layout.things.bed_boards import BedBoards
from tests.things.beds import bought, filled_mm3, screws, shop, sizes, union_mm3, weighed_kg

HERE = Path(__file__).parent


def _made(thickness: float = 12.0, **more: object) -> Thing:
    said = {"length": 1800.0, "width": 1200.0, "support": 400.0, **more}
    return BedBoards(kind="bed boards", sheet="ply", **said).make("boards", "boards", shop(thickness))  # type: ignore[arg-type]


def test_boards_by_hand() -> None:
    """1800 x 1200 in 12 mm has 18.1 kg, so two boards of 9.1; strips 70 wide under them, 400 apart at most."""
    bed = _made()

    # Board: 900 x 1200 x 12 x 700 = 9.07 kg. Battens from middle 35 to 900: 865 / 400 = 2.2, so three steps; as many on.
    assert sizes(bed) == {
        ("bed board", 1200, 900): 2, ("end batten", 1200, 70): 2, ("joint batten 1", 1200, 70): 1,
        ("inner batten", 1200, 70): 4,
    }  # fmt: skip
    starts = sorted(s.bounds[0] for s in bed.solids if "batten" in s.name)
    first = 865 / 3
    assert starts == pytest.approx([0, first, 2 * first, 865, 865 + first, 865 + 2 * first, 1730])
    assert (bed.box.bounds, bed.box.z0, bed.box.z1) == ((0, -600, 1800, 600), 0, 24)
    assert faults(bed) == ()


def test_project_by_hand() -> None:
    """The boards of the project file lie on nine bins 320 high: laths 18 x 44 under 12 mm; all comes off for any bin."""
    plan = load(str(HERE / "bed-boards.yaml"))
    boards = next(t for t in plan.layout.things if t.kind == "bed boards")

    # 1820 x 1210 x 12 x 695 is 18.4 kg: two boards of 910. Battens: (910 - 22) / 400 = 2.2, three steps, twice: seven.
    assert sizes(boards) == {("bed board", 1210, 910): 2}
    assert [(b.role, b.length) for b in boards.battens] == [("batten", 1210)] * 7
    placed = next(p for p in plan.layout.placed["sleep"] if p.name == "boards")
    assert (placed.box.z0, placed.box.z1) == (320, 320 + 18 + 12)
    assert not plan.fails
    assert faults(boards) == ()


def test_one_batten_carries_both_boards_at_a_joint() -> None:
    """At the joint each board has 35 of the batten; the rear one is screwed to it, the front one only lies there."""
    bed = _made()
    rear, front = (p for p in bed.panels if p.name == "bed board")
    joint = next(s for s in bed.solids if s.name == "joint batten 1")

    assert (joint.bounds[0], joint.bounds[2]) == (865, 935)
    assert rear.solid.bounds[2] == front.solid.bounds[0] == 900
    assert [j.kind for j in rear.joints if j.to == "joint batten 1"] == ["butt"]
    assert [j.kind for j in front.joints if j.to == "joint batten 1"] == ["loose"]
    # Screws: 1200 long, ceil(1120 / 150) + 1 = 9 along each of seven battens, none twice.
    assert screws(bed) == 7 * 9


def test_boards_come_off() -> None:
    """Each board goes straight up by its two slots; two straps hold all of it down on the road."""
    bed = _made()

    assert [(m.kind, m.swept[0].bounds) for m in bed.motions] == [
        ("lift off", (0, -600, 900, 600)), ("lift off", (900, -600, 1800, 600))
    ]  # fmt: skip
    assert [len(p.holes) for p in bed.panels if p.name == "bed board"] == [2, 2]
    assert (bed.take_out, bought(bed, "strap-ratchet")) == ("up", 2)


@pytest.mark.parametrize("bar", [None, "thin"])
def test_holes_miss_the_battens(bar: str | None) -> None:
    """Slots and holes for air lie over the air between two battens, each within its board."""
    bed = _made(bar=bar, vents="yes", support=500.0)
    under = shapely.union_all([shapely.Polygon(s.outline) for s in bed.solids if "batten" in s.name])

    for board in (p for p in bed.panels if p.name == "bed board"):
        x, y, _ = board.at
        for hole in board.holes:
            ring = shapely.Polygon([(x + v, y + u) for u, v in hole])
            assert not ring.intersects(under)
            assert shapely.Polygon(board.solid.outline).contains(ring)
        assert len(board.holes) > 6
    assert faults(bed) == ()


@settings(max_examples=80, deadline=None, derandomize=True)
@given(
    thickness=st.floats(9, 19), length=st.floats(1200, 2100), width=st.floats(500, 1400), support=st.floats(350, 600),
    bar=st.sampled_from([None, "thin", "beam"]), vents=st.sampled_from(["yes", "no"]),
)  # fmt: skip
def test_any_size_keeps_its_promise(thickness: float, **said: object) -> None:
    """Whatever the sizes, the pieces meet and none reaches into another, boards are light, and the mass is right."""
    bed = _made(thickness, **said)

    assert faults(bed) == ()
    assert union_mm3(bed.solids) == pytest.approx(filled_mm3(bed), rel=1e-9)
    assert bed.mass_kg == pytest.approx(weighed_kg(bed), rel=1e-9)
    assert all(
        p.mass_kg <= 12 and p.width <= 1200 + 1e-6 for p in bed.panels if p.name == "bed board" and p.along == "y"
    )


@pytest.mark.parametrize(
    ("key", "more", "words"),
    [
        ("support", {"support": 60.0}, "no room between battens 70 wide"),
        ("strip", {"bar": "thin", "strip": 50.0}, "the battens are of thin"),
        ("heaviest_board", {"heaviest_board": 1.0}, "takes 19 boards, too short for battens 70 wide"),
        ("hand_slots", {"support": 150.0}, "write hand_slots: no"),
        ("vents", {"support": 150.0, "hand_slots": "no", "vents": "yes"}, "bring support: up"), ("sheet", {"sheet": "oak"}, "no sheet"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, more: dict[str, object], words: str) -> None:
    """Sizes that leave no room, and what the workshop lacks, are refused, naming what to write."""
    said = {"length": 1800.0, "width": 1200.0, "sheet": "ply", **more}
    with pytest.raises(ValueFaultError) as caught:
        BedBoards(kind="bed boards", **said).make("boards", "boards", shop(12.0))  # type: ignore[arg-type]

    assert caught.value.path == ("things", "boards", key)
    assert words in caught.value.text
