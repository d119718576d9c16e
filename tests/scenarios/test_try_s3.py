"""Five lidded bins as one block in the luthier's compact van, and a narrow mattress on it, wherever that is.

The van is 1830 long and at the height of a bin at most 2 x 770 wide. Bins are 600 x 360 x 380: in a row of five
5 x 360 + 4 x 3 = 1812 long, which goes in along, 18 spare, and not across; in any other turn 5 x 600 = 3000.

An expert says: one row along one side, the mattress on it, and beside it room for the coolbox at a door. So says the
program. Bins of 365, as in the van that was built, are too many for one row: 5 x 365 + 4 x 3 = 1837 of 1830. Without the
gaps they are 1825 as drawn, which an expert would not trust, since each comes out up to 2 larger, 1835: nor does the
program.
"""

from __future__ import annotations

import pytest

from layout.arrange.find import Arrangement
from layout.arrange.shortfall import shortfalls
from layout.arrange.units_of import split
from tests.scenarios.tried import asked, searched, stood

BLOCK = "try-s3-block.yaml"
BINS = tuple(f"bins {i}" for i in range(1, 6))


def _one() -> Arrangement:
    [one] = searched(BLOCK)[0].arrangements
    return one


def test_the_block_is_one_row_along() -> None:
    """Protects the bed: five bins one behind the other, each turned across, 1812 long and 600 wide, on the floor."""
    one = _one()
    boxes = [stood(one, name).box for name in BINS]

    assert max(b.bounds[2] for b in boxes) - min(b.bounds[0] for b in boxes) == pytest.approx(1812)
    assert {round(b.bounds[3] - b.bounds[1]) for b in boxes} == {600}
    assert {(b.z0, b.z1) for b in boxes} == {(0, 380)}
    assert one.said.positions["bins"].grid in {(5, 1, 1), (1, 5, 1)}


@pytest.mark.parametrize("state", ["drive", "camp", "sleep"])
def test_the_mattress_lies_on_the_block(state: str) -> None:
    """Protects the sleeper: 1815 x 600 on top of it, in every state, as long as he wants: 1740 + 70 = 1810."""
    one = _one()
    mattress, bins = stood(one, "mattress", state).box, [stood(one, name, state).box for name in BINS]

    assert mattress.z0 == 380
    assert mattress.bounds[1] == pytest.approx(min(b.bounds[1] for b in bins))
    assert mattress.bounds[3] == pytest.approx(max(b.bounds[3] for b in bins))
    assert mattress.bounds[0] < min(b.bounds[0] for b in bins) + 1812


def test_the_coolbox_stands_beside_and_comes_out_at_once() -> None:
    """Protects breakfast: it is wanted daily, so nothing stands between it and a door; it is 440 high, the bed 380."""
    one = _one()
    x0, y0, x1, y1 = stood(one, "coolbox").box.bounds
    block = [stood(one, name).box.bounds for name in BINS]
    things = [p.box.bounds for p in one.layout.placed["drive"] if p.name not in {"coolbox", "mattress"}]
    rear = not any(b[0] < x0 and min(b[3], y1) - max(b[1], y0) > 0 for b in things)
    side = not any(b[1] < y0 and min(b[2], x1) - max(b[0], x0) > 0 for b in things) and x0 >= 1150 and x1 <= 1930

    assert y0 >= max(b[3] for b in block) or y1 <= min(b[1] for b in block)
    assert rear or side


def test_bins_of_365_are_7_too_long_in_a_row() -> None:
    """Protects the figure: 5 x 365 + 4 x 3 - 1830 = 7; no block of five goes in, whatever else is there."""
    wider = (BLOCK, ("width: 360", "width: 365"))
    _, clash = searched(*wider)
    [unit] = [u for u in split(asked(*wider)).units if u.key == "bins"]
    short = shortfalls(asked(*wider), unit)[0]

    assert clash is not None
    assert clash.members == ("bins",)
    assert (short.axis, short.size) == ("along", 1837)
    assert short.less == pytest.approx(7, abs=0.5)


def test_bins_of_365_side_by_side_are_refused_too() -> None:
    """Protects from a drawing that nobody can build: 1825 of 1830 leave 5, and five bins come out 10 larger."""
    found, clash = searched(BLOCK, ("width: 360", "width: 365"), ("gap: 3", "gap: 0"))
    [text] = {f.text for f in found.failed if f.rule == "row-gap"}

    assert not found.arrangements
    assert clash is None
    assert "1825 mm in 1830 mm" in text
