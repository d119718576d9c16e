"""Bodies: things, panels and wells as closed sets of flat faces, in the axes of the space, mm."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from math import hypot, pi, sin
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from layout.model.layout import Placed
from layout.model.panel import Panel
from layout.model.solid import Point, Solid
from layout.model.thing import Thing
from layout.views.axonometric.triangles import Triangle, is_convex, triangles, turn

if TYPE_CHECKING:
    from layout.space.parts import Obstacle

Floats = NDArray[np.float64]
# The corners of a face as places in the body's points: its outline, anticlockwise from outside, then its holes.
Face = tuple[tuple[int, ...], ...]
_AXES = "xyz"
_SAW = 0.01  # mm
_FOUR, _ENDS = 4, 2
# Flats to a quarter of a circle.
_ARC_FLATS = 6


@dataclass(frozen=True, kw_only=True, eq=False)
class Body:
    """A closed body: corners, shape (n, 3), mm, and faces; each edge belongs to two faces that run along it both ways.

    Of a prism the first face is the foot, the second the top, and the corners of the one stand over those of the other;
    no other face of four corners is bent inward.
    """

    name: str
    points: Floats
    faces: tuple[Face, ...]
    #: Triangles already worked out, by face; they stay the same wherever the body stands.
    known: dict[int, tuple[Triangle, ...]] = field(default_factory=dict, repr=False)

    @cached_property
    def normals(self) -> Floats:
        """Return the outward direction of each face, shape (faces, 3), of length 1."""
        return np.array([_normal(self.points[list(face[0])].tolist()) for face in self.faces])

    def mesh(self, number: int) -> tuple[Triangle, ...]:
        """Return the triangles of a face, as places in `points`, anticlockwise from outside."""
        if number not in self.known:
            self.known[number] = self._cut(self.faces[number], self.normals[number])
        return self.known[number]

    def _cut(self, face: Face, normal: Floats) -> tuple[Triangle, ...]:
        every = [corner for ring in face for corner in ring]
        corners = flat(self.points[every], normal)
        starts = np.cumsum([0, *(len(ring) for ring in face)]).tolist()
        rings = [range(low, high) for low, high in pairwise(starts)]
        return tuple((every[a], every[b], every[c]) for a, b, c in triangles(corners, rings))

    def convex(self, number: int) -> Iterator[tuple[int, int, int, int]]:
        """Yield a face as its four corners if these are convex, else as triangles, the last corner of each twice."""
        face = self.faces[number]
        if len(face) == 1 and len(face[0]) == _FOUR and (number >= _ENDS or self._is_convex(number)):
            yield face[0][0], face[0][1], face[0][2], face[0][3]
            return
        for a, b, c in self.mesh(number):
            yield a, b, c, c

    def _is_convex(self, number: int) -> bool:
        ring = self.faces[number][0]
        return is_convex(flat(self.points[list(ring)], self.normals[number]), range(len(ring)))

    @property
    def box(self) -> Floats:
        """Return low and high corner, shape (2, 3), mm."""
        return np.array([self.points.min(axis=0), self.points.max(axis=0)])

    @property
    def volume(self) -> float:
        """Return the volume, mm³: the sum of the tetrahedra from the first corner to every triangle."""
        corners = self.points - self.points[0]
        made = [corners[list(t)] for number in range(len(self.faces)) for t in self.mesh(number)]
        return float(sum(np.linalg.det(m) for m in made)) / 6

    def edges(self) -> dict[tuple[int, int], list[int]]:
        """Return the edges, each once as two places in `points`, with the faces that it belongs to."""
        found: dict[tuple[int, int], list[int]] = {}
        for number, face in enumerate(self.faces):
            for ring in face:
                for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
                    found.setdefault((min(a, b), max(a, b)), []).append(number)
        return found

    def moved(self, by: Sequence[float]) -> Body:
        """Return it shifted by x, y, z mm."""
        return Body(name=self.name, points=self.points + np.asarray(by), faces=self.faces, known=self.known)


def flat(points: Floats, normal: Floats) -> list[Point]:
    """Return the points in two axes of the plane across `normal`, right-handed as seen from where it points to."""
    made = points @ np.array(plane_axes(normal)).T
    return [(u, v) for u, v in made.tolist()]


def plane_axes(normal: Floats) -> tuple[Floats, Floats]:
    """Return two directions across `normal` and across each other, right-handed with it."""
    x, y, z = normal.tolist()
    if abs(x) <= abs(z) and abs(y) <= abs(z):
        run = hypot(x, z)
        first = np.array([z / run, 0.0, -x / run])
    else:
        run = hypot(x, y)
        first = np.array([-y / run, x / run, 0.0])
    a, b, c = first.tolist()
    return first, np.array([y * c - z * b, z * a - x * c, x * b - y * a])


def prism(name: str, foot: Sequence[Sequence[float]], rise: Sequence[float], holes: Any = ()) -> Body:
    """Return the body that an outline sweeps along `rise` (x, y, z; mm); `foot` and `holes` are rings of 3D points.

    The rings may run either way. Corners that lie on each other are taken once.
    """
    rings = [_clean([tuple(map(float, p)) for p in ring]) for ring in (foot, *holes)]
    up = np.asarray(rise, dtype=float)
    rings = [_run(ring, up, left=i == 0) for i, ring in enumerate(rings)]
    low = np.array([p for ring in rings for p in ring])
    count = len(low)
    starts = [sum(len(ring) for ring in rings[:i]) for i in range(len(rings))]
    tops = tuple(tuple(range(s + count, s + count + len(r))) for s, r in zip(starts, rings, strict=True))
    feet = tuple(tuple(reversed(range(s, s + len(r)))) for s, r in zip(starts, rings, strict=True))
    sides = tuple(_sides(starts, rings, count))
    return Body(name=name, points=np.vstack([low, low + up]), faces=(feet, tops, *sides))


def _sides(starts: Sequence[int], rings: Sequence[Sequence[Any]], count: int) -> Iterator[Face]:
    for start, ring in zip(starts, rings, strict=True):
        for i in range(len(ring)):
            a, b = start + i, start + (i + 1) % len(ring)
            yield ((a, b, b + count, a + count),)


def _clean(ring: list[tuple[float, ...]]) -> list[tuple[float, ...]]:
    return [p for i, p in enumerate(ring) if p != ring[i - 1]]


def _run(ring: list[tuple[float, ...]], up: Floats, *, left: bool) -> list[tuple[float, ...]]:
    """Return the ring so that it runs to the left about `up`, or to the right."""
    corners = flat(np.array(ring), up / np.linalg.norm(up))
    area = sum(turn((0.0, 0.0), corners[i - 1], corners[i]) for i in range(len(corners)))
    return ring if (area > 0) == left else ring[::-1]


def of_solid(solid: Solid) -> Body:
    """Return the body of a solid."""
    foot = [(x, y, solid.z0) for x, y in solid.outline]
    return prism(solid.name, foot, (0.0, 0.0, solid.z1 - solid.z0))


def of_panel(panel: Panel) -> Body:
    """Return the body of a panel in its unit's axes: the outline with its holes, as thick as the sheet."""
    rise = [0.0, 0.0, 0.0]
    rise[_AXES.index(panel.through)] = panel.sheet.thickness
    holes = [_in_unit(panel, hole) for hole in panel.holes]
    return prism(panel.name, _in_unit(panel, panel.outline), rise, holes)


def _in_unit(panel: Panel, ring: Sequence[Point]) -> list[list[float]]:
    along, across = _AXES.index(panel.along), _AXES.index(panel.across)
    made = []
    for u, v in ring:
        corner = list(panel.at)
        corner[along] += u
        corner[across] += v
        made.append(corner)
    return made


def of_placed(placed: Placed) -> tuple[Body, ...]:
    """Return the bodies of a thing where it stands.

    A panel with holes, or one for which flat slabs stand because an edge of it slants, is shown as it is; everything
    else as the solids that the checks use.
    """
    thing = placed.thing
    shaped = {p.name for p in thing.panels if p.holes or len(p.solids) > 1}
    shown = {name for name in sorted(shaped) if _stands_for(thing, name)}
    solids = [of_solid(placed.stood(solid)) for solid in thing.solids if solid.name not in shown]
    return (*solids, *(stood(of_panel(panel), placed) for panel in thing.panels if panel.name in shown))


def _stands_for(thing: Thing, name: str) -> bool:
    """Return whether the solids of a name are those of the panels of that name, as far as a saw can tell."""
    solids = [solid for solid in thing.solids if solid.name == name]
    slabs = [slab for panel in thing.panels if panel.name == name for slab in panel.solids]
    alike = len(solids) == len(slabs)
    return alike and all(_near(one, other) for one, other in zip(solids, slabs, strict=True))


def _near(one: Solid, other: Solid) -> bool:
    pairs = zip((*one.bounds, one.z0, one.z1), (*other.bounds, other.z0, other.z1), strict=True)
    return all(abs(a - b) < _SAW for a, b in pairs)


def stood(body: Body, placed: Placed) -> Body:
    """Return a body of the thing's own axes in those of the space."""
    # Placed knows how it turns and moves a solid; the two ends of each axis tell the same of every point.
    corner = placed.stood(Solid(name="", outline=((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), z0=0.0, z1=1.0))
    origin, x_end, y_end = (np.array([*p, 0.0]) for p in corner.outline)
    turned = np.array([x_end - origin, y_end - origin, (0.0, 0.0, 1.0)])
    at = origin + np.array([0.0, 0.0, corner.z0])
    return Body(name=body.name, points=body.points @ turned + at, faces=body.faces, known=body.known)


def of_obstacle(obstacle: Obstacle) -> Body:
    """Return the body of a fixed solid; its rounded top edges in flats between points of the true arc."""
    if not obstacle.top_radius:
        foot = [(x, y, obstacle.z0) for x, y in obstacle.outline]
        return prism(obstacle.name, foot, (0.0, 0.0, obstacle.z1 - obstacle.z0))
    angles = [pi / 2 * i / _ARC_FLATS for i in range(_ARC_FLATS + 1)]
    round_off = [obstacle.z1 - obstacle.top_radius * (1 - sin(a)) for a in angles]
    levels = sorted({obstacle.z0, *(z for z in round_off if z > obstacle.z0)})
    return _lofted(obstacle.name, [[(x, y, z) for x, y in obstacle.section(z)] for z in levels])


def _lofted(name: str, sections: list[list[tuple[float, float, float]]]) -> Body:
    """Return the body through four-cornered sections (rear, front, front, rear), whose long sides stay in a plane."""
    top = len(sections) - 1
    at = [[4 * level + corner for corner in range(4)] for level in range(len(sections))]
    sides = [(*(a[i] for a in at), *(a[j] for a in reversed(at))) for i, j in ((1, 0), (3, 2))]
    ends = [(at[n][i], at[n][j], at[n + 1][j], at[n + 1][i]) for n in range(top) for i, j in ((1, 2), (3, 0))]
    rings = [(at[0][3], at[0][2], at[0][1], at[0][0]), tuple(at[top]), *sides, *ends]
    points = np.array([p for section in sections for p in section])
    if Body(name=name, points=points, faces=tuple((ring,) for ring in rings)).volume < 0:
        rings = [ring[::-1] for ring in rings]
    return Body(name=name, points=points, faces=tuple((tuple(ring),) for ring in rings))


def _normal(ring: list[list[float]]) -> tuple[float, float, float]:
    """Return the direction that a ring of corners runs to the left about (Newell's sums), of length 1."""
    x = y = z = 0.0
    for (ax, ay, az), (bx, by, bz) in zip(ring, (*ring[1:], ring[0]), strict=True):
        x += (ay - by) * (az + bz)
        y += (az - bz) * (ax + bx)
        z += (ax - bx) * (ay + by)
    size = hypot(x, y, z)
    return x / size, y / size, z / size
