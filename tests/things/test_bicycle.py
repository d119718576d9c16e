"""A bicycle is not a box."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layout.errors import ValueFaultError
from layout.model.solid import Solid
from layout.model.thing import Thing
from layout.things.base import Shop
from layout.things.bicycle import Bicycle, wheel_off

SHOP = Shop(sheets={}, specs={})


def _bicycle(**more: object) -> Thing:
    said = {
        "kind": "bicycle", "rim": 622.0, "tyre": 57.0, "wheelbase": 1200.0, "bar_width": 760.0, "bar_height": 1080.0,
        "saddle_height": 980.0,
    }  # fmt: skip
    bike = Bicycle(**{**said, **more})  # type: ignore[arg-type]  # fields by name, as a file says them
    return bike.make("bike", "bike", SHOP)


def _part(thing: Thing, name: str) -> Solid:
    return next(solid for solid in thing.solids if solid.name == name)


def test_length_is_wheelbase_and_a_wheel() -> None:
    """With both wheels on, a bicycle is its wheelbase and one wheel's diameter long: 1200 + 736."""
    assert _bicycle().box.bounds[2] == pytest.approx(1200 + 736)


def test_front_wheel_off_shortens_and_lowers() -> None:
    """On a mount at 110 the bars come down by 368 - 110 and the length shrinks by most of a wheel's radius."""
    on, off = _bicycle(), _bicycle(front_wheel="removed")

    assert _part(on, "bars").z1 - _part(off, "bars").z1 == pytest.approx(368 - 110)
    assert off.box.bounds[2] == pytest.approx(1200 + 368 + 40)


def test_the_room_beside_the_frame_is_free() -> None:
    """Beside the frame, above the pedals, another thing may stand where a box round the bicycle would forbid it."""
    from layout.checks.context import meets
    from tests.builders import cube

    bike = _bicycle()

    assert not meets(bike.solids, [cube(500, 100, 500, 300)])
    assert bike.box.bounds[3] > 300


@pytest.mark.parametrize(
    ("bars", "pedals", "width"),
    [("straight", "fitted", 760), ("turned", "fitted", 430), ("straight", "removed", 760), ("turned", "removed", 200)],
)
def test_width_by_bars_and_pedals(bars: str, pedals: str, width: float) -> None:
    """A bicycle is as wide as its bars of 760; with those turned as its pedals, 430; with those off as its cranks, 200."""
    _, y0, _, y1 = _bicycle(bars=bars, pedals=pedals).box.bounds

    assert y1 - y0 == pytest.approx(width)
    assert (y0 + y1) / 2 == pytest.approx(0)


def test_turned_bars_lie_along_the_frame() -> None:
    """Turned about the steerer, 260 behind the front axle, bars of 760 reach from 640 to 120 ahead of that axle."""
    bars = _part(_bicycle(bars="turned"), "bars")
    axle = 368 + 1200

    assert bars.bounds == pytest.approx((axle - 260 - 380, -100, axle - 260 + 380, 100))
    assert (bars.z0, bars.z1) == pytest.approx((930, 1080))


def test_turned_bars_reach_beyond_a_bare_fork() -> None:
    """With the wheel off, the fork ends 40 ahead of its axle and turned bars 120 ahead: 80 more length."""
    lengths = [_bicycle(front_wheel="removed", bars=bars).box.bounds[2] for bars in ("straight", "turned")]

    assert lengths == pytest.approx([1608, 1688])


@pytest.mark.parametrize(
    ("saddle", "more", "top"), [("up", {}, 980), ("dropped", {}, 830), ("dropped", {"saddle_drop": 200.0}, 780)]
)
def test_a_dropped_saddle(saddle: str, more: dict[str, float], top: float) -> None:
    """A saddle at 980 comes down by 150, or by as much as its post says; it is 90 high wherever it is."""
    part = _part(_bicycle(saddle=saddle, **more), "saddle")

    assert (part.z0, part.z1) == pytest.approx((top - 90, top))


def test_a_dropped_saddle_lowers_the_whole_when_the_bars_are_down() -> None:
    """On a mount the bars end at 1080 - 258 = 822; the saddle at 980 is highest, at 830 it is hardly, and height follows."""
    up, down = (_bicycle(front_wheel="removed", saddle=saddle) for saddle in ("up", "dropped"))

    assert (up.box.z1, down.box.z1) == pytest.approx((980, 830))


def test_what_cannot_be_is_refused() -> None:
    """A saddle dropped below 300 is a wrong figure, as bars are."""
    with pytest.raises(ValueFaultError, match="the saddle would stand below 300 mm"):
        _bicycle(saddle="dropped", saddle_drop=700.0)
    with pytest.raises(ValueFaultError, match="the bars would stand below 300 mm"):
        _bicycle(front_wheel="removed", bar_height=500.0)


@given(
    bar=st.floats(300, 900), pedal=st.floats(200, 500), tyre=st.floats(18, 120),
    wheel=st.sampled_from(["fitted", "removed"]),
)  # fmt: skip
def test_stowing_never_widens_or_raises(bar: float, pedal: float, tyre: float, wheel: str) -> None:
    """Whatever the bicycle, turned bars, pedals off and a dropped saddle make no solid wider across, none higher."""
    whole = _bicycle(bar_width=bar, pedal_width=pedal, tyre=tyre, front_wheel=wheel)
    stowed = _bicycle(
        bar_width=bar,
        pedal_width=pedal,
        tyre=tyre,
        front_wheel=wheel,
        bars="turned",
        pedals="removed",
        saddle="dropped",
    )

    assert stowed.box.bounds[3] <= whole.box.bounds[3] + 1e-9
    assert stowed.box.z1 <= whole.box.z1 + 1e-9
    assert [s.name for s in stowed.solids] == [s.name for s in whole.solids]


def test_which_wheel_is_off() -> None:
    """A bicycle without its front wheel wants one of 622 + 2 x 57 = 736; with it, or for another thing, none."""
    assert wheel_off(_bicycle(front_wheel="removed")) == pytest.approx(736)
    assert wheel_off(_bicycle()) is None
    assert wheel_off(Thing(name="a", group="a", kind="box", solids=_bicycle().solids)) is None


def test_a_bicycle_is_dirty_unless_told() -> None:
    """What was on the road is dirty; a clean one can be said to be."""

    def dirt(**more: object) -> str:
        spec = Bicycle(kind="bicycle", rim=622.0, tyre=42.0, wheelbase=1120.0, bar_width=610.0, bar_height=1100.0,
                       saddle_height=980.0, **more)  # type: ignore[arg-type]  # as above  # fmt: skip
        return spec.described(spec.make("bike", "bike", SHOP), ("things", "bike")).dirt

    assert (dirt(), dirt(dirt="clean")) == ("dirty", "clean")
