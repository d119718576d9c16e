"""Bicycle tray: a board with a lip, and on it mounts and troughs that hold bicycles as near as their sizes let them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import floor
from typing import Annotated, Literal

from layout.model.building import Promise
from layout.model.motion import Motion
from layout.model.panel import Sheet
from layout.model.thing import Thing
from layout.things.base import Described, Shop, need
from layout.things.bed_pieces import Parts
from layout.things.bike_berths import RULE, Berth, Bike, bike_of, wheel_of
from layout.things.bike_row import Row, body_of, from_below, meet, moved
from layout.things.bike_tray_frame import Slides, TrayFrame, gathered, seams, with_wheels
from layout.things.bike_tray_pieces import pieces
from layout.things.motion import MotionSpec
from layout.units.fields import Gap, Name, Size, whole

Few = Annotated[int, whole("number of bicycles", 1, 4)]
Axle = Literal["qr", "15x110", "12x100"]


@dataclass(frozen=True, kw_only=True, slots=True)
class BikeTray(Described):
    """A tray for some `bicycles` side by side, from the right to the left: `takes` names one of the project.

    `also` names others, which are the last ones. Bicycles without their front wheel stand in fork mounts for their
    `axle`, or `axles` one for each of them; others in troughs. They head to and fro, or all forward. `spacing` is from
    middle to middle; without it they stand as near as their own sizes let them, `gap` apart. With it every other one is
    staggered `by` so much, or by the least that frees it, in length or in height. `wheels` names a loose wheel: each
    that is off gets a trough beside the bicycles. A tray on slides, `slide` long, comes `out` at its rear or its front,
    in the states `slides_in` (none: every state but ``drive``), to somebody who stands in `person` of room behind it.
    """

    kind: Literal["bicycle tray"]
    takes: Name
    sheet: Name
    bicycles: Few = 2
    also: tuple[Name, ...] = ()
    axle: Axle | None = None
    axles: tuple[Axle, ...] = ()
    heading: Literal["to and fro", "forward"] = "to and fro"
    spacing: Size | None = None
    stagger: Literal["length", "height"] = "length"
    by: Gap | None = None
    gap: Gap | None = None
    length: Size | None = None
    width: Size | None = None
    lip: Size | None = None
    bar: Name | None = None
    wheels: Name | None = None
    slides: Literal["no", "rear", "front"] = "no"
    slide: Size | None = None
    out: Size | None = None
    slides_in: tuple[Name, ...] = ()
    person: Gap = 0.0

    __pydantic_config__ = {"extra": "forbid"}  # noqa: RUF012 (a setting that the validator reads, never changed)

    def make(self, name: str, group: str, shop: Shop) -> Thing:
        """Return the tray as its pieces, with a place for each bicycle and each loose wheel.

        Raises
        ------
        ValueFaultError
            When bicycles meet, the tray is too small, its slides do not suit it, or the workshop lacks a sheet or bar.
        """
        sheet = shop.sheet(group, self.sheet)
        frame = self._frame(shop, group, sheet)
        parts = pieces(frame, shop)
        _refuse_meeting(frame, parts, group)
        tray = parts.built(name, group, self.kind, _promise(frame))
        self._refuse_load(shop, group, frame, tray)
        return replace(
            tray, slots=tuple(berth.slot(frame.level) for berth in frame.all_berths),
            slot_turns=tuple(berth.turn_deg for berth in frame.all_berths), motions=self._motions(frame, group),
        )  # fmt: skip

    def _bikes(self, shop: Shop, group: str) -> list[Bike]:
        """Return the bicycles from the right to the left, headed as they stand."""
        text = f"names {len(self.also)} of {self.bicycles} bicycles; takes: names the first at least"
        need(len(self.also) < self.bicycles, group, "also", text)
        names = [*[self.takes] * (self.bicycles - len(self.also)), *self.also]
        keys = [*["takes"] * (self.bicycles - len(self.also)), *["also"] * len(self.also)]
        found = [bike_of(shop, group, name, key) for name, key in zip(names, keys, strict=True)]
        axles = iter(self._axles(group, sum(bike.is_mounted for bike in found)))
        mounted = [replace(bike, axle=next(axles)) if bike.is_mounted else bike for bike in found]
        return [bike.turned() if self._is_back(i) else bike for i, bike in enumerate(mounted)]

    def _axles(self, group: str, count: int) -> tuple[str, ...]:
        """Return the axles of the `count` bicycles that ride without their front wheel, from the right to the left."""
        need(not (self.axle and self.axles), group, "axles", "axle: says one for all; keep one of the two")
        given = self.axles or ((self.axle,) * count if self.axle else ())
        text = "all stand on both wheels; leave it out, or write front_wheel: removed for a bicycle"
        need(count > 0 or not (self.axle or self.axles), group, "axles" if self.axles else "axle", text)
        need(bool(given) or not count, group, "axle", "a front wheel is off: add axle: qr, 15x110 or 12x100")
        text = f"{len(given)} given, {count} bicycles ride without their front wheel; one for each, or axle: for all"
        need(len(given) == count, group, "axles", text)
        return given

    def _is_back(self, i: int) -> bool:
        return self.heading == "to and fro" and i % 2 == 1

    def _gap(self, shop: Shop) -> float:
        return shop.number(RULE, "gap") if self.gap is None else self.gap

    def _frame(self, shop: Shop, group: str, sheet: Sheet) -> TrayFrame:
        bikes, bar = self._bikes(shop, group), shop.bar(group, self.bar) if self.bar else None
        need(not (bar and self.lip), group, "lip", f"the lips are of {self.bar}, as high as that")
        lip_t = min(bar.section) if bar else sheet.thickness
        lip = max(bar.section) if bar else self.lip or shop.number(RULE, "lip")
        loose = self._berths(shop, group, bikes, sheet.thickness)
        length, berths = self._along(shop, group, loose, lip_t)
        made = sheet.thickness, shop.number(RULE, "side")
        wheels = with_wheels(berths, self._wheels(shop, group, bikes), (lip_t, length - lip_t), self._gap(shop), made)
        width = self._width(shop, group, (berths, wheels), sheet, lip_t)
        return TrayFrame(
            length=length, width=width, sheet=sheet, berths=berths, wheels=wheels, lip=lip, side=made[1], bar=bar,
            strip=shop.number(RULE, "strip"), seams=_seams(shop, group, berths, (length, width), sheet),
            slides=self._slides(shop, group, length, sheet) if self.slides != "no" else None,
        )  # fmt: skip

    def _berths(self, shop: Shop, group: str, bikes: Sequence[Bike], t: float) -> list[Berth]:
        """Return where bicycles stand across the tray and in height, and along it from anywhere."""
        side = shop.number(RULE, "side")
        rises = [t if bike.is_mounted else 0.0 for bike in bikes]
        row = Row(
            bodies=tuple(
                tuple(moved(body, 0.0, 0.0, rise) for body in bike.bodies)
                for bike, rise in zip(bikes, rises, strict=True)
            ),
            holders=tuple(
                tuple(from_below(h.x, (-h.outer(t), h.outer(t)), rise + h.stands(side)) for h in bike.holders)
                for bike, rise in zip(bikes, rises, strict=True)
            ),
            gap=self._gap(shop),
        )  # fmt: skip
        spacing, along, up = self._staggered(row, group, max(shop.number(RULE, "riser"), t))
        middle = (len(bikes) - 1) / 2
        return [
            Berth(
                bike=bike, back=self._is_back(i), x=along * (i % 2), y=(i - middle) * spacing,
                rise=rises[i] + up * (i % 2),
            )
            for i, bike in enumerate(bikes)
        ]  # fmt: skip

    def _staggered(self, row: Row, group: str, least: float) -> tuple[float, float, float]:
        """Return the spacing, and the stagger in length and in height; a raised one is raised by `least` at least."""
        high, by = self.stagger == "height", self.by or 0.0
        text = f"{by:g} is less than a raised block takes; at least {least:g}, or 0"
        need(not high or by == 0 or by >= least, group, "by", text)
        along, up = (0.0, by) if high else (by, 0.0)
        if self.spacing is None:
            return row.spacing(along, up), along, up
        if self.by is not None:
            free = row.spacing(along, up)
            text = f"{self.spacing:g} with a stagger of {by:g} leaves bicycles in each other; at least {free:.5g}"
            need(self.spacing >= free - 1e-6, group, "spacing", text)
            return self.spacing, along, up
        found = row.up(self.spacing, least) if high else row.along(self.spacing)
        text = (
            f"no stagger in {self.stagger} frees bicycles {self.spacing:g} apart; without one {row.spacing(0, 0):.5g}"
        )
        need(found is not None, group, "spacing", text)
        return (self.spacing, 0.0, found or 0.0) if high else (self.spacing, found or 0.0, 0.0)

    def _along(self, shop: Shop, group: str, berths: Sequence[Berth], lip_t: float) -> tuple[float, tuple[Berth, ...]]:
        """Return how long the tray is, and the places along it: in its middle."""
        low, high = gathered(berths, shop.number(RULE, "end"))
        least = high - low + 2 * lip_t
        length = least if self.length is None else self.length
        text = f"{length:g} is too short for its bicycles between the lips; at least {least:.5g}"
        need(length >= least - 1e-6, group, "length", text)
        shift = (length - high - low) / 2
        return length, tuple(replace(berth, x=berth.x + shift) for berth in berths)

    def _wheels(self, shop: Shop, group: str, bikes: Sequence[Bike]) -> list[Bike]:
        if self.wheels is None:
            return []
        count = sum(bike.is_mounted for bike in bikes)
        need(count > 0, group, "wheels", "all bicycles stand on both wheels, so that none is off")
        return [wheel_of(shop, group, self.wheels)] * count

    def _width(
        self, shop: Shop, group: str, berths: tuple[Sequence[Berth], Sequence[Berth]], sheet: Sheet, lip_t: float
    ) -> float:
        held = max(berth.reach(sheet.thickness) for berth in (*berths[0], *berths[1])) + lip_t
        asked = max(abs(berth.y) for berth in berths[0]) + shop.number(RULE, "edge")
        width = 2 * max(held, asked) if self.width is None else self.width
        text = f"{width:g} is too narrow for what holds the wheels between the lips; at least {2 * held:.5g}"
        need(width >= 2 * held - 1e-6, group, "width", text)
        return width

    def _slides(self, shop: Shop, group: str, length: float, sheet: Sheet) -> Slides:
        """Return the slides: as long as told, or the longest on sale that go under the tray."""
        deep, step, most = length - sheet.thickness, shop.number(RULE, "slide_step"), shop.number(RULE, "slide_longest")
        longest = floor(min(deep, most) / step + 1e-6) * step
        slide = longest if self.slide is None else self.slide
        text = f"slides {slide:g} long do not go under a tray {length:.5g} long with its stop; at most {deep:.5g}"
        need(slide <= deep + 1e-6, group, "slide", text)
        share = shop.number(RULE, "slide_share")
        text = f"slides {slide:g} long are too short for a tray {length:.5g} long; at least {share * length:.5g}"
        need(slide >= share * length, group, "slide", f"{text}, of {most:g} at most on sale")
        text = f"{self.out or 0:g} is more than slides {slide:g} long come out"
        need(self.out is None or self.out <= slide, group, "out", text)
        return Slides(
            length=slide, thickness=shop.number(RULE, "slide_thickness") + shop.number(RULE, "slide_play"),
            height=shop.number(RULE, "slide_height"), run=shop.number(RULE, "run"), span=shop.number(RULE, "span"),
            front=self.slides == "front",
        )  # fmt: skip

    def _refuse_load(self, shop: Shop, group: str, frame: TrayFrame, tray: Thing) -> None:
        if frame.slides is None:
            return
        load = tray.mass_kg + sum(berth.bike.mass_kg for berth in frame.all_berths)
        most = shop.number(RULE, "slide_load")
        text = f"tray, bicycles and wheels have {load:.0f} kg; a pair of slides is rated for {most:g}: take fewer"
        need(load <= most, group, "slides", text)

    def _motions(self, frame: TrayFrame, group: str) -> tuple[Motion, ...]:
        slides = frame.slides
        if slides is None:
            return ()
        spec = MotionSpec(
            does="drawer", face="front" if slides.front else "rear", out=self.out or slides.length,
            z=(slides.run, frame.top), carries="yes", person=self.person, states=self.slides_in,
        )  # fmt: skip
        return (spec.made("tray", frame.outside, ("things", group, "out")),)


def _seams(
    shop: Shop, group: str, berths: Sequence[Berth], size: tuple[float, float], sheet: Sheet
) -> tuple[float, ...]:
    """Return the joints of boards, each with room for a strip over it.

    Raises
    ------
    ValueFaultError
        When a board would be larger than a sheet yields, or a strip meets what holds a wheel.
    """
    most = shop.number("coverings", "length"), shop.number("coverings", "width")
    found = seams(tuple(berths), size, most)
    text = f"a tray {size[0]:.5g} x {size[1]:.5g} is more than boards of {most[0]:g} x {most[1]:g} make up"
    key = "width" if size[0] <= max(most) else "length"
    need(found is not None, group, key, f"{text}, joined midway between bicycles")
    strip = shop.number(RULE, "strip") / 2
    for seam in found or ():
        room = min(abs(berth.y - seam) - max(h.outer(sheet.thickness) for h in berth.bike.holders) for berth in berths)
        text = f"leaves {room:.4g} for half the strip over the joint of its boards; at least {strip:g}"
        need(room >= strip - 1e-6, group, "spacing", text)
    return found or ()


def _refuse_meeting(frame: TrayFrame, parts: Parts, group: str) -> None:
    """Refuse a lip that a bicycle would stand in: its pedals or bars reach over it."""
    rooms = [(berth.bike.name, body) for berth in frame.all_berths for body in berth.bodies(frame.level)]
    for solid in parts.solids:
        for name, body in rooms:
            met = meet(body, body_of(solid))
            text = f"{frame.lip:g} high, meets {name} by its {solid.name}; a lower lip, or more width"
            need(not met, group, "bar" if frame.bar else "lip", text)


def _promise(frame: TrayFrame) -> Promise:
    """Return what the fields say of the tray: its outside, the room of every bicycle, how many pieces there are."""
    return Promise(
        outside=frame.outside, closed=() if frame.slides else ("bottom",), openings=frame.openings(),
        roles=frame.roles(), grains=(("tray board", "along"),),
    )  # fmt: skip
