"""Bicycles as a tray sees them: their boxes, what holds them, and where each stands."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from layout.things.base import Shop, Span, need
from layout.things.bicycle import Bicycle
from layout.things.bike_row import Body, body_of, moved
from layout.things.wheel import Wheel

RULE = "bicycle-tray"


@dataclass(frozen=True, kw_only=True, slots=True)
class Holder:
    """What holds a wheel or a fork: over `x` along the bicycle, `half` its inner width to each side of the middle; mm.

    A trough has a side of the sheet beyond that; the block of a mount ends there.
    """

    does: Literal["trough", "mount"]
    x: Span
    half: float

    def outer(self, t: float) -> float:
        """Return how far it reaches to each side, made of a sheet `t` mm thick."""
        return self.half + (t if self.does == "trough" else 0.0)

    def stands(self, side: float) -> float:
        """Return how far it stands above the foot of what it holds, mm; a trough has sides `side` high."""
        return side if self.does == "trough" else 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Bike:
    """A bicycle, or a loose wheel, headed forward: boxes and holders from its rearmost edge, its middle and its foot.

    `axle` is the standard of its fork mount, nothing where it stands on its wheels.
    """

    name: str
    bodies: tuple[Body, ...]
    holders: tuple[Holder, ...]
    mass_kg: float
    axle: str = ""

    @property
    def length(self) -> float:
        """Return how long it is, mm."""
        return max(body[0][1] for body in self.bodies)

    @property
    def is_mounted(self) -> bool:
        """Return whether its fork stands in a mount."""
        return any(holder.does == "mount" for holder in self.holders)

    def turned(self) -> Bike:
        """Return it turned round, again from its rearmost edge."""
        return replace(
            self, bodies=tuple((_back(x, self.length), (-y[1], -y[0]), z) for x, y, z in self.bodies),
            holders=tuple(replace(holder, x=_back(holder.x, self.length)) for holder in self.holders),
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Berth:
    """Where a bicycle or a loose wheel stands in a tray.

    `bike` is headed as it stands, `back` if turned round; its rearmost edge is at `x`, its middle at `y`, and it stands
    `rise` above the tray's board, all mm.
    """

    bike: Bike
    back: bool
    x: float
    y: float
    rise: float

    def slot(self, level: float) -> tuple[float, float, float]:
        """Return where its own rear edge, its middle and its foot are, over a board whose top is at `level`."""
        return self.x + (self.bike.length if self.back else 0.0), self.y, level + self.rise

    @property
    def turn_deg(self) -> float:
        """Return how it is turned."""
        return 180.0 if self.back else 0.0

    def bodies(self, level: float) -> tuple[Body, ...]:
        """Return its boxes where it stands."""
        return tuple(moved(body, self.x, self.y, level + self.rise) for body in self.bike.bodies)

    def along(self, holder: Holder) -> Span:
        """Return from where to where a holder reaches along the tray."""
        return holder.x[0] + self.x, holder.x[1] + self.x

    def reach(self, t: float) -> float:
        """Return how far what holds it reaches from the middle of the tray, in a sheet `t` mm thick."""
        return abs(self.y) + max(holder.outer(t) for holder in self.bike.holders)


def bike_of(shop: Shop, group: str, name: str, key: str) -> Bike:
    """Return the bicycle of the project called `name`, as `key` of the tray called `group` says.

    Raises
    ------
    ValueFaultError
        When it is no bicycle, or no mount is so high as it needs.
    """
    spec = shop.specs.get(name)
    need(spec is not None, group, key, f"there is no thing called {name!r}")
    need(isinstance(spec, Bicycle), group, key, f"{name!r} is not a bicycle")
    assert isinstance(spec, Bicycle)  # need() has refused others
    bodies = {solid.name: body_of(solid) for solid in spec.make(name, group, shop).solids}
    holders = [_trough_of(shop, spec, bodies["rear wheel"])]
    if spec.front_wheel == "removed":
        low, high = shop.number(RULE, "mount_low"), shop.number(RULE, "mount_high")
        text = f"{name!r} has mount_height {spec.mount_height:g}; mounts are {low:g} to {high:g} high up to the axle"
        need(low <= spec.mount_height <= high, group, key, text)
        (rear, front), (_, side), _ = bodies["fork"]
        pad = shop.number(RULE, "pad")
        holders.append(Holder(does="mount", x=(rear - pad, front + pad), half=side + pad))
    return Bike(name=name, bodies=tuple(bodies.values()), holders=tuple(holders), mass_kg=spec.mass)


def _trough_of(shop: Shop, spec: Bicycle, wheel: Body) -> Holder:
    """Return the trough of its rear wheel, or of both wheels where both are on."""
    rear, reach = spec.wheel / 2, _trough(shop, spec.wheel)
    front = rear if spec.front_wheel == "removed" else rear + spec.wheelbase
    return Holder(does="trough", x=(rear - reach, front + reach), half=wheel[1][1] + shop.number(RULE, "play"))


def wheel_of(shop: Shop, group: str, name: str) -> Bike:
    """Return the loose wheel of the project called `name`.

    Raises
    ------
    ValueFaultError
        When it is no wheel, or does not stand.
    """
    spec = shop.specs.get(name)
    need(spec is not None, group, "wheels", f"there is no thing called {name!r}")
    need(isinstance(spec, Wheel), group, "wheels", f"{name!r} is not a wheel")
    assert isinstance(spec, Wheel)  # need() has refused others
    need(spec.pose == "standing", group, "wheels", f"{name!r} lies; in a trough it stands: pose: standing")
    tyre, hub = (body_of(solid) for solid in spec.make(name, group, shop).solids)
    middle, trough = tyre[0][1] / 2, _trough(shop, tyre[0][1])
    half = tyre[1][1] + shop.number(RULE, "play")
    holder = Holder(does="trough", x=(middle - trough, middle + trough), half=half)
    return Bike(name=name, bodies=(tyre, hub), holders=(holder,), mass_kg=spec.mass)


def _trough(shop: Shop, wheel: float) -> float:
    """Return how far a trough reaches to each side of where the wheel touches it, no further than the wheel."""
    return min(shop.number(RULE, "trough"), wheel) / 2


def _back(span: Span, length: float) -> Span:
    return length - span[1], length - span[0]
