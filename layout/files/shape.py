"""The space as measured on bare metal to the free room inside the linings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import pairwise
from math import cos, pi, sin

from shapely.geometry import Point as Point2d
from shapely.geometry import Polygon, box
from shapely.geometry.polygon import orient

from layout.errors import ValueFaultError
from layout.files.refused import Refused, collecting
from layout.files.roof_format import roof_top
from layout.files.space_format import (
    FloorFormat,
    ObstacleFormat,
    Range,
    ReachInFormat,
    SideDoorFormat,
    SpaceFormat,
    StationFormat,
    WheelWellFormat,
)
from layout.files.survey_shape import floor_corners, surveyed
from layout.model.motion import Motion
from layout.model.roof_top import RoofTop
from layout.model.rule import Rule
from layout.model.solid import Point
from layout.model.solid import box as solid_box
from layout.model.survey import Surveyed
from layout.space.parts import Door, Hole, Obstacle, Ribs, TieDown, WayOut
from layout.space.space import Space, band
from layout.space.walls import Pairs, Station, Wall, interpolate
from layout.units.fields import LONGEST_SPACE

_STEEPEST = 0.5  # across by along: an edge steeper than this is an end or a cut corner
_NOTCH = 0.8  # of the widest half-width: an edge all inside this is the bottom of a notch
_ARC_STEPS = 8
_FRAME = 1000.0  # mm that an opening may reach beyond the room, as a door across a cab does
_DISAGREE = 5.0  # mm between two measurements of one wall that a tape may leave; common practice, no source


def shape(said: SpaceFormat, refused: Refused, rules: Mapping[str, Rule] | None = None) -> Space:
    """Return the room inside the linings; what only concerns a part of it is added to `refused`.

    `rules` are those in force, for how exact a tape is (None: those shipped).

    Raises
    ------
    ValueFaultError
        When the outline crosses itself, a wall leaves no room, a well or door lies outside, two
        measurements of one wall disagree, or a survey does not fix the floor.
    """
    said, survey = _with_survey(said, rules)
    bare = _outline(said.floor)
    walls = [_wall(said, bare, side) for side in ("left", "right")]
    lining, floor = said.build_up.walls, said.build_up.floor
    lined = [_lined(wall, lining, floor) for wall in walls]
    outline = _finished(bare, walls, lined)
    _refuse_outline(outline, ("space", "floor"), "the wall lining leaves no floor")
    roof = tuple((x, z - floor - said.build_up.ceiling) for x, z in sorted(said.roof.items()))
    if min(z for _, z in roof) <= 0:
        raise ValueFaultError(("space", "roof"), "floor and ceiling build-up leave no height")
    space = Space(
        outline=outline, left=lined[0], right=lined[1], roof=roof,
        front=_ends(said.front, floor), rear=_ends(said.rear, floor),
        obstacles=(
            *_wells(said, bare, walls, refused),
            *_obstacles(said, bare, refused),
            *_closed_doors(said, bare, walls, refused),
        ),
        holes=_holes(said, refused), doors=tuple(_doors(said)),
        tie_downs=tuple(TieDown(at=(t.at[0], t.at[1], t.at[2] - floor), rated_n=t.rated) for t in said.tie_downs),
        ways_out=tuple(_ways_out(said, lined)), ribs=_ribs(said), motions=_comes_in(said), rake_deg=said.rake,
        floor_build_up=floor, ceiling_build_up=said.build_up.ceiling,
        wall_build_up=lining, survey=survey, roof_top=_roof_top(said),
    )  # fmt: skip
    if all(space.shell(z).is_empty for z in space.bends(0.0, space.height)):
        raise ValueFaultError(("space", "ribs") if space.ribs else ("space",), "leaves no room at any height")
    _refuse_shell(space, refused)
    return space


def _roof_top(said: SpaceFormat) -> RoofTop | None:
    """Return the roof from above, with the ribs as they are on bare metal."""
    ribs = () if said.ribs is None else tuple((x - said.ribs.width / 2, x + said.ribs.width / 2) for x in said.ribs.at)
    return roof_top(said.roof_top, tuple(sorted(ribs))) if said.roof_top is not None else None


def _with_survey(said: SpaceFormat, rules: Mapping[str, Rule] | None) -> tuple[SpaceFormat, Surveyed | None]:
    """Return the space with its floor's corners from the survey, if the file says so, and the survey adjusted."""
    if said.survey is None:
        return said, None
    order = said.floor.survey or ()
    found = surveyed(said.survey, order, rules)
    if not order:
        return said, found
    return replace(said, floor=FloorFormat(corners=floor_corners(found, order, rules))), found


def _finished(bare: tuple[Point, ...], walls: list[Wall], lined: list[Wall]) -> tuple[Point, ...]:
    """Return the corners of the floor where it is finished: inside the linings, and at its own height."""
    on_metal = Space(outline=bare, left=walls[0], right=walls[1], roof=((0.0, 1.0),))
    finished = Space(outline=bare, left=lined[0], right=lined[1], roof=((0.0, 1.0),))
    # The upright ends are those of the metal; the band between the walls is that of the linings.
    floor = on_metal.upright.intersection(band(finished, 0.0))
    if floor.geom_type != "Polygon" or floor.is_empty:
        raise ValueFaultError(("space", "floor"), "the wall lining leaves no floor")
    ring = orient(floor.simplify(0.0)).exterior.coords[:-1]
    return tuple((float(x), float(y)) for x, y in ring)


def _outline(floor: FloorFormat) -> tuple[Point, ...]:
    if floor.corners is not None:
        corners = floor.corners
    else:
        corners = tuple(_rounded(floor.length or 0.0, (floor.width or 0.0) / 2, floor.rear_radius, floor.front_radius))
    _refuse_outline(corners, ("space", "floor", "corners"), "the outline crosses itself or encloses nothing")
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    if max(xs) - min(xs) > LONGEST_SPACE or max(ys) - min(ys) > LONGEST_SPACE:
        raise ValueFaultError(("space", "floor"), "the space is longer or wider than 20 m")
    if not min(ys) < 0 < max(ys):
        raise ValueFaultError(("space", "floor"), "the floor must lie on both sides of the centreline, y = 0")
    return corners


def _refuse_outline(corners: tuple[Point, ...], path: tuple[str, ...], text: str) -> None:
    polygon = Polygon(corners)
    if not polygon.is_valid or polygon.area <= 0:
        raise ValueFaultError(path, text)


def _rounded(length: float, half: float, rear: float, front: float) -> Iterator[Point]:
    """Yield a rectangle's corners with arcs as chords inside the true arc (a floor a hair too small is safe)."""
    for x, y, r, start in (
        (length, -half, front, -90),
        (length, half, front, 0),
        (0.0, half, rear, 90),
        (0.0, -half, rear, 180),
    ):
        if 2 * r > min(length, 2 * half):
            raise ValueFaultError(("space", "floor"), f"corner radius {r:g} is more than half the floor")
        cx, cy = x + (-r if x else r), y + (r if y < 0 else -r)
        steps = _ARC_STEPS if r else 0
        for i in range(steps + 1):
            angle = (start + (90 * i / steps if steps else 45)) * pi / 180
            yield (cx + r * cos(angle), cy + r * sin(angle)) if r else (x, y)


def _wall(said: SpaceFormat, bare: tuple[Point, ...], side: str) -> Wall:
    """Return one wall on bare metal: as measured at heights, and at its foot where the floor ends.

    A station is added at every corner of the floor, so that the foot follows the floor's edge exactly.
    """
    formats = getattr(said.walls, side) or said.walls.both
    if not formats:
        return _upright(said.floor, bare, side)
    feet = _feet(said.floor, bare, side)
    for station in formats:
        _refuse_disagreement(station, feet, bare, side)
    measured = Wall(stations=tuple(_as_measured(f, feet) for f in sorted(formats, key=lambda f: f.x)))
    heights = [z for z in measured.heights if z > 0]
    between = [(x, foot) for x, foot in feet if x not in measured.xs]
    added = [
        Station(x=x, profile=((0.0, foot), *((z, measured.half_width(x, z)) for z in heights))) for x, foot in between
    ]
    return Wall(stations=tuple(sorted((*measured.stations, *added), key=lambda s: s.x)))


def _upright(floor: FloorFormat, bare: tuple[Point, ...], side: str) -> Wall:
    """Return a wall that stands upright on the floor's edge."""
    return Wall(stations=tuple(Station(x=x, profile=((0.0, foot),)) for x, foot in _feet(floor, bare, side)))


def _as_measured(said: StationFormat, feet: Pairs) -> Station:
    """Return the station with the floor's edge as its foot, where the tape took none."""
    profile = {0.0: interpolate(feet, said.x), **said.profile}
    return Station(x=said.x, profile=tuple(sorted(profile.items())))


def _feet(floor: FloorFormat, bare: tuple[Point, ...], side: str) -> Pairs:
    """Return where the wall of that side stands on the floor: pairs of x and half-width, by x.

    Edges that run more along than across are feet of the wall; a cut corner is not, nor the bottom of a notch.
    """
    if floor.corners is None:
        return ((0.0, (floor.width or 0.0) / 2),)
    left = side == "left"
    mine = [(a, b) for a, b in pairwise((*bare, bare[0])) if (a[1] > 0) == (b[1] > 0) == left]
    steps = {corner for edge in mine if _is_steep(*edge) for corner in edge}
    widest = max(abs(y) for _, y in bare if (y > 0) == left)
    edges = [sorted(edge) for edge in mine if not _is_steep(*edge) and not _is_notch(*edge, steps, widest)]
    if not edges:
        return ((0.0, widest),)
    points = [(x, abs(y)) for edge in sorted(edges) for x, y in edge]
    return tuple(dict.fromkeys(points))


def _is_steep(a: Point, b: Point) -> bool:
    return abs(b[1] - a[1]) > _STEEPEST * abs(b[0] - a[0])


def _is_notch(a: Point, b: Point, steps: set[Point], widest: float) -> bool:
    """Return whether the edge is the bottom of a notch: reached by a step, and far inside the widest place."""
    return max(abs(a[1]), abs(b[1])) < _NOTCH * widest and not steps.isdisjoint((a, b))


def _refuse_disagreement(station: StationFormat, feet: Pairs, bare: tuple[Point, ...], side: str) -> None:
    xs = [x for x, _ in bare]
    foot = interpolate(feet, station.x)
    if min(xs) <= station.x <= max(xs) and abs(station.profile.get(0.0, foot) - foot) > _DISAGREE:
        raise ValueFaultError(
            ("space", "walls"),
            f"at x {station.x:g} the {side} wall's profile says {station.profile[0.0]:g} at height 0, "
            f"but the floor's edge lies at {foot:g}; measure again, or leave one out",
        )


def _lined(wall: Wall, lining: float, floor: float) -> Wall:
    """Take the lining off the wall and move its heights down to the finished floor."""
    stations = []
    for station in wall.stations:
        foot = interpolate(station.profile, floor)
        above = [(z - floor, w - lining) for z, w in station.profile if z > floor]
        profile = ((0.0, foot - lining), *above)
        if min(w for _, w in profile) <= 0:
            raise ValueFaultError(("space", "walls"), f"the wall at x {station.x:g} leaves no room inside its lining")
        stations.append(Station(x=station.x, profile=profile))
    return Wall(stations=tuple(stations))


def _ends(pairs: Mapping[float, float] | None, floor: float) -> Pairs:
    if not pairs:
        return ()
    line = tuple(sorted(pairs.items()))
    return ((0.0, interpolate(line, floor)), *((z - floor, x) for z, x in line if z > floor))


def _wells(said: SpaceFormat, bare: tuple[Point, ...], walls: list[Wall], refused: Refused) -> Iterator[Obstacle]:
    for i, well in enumerate(said.wheel_wells):
        for side in ("left", "right") if well.side == "both" else (well.side,):
            with collecting(refused):
                _refuse_well(well, bare, ("space", "wheel_wells", f"{i}"), said.build_up.floor)
                yield _well(well, walls, side, f"{i}", said.build_up.floor)


def _well(well: WheelWellFormat, walls: list[Wall], side: str, number: str, floor: float) -> Obstacle:
    """Return a wheel well; its inner face keeps its width off the wall's foot, also where the floor tapers."""
    path = ("space", "wheel_wells", number)
    wall = walls[0] if side == "left" else walls[1]
    feet = [wall.half_width(x, 0.0) for x in well.x]
    inner = [well.inner if well.inner is not None else foot - (well.width or 0.0) for foot in feet]
    if not all(0 < face < foot for face, foot in zip(inner, feet, strict=True)):
        text = f"the wheel well's inner face at {min(inner):g} lies outside the space, or across its middle"
        raise ValueFaultError(path, text)
    outer, sign = _outer(walls, side, well.x), 1 if side == "left" else -1
    (x0, x1), (y0, y1) = well.x, inner
    outline = ((x0, sign * y0), (x1, sign * y1), (x1, sign * outer), (x0, sign * outer))
    name = f"wheel well {side}" + (f" {int(number) + 1}" if int(number) else "")
    # The rounding keeps its true radius, though part of it may lie below the finished floor.
    return Obstacle(name=name, outline=outline, z0=0.0, z1=well.height - floor, top_radius=well.top_radius)


def _refuse_well(well: WheelWellFormat, bare: tuple[Point, ...], path: tuple[str, ...], floor: float) -> None:
    xs = [x for x, _ in bare]
    if well.x[1] <= min(xs) or well.x[0] >= max(xs) or well.x[1] - well.x[0] > max(xs) - min(xs):
        raise ValueFaultError(path, f"the wheel well at x {well.x[0]:g} to {well.x[1]:g} lies outside the floor")
    if well.height <= floor:
        raise ValueFaultError(path, "the wheel well is lower than the floor build-up")
    if well.top_radius > min(well.height, (well.x[1] - well.x[0]) / 2):
        raise ValueFaultError(path, "the top radius is more than the well's height or half its length")


def _corners(x: Range, y: Range) -> tuple[Point, ...]:
    return (x[0], y[0]), (x[1], y[0]), (x[1], y[1]), (x[0], y[1])


def _obstacles(said: SpaceFormat, bare: tuple[Point, ...], refused: Refused) -> Iterator[Obstacle]:
    for name, o in (said.obstacles or {}).items():
        with collecting(refused):
            yield _obstacle(name, o, bare, said.build_up.floor)


def _obstacle(name: str, o: ObstacleFormat, bare: tuple[Point, ...], floor: float) -> Obstacle:
    path = ("space", "obstacles", name)
    if o.corners is None and (o.x is None or o.y is None):
        raise ValueFaultError(path, "give x: [rear, front] and y: [right, left], or corners: [[x, y], ...]")
    corners = o.corners if o.corners is not None else _corners(o.x or (0.0, 0.0), o.y or (0.0, 0.0))
    _refuse_outline(corners, path, "the outline crosses itself or encloses nothing; ranges must rise")
    if not box(*Polygon(bare).bounds).buffer(_FRAME).intersects(Polygon(corners)):
        raise ValueFaultError(path, "the obstacle lies outside the space")
    z0, z1 = max(o.z[0] - floor, 0.0), o.z[1] - floor
    if z1 <= z0:
        raise ValueFaultError(path, "z: [foot, top] must rise, above the floor build-up")
    return Obstacle(name=name, outline=corners, z0=z0, z1=z1)


def _closed_doors(
    said: SpaceFormat, bare: tuple[Point, ...], walls: list[Wall], refused: Refused
) -> Iterator[Obstacle]:
    floor, rear_end = said.build_up.floor, min(x for x, _ in bare)
    door = said.rear_door
    if door is not None and door.reach_in is not None:
        y = (door.centre - door.width / 2, door.centre + door.width / 2)
        with collecting(refused):
            yield _reach("closed rear door", (rear_end, rear_end + door.reach_in.depth), y, door.reach_in, floor)
    for name, side in (said.side_doors or {}).items():
        if side.reach_in is not None:
            x = (side.start, side.start + side.width)
            wall = walls[0] if side.side == "left" else walls[1]
            # Off the nearer end of its wall, where that tapers: the room is never told too large.
            inner = min(wall.half_width(at, 0.0) for at in x) - side.reach_in.depth
            outer = _outer(walls, side.side, x)
            y = (inner, outer) if side.side == "left" else (-outer, -inner)
            with collecting(refused):
                yield _reach(f"closed {name}", x, y, side.reach_in, floor)


def _outer(walls: list[Wall], side: str, x: Range) -> float:
    """Return how far the wall of that side reaches at most between two places, mm: an obstacle ends there."""
    wall = walls[0] if side == "left" else walls[1]
    xs = [*x, *(at for at in wall.xs if x[0] < at < x[1])]
    return max(wall.half_width(at, z) for at in xs for z in wall.heights)


def _reach(name: str, x: Range, y: Range, said: ReachInFormat, floor: float) -> Obstacle:
    z0, z1 = max(said.z[0] - floor, 0.0), said.z[1] - floor
    if z1 <= z0:
        raise ValueFaultError(("space",), f"{name}: reach_in: z: [foot, top] must rise, above the floor build-up")
    return Obstacle(name=name, outline=_corners(x, y), z0=z0, z1=z1)


def _holes(said: SpaceFormat, refused: Refused) -> tuple[Hole, ...]:
    for name, hole in (said.holes or {}).items():
        if hole.x[0] >= hole.x[1] or hole.y[0] >= hole.y[1]:
            text = "x: [rear, front] and y: [right, left] must rise"
            refused.append(ValueFaultError(("space", "holes", name), text))
    return tuple(
        Hole(name=n, outline=_corners(h.x, h.y), depth=h.depth + said.build_up.floor)
        for n, h in (said.holes or {}).items()
    )


def _doors(said: SpaceFormat) -> Iterator[Door]:
    floor, rear = said.build_up.floor, said.rear_door
    if rear is not None:
        low = rear.centre - rear.width / 2
        yield Door(
            name="rear door", side="rear", kind=rear.kind, low=low, high=low + rear.width,
            sill=max(rear.sill - floor, 0.0), top=rear.height + rear.sill - floor, keep_clear=rear.keep_clear,
            opens_inside=rear.opens_inside == "yes",
        )  # fmt: skip
    for name, side in (said.side_doors or {}).items():
        yield _side_door(name, side, floor)


def _side_door(name: str, door: SideDoorFormat, floor: float) -> Door:
    return Door(
        name=name, side=door.side, kind=door.kind, low=door.start, high=door.start + door.width,
        sill=max(door.sill - floor, 0.0), top=door.height + door.sill - floor, keep_clear=door.keep_clear,
        opens_inside=door.opens_inside == "yes",
    )  # fmt: skip


def _ways_out(said: SpaceFormat, lined: list[Wall]) -> Iterator[WayOut]:
    floor = said.build_up.floor
    for name, o in (said.ways_out or {}).items():
        z = (o.z[0] - floor, o.z[1] - floor) if o.z else (0.0, 0.0)
        y = o.y or (0.0, 0.0)
        if o.side in ("left", "right") and o.x:
            wall = lined[0] if o.side == "left" else lined[1]
            at = wall.half_width((o.x[0] + o.x[1]) / 2, (z[0] + z[1]) / 2) * (1 if o.side == "left" else -1)
            y = (at, at)
        yield WayOut(name=name, side=o.side, x=o.x or (0.0, 0.0), y=y, z=z)


def _ribs(said: SpaceFormat) -> Ribs | None:
    """Return the ribs as they stand out of the lining: what the lining already hides of them counts no more."""
    ribs = said.ribs
    if ribs is None or ribs.depth <= said.build_up.walls or not ribs.at:
        return None
    return Ribs(at=tuple(sorted(ribs.at)), width=ribs.width, depth=ribs.depth - said.build_up.walls)


def _comes_in(said: SpaceFormat) -> tuple[Motion, ...]:
    floor = said.build_up.floor
    return tuple(
        Motion(
            name=name, kind="sweep", states=c.states,
            swept=(solid_box(name, c.x, c.y, (max(c.z[0] - floor, 0.0), c.z[1] - floor)),),
        )
        for name, c in (said.comes_in or {}).items()
    )  # fmt: skip


def _refuse_shell(space: Space, refused: Refused) -> None:
    x0, y0, x1, y1 = space.bounds
    around = box(x0, y0, x1, y1).buffer(_FRAME)
    for door in space.doors:
        low, high = (y0, y1) if door.side == "rear" else (x0, x1)
        if door.high > high + _FRAME or door.low < low - _FRAME or door.top <= door.sill:
            path = ("space", "rear_door") if door.side == "rear" else ("space", "side_doors", door.name)
            refused.append(ValueFaultError(path, f"the {door.name} lies outside the space"))
    for hole in space.holes:
        if not Polygon(hole.outline).intersects(Polygon(space.outline)):
            refused.append(ValueFaultError(("space", "holes", hole.name), "the hole lies outside the floor"))
    for i, point in enumerate(space.tie_downs):
        if not around.covers(Point2d(point.at[:2])):
            refused.append(ValueFaultError(("space", "tie_downs", str(i)), "the tie-down lies outside the space"))
    _refuse_openings(space, refused)
    xs = [x for x, _ in space.outline]
    if any(x > max(xs) for _, x in space.front) or any(x < min(xs) for _, x in space.rear):
        refused.append(ValueFaultError(("space", "front"), "an end may lean in, not out: no x beyond the floor's end"))


def _refuse_openings(space: Space, refused: Refused) -> None:
    """Refuse openings of one name, parts that come in from nowhere, and ways out beyond the space."""
    x0, _, x1, _ = space.bounds
    names = [door.name for door in space.doors] + [way.name for way in space.ways_out]
    for name in sorted({name for name in names if names.count(name) > 1}):
        refused.append(ValueFaultError(("space", "side_doors", name), f"two openings are called {name!r}; rename one"))
    for motion in space.motions:
        solid = motion.swept[0]
        (ax, ay), (bx, by) = solid.outline[0], solid.outline[2]
        if ax >= bx or ay >= by or solid.z0 >= solid.z1:
            text = "x: [rear, front], y: [right, left] and z: [foot, top] must rise"
            refused.append(ValueFaultError(("space", "comes_in", motion.name), text))
    for way in space.ways_out:
        if way.x[1] < x0 - _FRAME or way.x[0] > x1 + _FRAME or way.z[0] > space.height:
            refused.append(ValueFaultError(("space", "ways_out", way.name), "the opening lies outside the space"))
