"""The bin rack is sized from its bins."""

import pytest

from layout.checks.context import shared_box
from layout.errors import ValueFaultError
from layout.model.panel import Sheet
from layout.model.thing import Thing
from layout.things.base import Shop
from layout.things.bin import Bin
from layout.things.bin_rack import BinRack


def _rack(thickness: float = 12.0, takes: str = "crate") -> Thing:
    crate = Bin(kind="bin", length=600.0, width=400.0, height=300.0)
    shop = Shop(sheets={"ply": Sheet(material="ply", thickness=thickness, density_kg_m3=700)}, specs={"crate": crate})
    return BinRack(kind="bin rack", takes=takes, columns=2, rows=3, sheet="ply").make("rack", "rack", shop)


def test_outside_by_hand() -> None:
    """Two columns of 400 + 2 x 5 with three walls of 12, three rows of 300 + 30 with four boards of 12, 600 + 10 + 12 deep."""
    rack = _rack()

    assert rack.box.bounds == pytest.approx((0, -(2 * 410 + 3 * 12) / 2, 622, (2 * 410 + 3 * 12) / 2))
    assert rack.box.z1 == pytest.approx(3 * 330 + 4 * 12)


@pytest.mark.parametrize("thickness", [9.2, 12.0, 17.7])
def test_every_bin_has_its_gaps_whatever_the_sheet(thickness: float) -> None:
    """In each of the six places a bin touches no panel, and the opening round it is 5 at each side and 30 above."""
    rack = _rack(thickness)

    assert len(rack.slots) == 6
    crate = Bin(kind="bin", length=600.0, width=400.0, height=300.0).make("c", "c", Shop(sheets={}, specs={}))
    for slot in rack.slots:
        body = crate.solids[0].moved(*slot)
        assert not any(shared_box(body, panel) for panel in rack.solids)
        wider = body.moved(0, 4.9, 29.9)
        assert not any(shared_box(wider, panel) for panel in rack.solids)
        assert any(shared_box(body.moved(0, 5.1, 1), panel) for panel in rack.solids)
        assert any(shared_box(body.moved(0, 0, 30.1), panel) for panel in rack.solids)


def test_panels_do_not_overlap() -> None:
    """No two panels of the rack take the same room."""
    panels = _rack().panels

    assert [
        (a.name, b.name) for i, a in enumerate(panels) for b in panels[i + 1 :] if shared_box(a.solid, b.solid)
    ] == []


def test_refuses_to_take_what_is_no_bin() -> None:
    """A rack for a thing that is not there is refused, naming the key."""
    with pytest.raises(ValueFaultError) as caught:
        _rack(takes="crates")

    assert caught.value.path == ("things", "rack", "takes")
