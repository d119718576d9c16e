"""A bicycle is not a box."""

import pytest

from layout.model.thing import Thing
from layout.things.base import Shop
from layout.things.bicycle import Bicycle


def _bicycle(front_wheel: str = "fitted") -> Thing:
    bike = Bicycle(kind="bicycle", rim=622.0, tyre=57.0, wheelbase=1200.0, bar_width=760.0, bar_height=1080.0,
                   saddle_height=980.0, front_wheel=front_wheel)  # type: ignore[arg-type]  # fmt: skip
    return bike.make("bike", "bike", Shop(sheets={}, specs={}))


def test_length_is_wheelbase_and_a_wheel() -> None:
    """With both wheels on, a bicycle is its wheelbase and one wheel's diameter long: 1200 + 736."""
    assert _bicycle().box.bounds[2] == pytest.approx(1200 + 736)


def test_front_wheel_off_shortens_and_lowers() -> None:
    """On a mount at 110 the bars come down by 368 - 110 and the length shrinks by most of a wheel's radius."""
    on, off = _bicycle(), _bicycle("removed")
    bars = {name: next(s for s in t.solids if s.name == "bars").z1 for name, t in (("on", on), ("off", off))}

    assert bars["on"] - bars["off"] == pytest.approx(368 - 110)
    assert off.box.bounds[2] == pytest.approx(1200 + 368 + 40)


def test_the_room_beside_the_frame_is_free() -> None:
    """Beside the frame, above the pedals, another thing may stand where a box round the bicycle would forbid it."""
    from layout.checks.context import meets
    from tests.builders import cube

    bike = _bicycle()

    assert not meets(bike.solids, [cube(500, 100, 500, 300)])
    assert bike.box.bounds[3] > 300
