"""A loose wheel takes the room of its tyre and of its hub."""

from math import cos, hypot, pi

import pytest

from layout.checks.context import meets
from layout.model.thing import Thing
from layout.things.base import Shop
from layout.things.bicycle import Bicycle
from layout.things.wheel import Wheel, wheel_diameter
from tests.builders import cube, project_text, read


def _wheel(pose: str = "standing", axle: float = 100.0, rim: float = 622.0, tyre: float = 57.0) -> Thing:
    wheel = Wheel(kind="wheel", rim=rim, tyre=tyre, axle=axle, pose=pose)  # type: ignore[arg-type]  # one of the two
    return wheel.make("wheel", "wheel", Shop(sheets={}, specs={}))


@pytest.mark.parametrize(
    ("tyre", "rim", "diameter"), [(25, 622, 672), (57, 622, 736), (50, 559, 659), (47, 507, 601), (47, 406, 500)]
)
def test_diameter_by_its_mark(tyre: float, rim: float, diameter: float) -> None:
    """Tyres marked 25-622, 57-622, 50-559, 47-507, 47-406 (ISO 5775) are rim + 2 x tyre across, as a bicycle's are."""
    bike = Bicycle(
        kind="bicycle", rim=rim, tyre=tyre, wheelbase=1000.0, bar_width=600.0, bar_height=1000.0, saddle_height=900.0
    )

    assert wheel_diameter(rim, tyre) == diameter == bike.wheel


def test_standing() -> None:
    """Standing, a wheel of 736 is as long as high, and as wide as its hub of 110."""
    box = _wheel(axle=110.0).box

    assert (box.bounds, box.z0, box.z1) == (pytest.approx((0, -55, 736, 55)), 0, pytest.approx(736))


def test_beside_the_rim_is_room() -> None:
    """Beside a tyre of 57 a thing may be 29 from the middle, though the hub is 50 from it; at the hub it may not."""
    wheel = _wheel()

    assert not meets(wheel.solids, [cube(0, 29, 0, 200)])
    assert meets(wheel.solids, [cube(300, 29, 300, 200)])


def test_lying() -> None:
    """Lying, a wheel is as high as its hub is wide, or as its tyre if that is wider; nothing of its circle is left out."""
    thin, fat = _wheel("lying"), _wheel("lying", tyre=120.0)
    [slab] = thin.solids
    away = [hypot(x - 368, y) for x, y in slab.outline]

    assert (slab.z0, slab.z1, fat.box.z1) == (0, 100, 120)
    assert slab.bounds == pytest.approx((0, -368, 736, 368))
    # The flats of the outline touch the circle: corners are as far out as those of a polygon drawn round it.
    assert away == pytest.approx([368 / cos(pi / len(away))] * len(away))


def test_in_a_project() -> None:
    """A wheel of the catalogue is read with its mass, is dirty unless told otherwise, and comes out only if it is said."""
    things = {"w": {"use": "wheels/front-29"}, "clean": {"use": "wheels/front-29", "dirt": "clean", "take_out": "up"}}
    [one, clean] = read(project_text(things=things)).things

    assert (one.kind, one.mass_kg, one.dirt, one.take_out) == ("wheel", 2.2, "dirty", None)
    assert (clean.dirt, clean.take_out) == ("clean", "up")
    assert one.box.bounds[2] == pytest.approx(736)
