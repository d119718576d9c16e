"""Bed platforms on wall rails and on legs: their pieces by hand arithmetic, and what stays free under them."""

from itertools import pairwise
from pathlib import Path

import pytest

from layout.building.rebuild import faults
from layout.errors import ValueFaultError
from layout.jobs.load import load
from layout.model.solid import box
from layout.model.thing import Thing
from layout.things.bed_platform import BedPlatform
from tests.things.beds import bought, needed, shop, sizes

HERE = Path(__file__).parent


def _made(on: str, thickness: float = 15.0, **more: object) -> Thing:
    said = {"length": 1900.0, "width": 1400.0, "deck": 700.0, "support": 500.0, "heaviest_panel": 30.0, **more}
    bed = BedPlatform(kind="bed platform", sheet="ply", on=on, **said)  # type: ignore[arg-type]
    return bed.make("bed", "bed", shop(thickness))


def test_wall_rails_by_hand() -> None:
    """Hung between walls 1400 apart in 15 mm: rails 80 + 40 of ledger high, cross rails between them on the ledgers."""
    bed = _made("wall rails")

    # 700 - 15 of deck = 685 is the top of all that carries it; the rails' foot is 685 - 80 - 40 = 565.
    assert {k: n for k, n in sizes(bed).items() if k[0] != "deck panel"} == {
        ("left wall rail", 1900, 120): 1, ("right wall rail", 1900, 120): 1, ("left ledger", 1900, 40): 1,
        ("right ledger", 1900, 40): 1, ("cross rail", 1400 - 2 * 15, 80): 5,
    }  # fmt: skip
    assert (bed.box.z0, bed.box.z1, bed.box.bounds) == (565, 700, (0, -700, 1900, 700))
    assert faults(bed) == ()


def test_wall_rails_of_bars_by_hand() -> None:
    """The climbers' bed of the project file: bars 44 x 44 between the rails, laths 18 x 44 along it, ends of sheet."""
    plan = load(str(HERE / "bed-platform-wall-rails.yaml"))
    bed = plan.layout.things[0]

    # Sheet 14.9: (1900 - 14.9) / 480 = 3.93, so 4 fields: two ends of sheet and three bars, 1660 - 2 x 14.9 long.
    bars = sorted((b.name, round(b.length, 3)) for b in bed.battens)
    # Laths 44 wide, gaps of at most 40: (1660 + 40) / (44 + 40) = 20.2, so 21 of them, as long as the bed.
    assert bars == [("cross rail", 1630.2)] * 3 + [("slat", 1900)] * 21
    assert sizes(bed) == {
        ("left wall rail", 1900, 44 + 50): 1, ("right wall rail", 1900, 44 + 50): 1, ("left ledger", 1900, 50): 1,
        ("right ledger", 1900, 50): 1, ("end rail", 1630.2, 44): 2,
    }  # fmt: skip
    # kg: 690 kg/m³ of sheet, 480 of timber; sheet: 4 strips along (94 and 50 high), 2 ends; bars: 3 x 44 x 44, 21 x 18 x 44.
    sheet = (2 * 1900 * (94 + 50) + 2 * 1630.2 * 44) * 14.9 * 690e-9
    timber = (3 * 1630.2 * 44 * 44 + 21 * 1900 * 18 * 44) * 480e-9
    assert bed.mass_kg == pytest.approx(sheet + timber)
    gaps = [b.solid.bounds[1] - a.solid.bounds[3] for a, b in pairwise(bed.battens[3:])]
    assert gaps == pytest.approx([(1660 - 21 * 44) / 20] * 20)
    assert max(gaps) <= 40


def test_wall_rails_leave_the_hold_free() -> None:
    """No post stands in the hold: between the ledgers nothing is lower than the cross rails, between the walls nothing at all."""
    bed = _made("wall rails")
    assert bed.promise is not None
    hold, under = bed.promise.openings

    # Rail and ledger are 2 x 15 thick at each side; cross rails end 80 below 685, ledgers 40 lower.
    assert (hold.bounds, hold.z0, hold.z1) == ((0, -670, 1900, 670), 0, 605)
    assert (under.bounds, under.z0, under.z1) == ((0, -700, 1900, 700), 0, 565)
    assert not any(s.z0 < 565 for s in bed.solids)


def test_wall_rails_hang_on_the_ribs() -> None:
    """Each rail is fastened to the body at most 500 apart, 40 from its ends: 1820 takes four steps, five points."""
    assert bought(_made("wall rails"), "insert-m8-body") == bought(_made("wall rails"), "bolt-m8x40") == 2 * 5
    assert bought(_made("wall rails", length=2200.0), "insert-m8-body") == 2 * 6


def test_every_end_of_a_cross_member_has_blocks() -> None:
    """Cross rails 80 high are held by two blocks at each end, bars 44 high by one; ledgers carry them."""
    assert needed(_made("wall rails"))["corner-block"] == 5 * 2 * 2
    assert needed(_made("wall rails", bar="beam"))["corner-block"] == 5 * 2 * 1


def test_legs_of_sheet_by_hand() -> None:
    """On legs in 15 mm: at each of five stations a strip 80 wide up to the deck and one under rail and ledger, both sides."""
    bed = _made("legs")

    # The rails stand 15 in from the sides, so cross rails are 1400 - 2 x 15 - 2 x 15 long; legs end at 685 and 565.
    assert {k: n for k, n in sizes(bed).items() if k[0] != "deck panel"} == {
        ("left side rail", 1900, 120): 1, ("right side rail", 1900, 120): 1, ("left ledger", 1900, 40): 1,
        ("right ledger", 1900, 40): 1, ("cross rail", 1340, 80): 5, ("left leg flange", 685, 80): 5,
        ("right leg flange", 685, 80): 5, ("left leg web", 565, 80): 5, ("right leg web", 565, 80): 5,
    }  # fmt: skip
    assert faults(bed) == ()
    assert (bought(bed, "foot-rubber"), bought(bed, "insert-m8-body")) == (10, 4)


def test_legs_of_bars_by_hand() -> None:
    """Legs of bars 44 x 44 reach up to the deck, the rails inside of them, bolted: two inserts in each leg."""
    bed = _made("legs", bar="beam")
    legs = [b for b in bed.battens if b.name.endswith("leg")]

    assert {(b.length, b.solid.z0, b.solid.z1) for b in legs} == {(685, 0, 685)}
    assert len(legs) == 10
    # 1400 - 2 x 44 of legs - 2 x 15 of rails.
    assert {round(b.length, 3) for b in bed.battens if b.name == "cross rail"} == {1282}
    assert (
        needed(bed)["insert-m6"] == 10 * 2 + 2 * 2
    )  # each leg meets a rail 44 + 40 high; two deck panels are held down by two
    assert faults(bed) == ()


@pytest.mark.parametrize("bar", [None, "beam"])
def test_legs_are_no_further_apart_than_said(bar: str | None) -> None:
    """Whatever the length, two legs beside each other stand at most `support` apart, and the outer ones at the ends."""
    for length in (1200.0, 1515.0, 1900.0, 2300.0):
        bed = _made("legs", bar=bar, length=length, support=450.0, overhang=30.0)
        name = "left leg" if bar else "left leg flange"
        starts = sorted(s.bounds[0] for s in bed.solids if s.name == name)
        ends = sorted(s.bounds[2] for s in bed.solids if s.name == name)

        assert all(b - a <= 450 + 1e-6 for a, b in pairwise(starts))
        assert (starts[0], ends[-1]) == pytest.approx((30, length - 30))


def test_a_crate_passes_between_the_legs() -> None:
    """Between two legs 80 wide a crate 375 long slides through from side to side; one of 376 meets a leg."""
    bed = _made("legs")
    # Legs begin at 0, 455, 910, 1365 and 1820: (1900 - 80) / 4 apart, so 375 are free between them.
    free, tight = (box("crate", (80.0, 80.0 + w), (-700.0, 700.0), (0.0, 500.0)) for w in (375.0, 376.0))

    def meets(crate: object) -> bool:
        x0, y0, x1, y1 = crate.bounds  # type: ignore[attr-defined]  # a solid
        return any(
            s.bounds[0] < x1 and s.bounds[2] > x0 and s.bounds[1] < y1 and s.bounds[3] > y0 and s.z0 < 500
            for s in bed.solids
        )

    assert not meets(free)
    assert meets(tight)


@pytest.mark.parametrize(
    ("key", "on", "more", "words"),
    [
        ("width", "wall rails", {"width": 80.0}, "leaves no hold"),
        ("deck", "wall rails", {"deck": 130.0}, "members of 80 on ledgers of 40: more than 135"),
        ("deck", "legs", {"deck": 150.0}, "more than 165"), ("leg", "legs", {"leg": 30.0}, "more than 30"),
        ("support", "legs", {"support": 80.0}, "no room between legs 80 wide"),
        ("leg", "legs", {"leg": 70.0, "bar": "beam"}, "the legs are of beam"),
        ("slat_width", "wall rails", {"top": "slats", "slat_width": 15.0}, "wider than 15"),
        ("slat_width", "legs", {"top": "slats", "slat_width": 50.0, "bar": "beam"}, "wider than 59"),
        ("slat_gap", "wall rails", {"top": "slats", "slat_gap": 1.0}, "20 slats 70 wide do not go into 1400"),
        ("slat_gap", "wall rails", {"top": "slats", "slat_gap": 0.0, "width": 1390.0}, "allow gaps of 3.3"),
        ("slat_width", "legs", {"top": "slats", "slat": "lath", "slat_width": 60.0}, "the slats are of lath"),
    ],
)  # fmt: skip
def test_refuses_what_cannot_be_built(key: str, on: str, more: dict[str, object], words: str) -> None:
    """Sizes that leave no room, and keys that contradict each other, are refused with what to write."""
    with pytest.raises(ValueFaultError) as caught:
        _made(on, **more)

    assert caught.value.path == ("things", "bed", key)
    assert words in caught.value.text


def test_refuses_a_bar_that_is_not_there() -> None:
    """A bar that the workshop lacks is refused with those that it has."""
    with pytest.raises(ValueFaultError, match="no bar 'oak'; its bars: beam, lath, thin"):
        _made("legs", bar="oak")
