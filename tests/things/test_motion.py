"""What moving parts sweep, against leaves turned point by point in space, which share no code with the drawing."""

import random
from collections.abc import Iterator
from itertools import product
from math import atan2, cos, degrees, hypot, pi, radians, sin

import pytest
import shapely
from shapely.geometry import Point, Polygon

from layout.errors import InputError, ValueFaultError
from layout.model.solid import Solid, box
from layout.things.motion import ClearSpec, MotionSpec
from layout.things.sector import fan, slabs
from tests.builders import project_text, read

Vector = tuple[float, float, float]
BODY = box("thing", (0.0, 600.0), (-250.0, 250.0), (0.0, 700.0))
NORMAL = {"front": (1.0, 0.0, 0.0), "rear": (-1.0, 0.0, 0.0), "left": (0.0, 1.0, 0.0), "right": (0.0, -1.0, 0.0)}
DOORS = [
    ("front", "left"),
    ("front", "right"),
    ("rear", "left"),
    ("left", "front"),
    ("left", "rear"),
    ("right", "front"),
]
LIDS = ["front", "rear", "left", "right"]
FLAPS = list(product(["front", "rear", "left", "right"], ["top", "bottom"]))


def _made(spec: MotionSpec, body: Solid = BODY) -> tuple[Solid, ...]:
    return spec.made("part", body, ()).swept


def _within(point: Vector, solids: tuple[Solid, ...], slack: float = 1e-3) -> bool:
    x, y, z = point
    return any(
        s.z0 - slack <= z <= s.z1 + slack and Polygon(s.outline).distance(Point(x, y)) <= slack
        for s in solids
        if s.bounds[0] - slack <= x <= s.bounds[2] + slack and s.bounds[1] - slack <= y <= s.bounds[3] + slack
    )


def _turned(point: Vector, pivot: Vector, axis: Vector, angle_deg: float) -> Vector:
    """Return a point turned about a line through `pivot` along the unit vector `axis` (the formula of Rodrigues)."""
    c, s = cos(radians(angle_deg)), sin(radians(angle_deg))
    v = [p - q for p, q in zip(point, pivot, strict=True)]
    k = axis
    cross = (k[1] * v[2] - k[2] * v[1], k[2] * v[0] - k[0] * v[2], k[0] * v[1] - k[1] * v[0])
    dot = sum(a * b for a, b in zip(k, v, strict=True))
    x, y, z = (pivot[i] + v[i] * c + cross[i] * s + k[i] * dot * (1 - c) for i in range(3))
    return x, y, z


class Leaf:
    """A flat leaf of four corners on a hinge: an edge of it, told by a point and its direction; `out` is where it opens."""

    def __init__(
        self, face: str, hinge: str, kind: str, spans: tuple[tuple[float, float], tuple[float, float]]
    ) -> None:
        (x0, y0, x1, y1), z0, z1 = BODY.bounds, BODY.z0, BODY.z1
        low = (x0, y0, z0)
        high = (x1, y1, z1)
        flat = 2 if kind == "lid" else 0 if face in ("front", "rear") else 1
        fixed = z1 if kind == "lid" else {"front": x1, "rear": x0, "left": y1, "right": y0}[face]
        self.axes = [i for i in range(3) if i != flat]
        self.ranges = dict(zip(self.axes, spans, strict=True))
        turned = {"front": (0, 1), "rear": (0, 0), "left": (1, 1), "right": (1, 0), "top": (2, 1), "bottom": (2, 0)}
        self.across, end = turned[hinge]
        pivot = list(low)
        pivot[flat], pivot[self.across] = fixed, self.ranges[self.across][end]
        self.pivot: Vector = (pivot[0], pivot[1], pivot[2])
        self.flat, self.fixed, self.high = flat, fixed, high
        along = next(i for i in self.axes if i != self.across)
        axis = [0.0, 0.0, 0.0]
        axis[along] = 1.0
        self.out: Vector = (0.0, 0.0, 1.0) if kind == "lid" else NORMAL[face]
        self.axis: Vector = (axis[0], axis[1], axis[2])
        middle = self.at(0.5, 0.5)
        step = _turned(middle, self.pivot, self.axis, 1.0)
        if sum(n * (b - a) for n, a, b in zip(self.out, middle, step, strict=True)) < 0:
            self.axis = (-axis[0], -axis[1], -axis[2])

    def at(self, u: float, v: float) -> Vector:
        """Return a point of the closed leaf by its shares along its two sides."""
        point = [0.0, 0.0, 0.0]
        point[self.flat] = self.fixed
        for axis, share in zip(self.axes, (u, v), strict=True):
            low, high = self.ranges[axis]
            point[axis] = low + (high - low) * share
        return point[0], point[1], point[2]

    def open(self, u: float, v: float, angle: float) -> Vector:
        """Return the same point with the leaf open by so many degrees."""
        return _turned(self.at(u, v), self.pivot, self.axis, angle)

    @property
    def radius(self) -> float:
        low, high = self.ranges[self.across]
        return high - low

    def off(self, point: Vector, most: float) -> float:
        """Return how far a point is from all that the leaf passes through up to `most` degrees, mm, worked out in polar form."""
        along = next(i for i in self.axes if i != self.across)
        low, high = self.ranges[along]
        beside = max(low - point[along], point[along] - high, 0.0)
        inward = 1.0 if self.pivot[self.across] <= sum(self.ranges[self.across]) / 2 else -1.0
        u = (point[self.across] - self.pivot[self.across]) * inward
        v = sum(n * (p - q) for n, p, q in zip(self.out, point, self.pivot, strict=True))
        angle, far = degrees(atan2(v, u)) % 360, hypot(u, v)
        if angle <= most:
            return hypot(beside, max(far - self.radius, 0.0))
        leaves = [
            shapely.LineString([(0, 0), (self.radius * cos(a), self.radius * sin(a))]) for a in (0.0, radians(most))
        ]
        return hypot(beside, min(leaf.distance(Point(u, v)) for leaf in leaves))


def _cases() -> Iterator[tuple[MotionSpec, Leaf]]:
    rng = random.Random(5)
    for face, hinge in DOORS:
        part, z = _narrowed(rng, face)
        spec = MotionSpec(does="door", face=face, hinge=hinge, angle=rng.uniform(20, 265), part=part, z=z)  # type: ignore[arg-type]  # words of the lists above
        yield spec, Leaf(face, hinge, "door", (part, z))
    for hinge in LIDS:
        x, y = (rng.uniform(10, 200), rng.uniform(300, 590)), (rng.uniform(-240, -50), rng.uniform(50, 240))
        yield MotionSpec(does="lid", hinge=hinge, angle=rng.uniform(20, 265), x=x, y=y), Leaf("", hinge, "lid", (x, y))  # type: ignore[arg-type]  # as above
    for face, hinge in FLAPS:
        part, z = _narrowed(rng, face)
        spec = MotionSpec(does="flap", face=face, hinge=hinge, angle=rng.uniform(20, 265), part=part, z=z)  # type: ignore[arg-type]  # as above
        yield spec, Leaf(face, hinge, "flap", (part, z))


def _narrowed(rng: random.Random, face: str) -> tuple[tuple[float, float], tuple[float, float]]:
    low, high = (-250.0, 250.0) if face in ("front", "rear") else (0.0, 600.0)
    return (rng.uniform(low, low + 150), rng.uniform(high - 150, high)), (rng.uniform(0, 300), rng.uniform(400, 700))


CASES = list(_cases())
NAMES = [f"{spec.does} {spec.face} {spec.hinge}" for spec, _ in CASES]


@pytest.mark.parametrize(("spec", "leaf"), CASES, ids=NAMES)
def test_every_point_of_a_turning_leaf_is_swept(spec: MotionSpec, leaf: Leaf) -> None:
    """Points of the leaf, its corners too, at openings up to the full one lie within what it sweeps."""
    rng, swept, most = random.Random(1), _made(spec), spec.angle or 90.0
    for _ in range(400):
        u, v = rng.choice([0.0, 1.0, rng.random()]), rng.choice([0.0, 1.0, rng.random()])
        angle = rng.choice([0.0, most, rng.uniform(0, most)])
        assert _within(leaf.open(u, v, angle), swept), (u, v, angle)


@pytest.mark.parametrize(("spec", "leaf"), CASES, ids=NAMES)
def test_what_is_swept_is_hardly_more_than_the_leaf_sweeps(spec: MotionSpec, leaf: Leaf) -> None:
    """No corner and no inner point of a swept solid is further off than the stated 0.22 % (door) or 1.8 % of the leaf."""
    rng, most = random.Random(2), spec.angle or 90.0
    bound = leaf.radius * (0.0022 if spec.does == "door" else 0.018) + 1e-6
    for solid in _made(spec):
        x0, y0, x1, y1 = solid.bounds
        inner = [(rng.uniform(x0, x1), rng.uniform(y0, y1)) for _ in range(20)]
        plan = [*solid.outline, *(p for p in inner if Polygon(solid.outline).contains(Point(p)))]
        for (x, y), z in product(plan, (solid.z0, solid.z1)):
            assert leaf.off((x, y, z), most) <= bound, (solid, x, y, z)


@pytest.mark.parametrize(("spec", "leaf"), CASES, ids=NAMES)
def test_opening_less_sweeps_no_more(spec: MotionSpec, leaf: Leaf) -> None:
    """All that is swept at a smaller opening is swept at a larger one, so that halving finds the first meeting."""
    rng, motion = random.Random(3), spec.made("part", BODY, ())
    assert motion.opening is not None
    full = motion.opening.full
    for _ in range(6):
        small = rng.uniform(1, full)
        large = motion.opening.swept(rng.uniform(small, full))
        for solid in motion.opening.swept(small):
            corners = [*solid.outline, *(_between(rng, solid) for _ in range(4))]
            assert all(_within((x, y, z), large) for (x, y), z in product(corners, (solid.z0 + 1e-6, solid.z1 - 1e-6)))


def _between(rng: random.Random, solid: Solid) -> tuple[float, float]:
    weights = [rng.random() for _ in solid.outline]
    total = sum(weights)
    # A sector is no hull of its corners beyond half a turn; the hinge, its first corner, sees all of it.
    (hx, hy), share = solid.outline[0], rng.random()
    x = sum(w * p[0] for w, p in zip(weights, solid.outline, strict=True)) / total
    y = sum(w * p[1] for w, p in zip(weights, solid.outline, strict=True)) / total
    inside = Polygon(solid.outline).contains(Point(x, y))
    return (x, y) if inside else (hx + (solid.outline[1][0] - hx) * share, hy + (solid.outline[1][1] - hy) * share)


@pytest.mark.parametrize(("spec", "leaf"), CASES, ids=NAMES)
def test_an_open_leaf_fills_where_it_ends(spec: MotionSpec, leaf: Leaf) -> None:
    """What stays in the way while a leaf is open holds the leaf at its end, and is all within what it swept."""
    motion = spec.made("part", BODY, ())
    assert motion.opening is not None
    most, rng = motion.opening.full, random.Random(4)
    left = motion.opening.left_open()
    for _ in range(50):
        assert _within(leaf.open(rng.random(), rng.random(), most), left, slack=leaf.radius * 0.0022)
    middle = leaf.open(0.5, 0.5, most / 2)
    assert not _within(middle, left)
    assert all(leaf.off((x, y, s.z0), most) <= leaf.radius * 0.018 + 1e-6 for s in left for x, y in s.outline)


def test_a_door_of_500_that_opens_square_sweeps_a_quarter_disc() -> None:
    """Its area is that of a quarter disc of 500, pi 500² / 4, and at most 0.3 % more; straight out it reaches exactly 500."""
    [sector] = _made(MotionSpec(does="door", hinge="left"))
    area = Polygon(sector.outline).area

    assert pi * 500**2 / 4 <= area <= 1.003 * pi * 500**2 / 4
    assert sector.bounds == pytest.approx((600, -250, 600 + 500, 250))
    assert sector.outline[-1] == pytest.approx((600 + 500, 250))


def test_a_drawer_comes_straight_out_by_its_own_depth_or_as_told() -> None:
    """A face narrowed to 100 .. 400 up and to the right half comes out by 600, the thing's depth, or by 450."""
    narrow = {"part": (-250.0, 0.0), "z": (100.0, 400.0)}
    [deep] = _made(MotionSpec(does="drawer", **narrow))  # type: ignore[arg-type]  # two spans
    [told] = _made(MotionSpec(does="drawer", out=450, face="left", part=(0.0, 300.0)))

    assert (deep.bounds, deep.z0, deep.z1) == ((600, -250, 1200, 0), 100, 400)
    assert (told.bounds, told.z0, told.z1) == ((0, 250, 300, 700), 0, 700)


def test_whoever_uses_a_drawer_stands_beyond_it_and_before_a_door() -> None:
    """With a drawer 600 out somebody of 500 is at 1200 .. 1700; at a door at 600 .. 1100; as high as the thing."""
    drawer = MotionSpec(does="drawer", person=500).made("d", BODY, ()).person
    door = MotionSpec(does="door", hinge="left", person=500).made("d", BODY, ()).person
    flap = MotionSpec(does="flap", hinge="bottom", z=(300.0, 700.0), person=500).made("f", BODY, ()).person

    assert drawer is not None
    assert door is not None
    assert flap is not None
    assert (drawer.bounds, drawer.z0, drawer.z1) == ((1200, -250, 1700, 250), 0, 700)
    assert door.bounds == (600, -250, 1100, 250)
    assert flap.bounds == (1000, -250, 1500, 250)


def test_a_thing_that_turns_on_the_spot_sweeps_the_circle_round_its_corners() -> None:
    """600 x 500 has its corners 390.5 from its middle: the ring holds that circle and is at most 0.22 % wider."""
    [ring] = _made(MotionSpec(does="turn"))
    radius = hypot(600, 500) / 2
    far = [hypot(x - 300, y) for x, y in ring.outline]

    assert Polygon(ring.outline).exterior.distance(Point(300, 0)) >= radius - 1e-9
    assert max(far) <= radius * 1.0022


def test_a_lid_after_a_drawer_turns_up_where_the_drawer_has_brought_it() -> None:
    """A chest 600 deep that comes out by 650 has its lid at 650 .. 1250, and not where it stands shut."""
    things = {"chest": {
        "kind": "box", "length": "600", "width": "500", "height": "700",
        "moving": {"slide": {"does": "drawer", "out": "650"}, "lid": {"does": "lid", "hinge": "rear", "after": "slide"}},
    }}  # fmt: skip
    [chest] = read(project_text(things=things)).things
    swept = next(m.swept for m in chest.motions if m.name == "lid")

    assert min(s.bounds[0] for s in swept) == pytest.approx(650)
    assert max(s.bounds[2] for s in swept) == pytest.approx(1250)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"does": "door"}, "turns on a hinge"),
        ({"does": "door", "hinge": "front"}, "upright ends"),
        ({"does": "lid", "hinge": "rear", "z": ["0", "10"]}, "z: says nothing of a lid"),
        ({"does": "drawer", "angle": "90"}, "angle: says nothing of a drawer"),
        ({"does": "turn", "out": "90"}, "out: says nothing of a turn"),
        ({"does": "door", "hinge": "left", "angle": "300"}, "at most 270"),
        ({"does": "sweep", "x": ["0", "10"]}, "a sweep is a box"),
        ({"does": "drawer", "part": ["10", "0"]}, "must rise"),
        ({"does": "drawer", "part": ["400", "500"]}, "lies outside the thing"),
        ({"does": "lid", "hinge": "rear", "after": "slide"}, "is no drawer of this thing"),
    ],
)
def test_a_part_that_says_too_little_or_what_does_nothing_is_refused(said: dict[str, object], words: str) -> None:
    """A key that would do nothing is refused like one that is missing, with its place in the file."""
    made = {"kind": "box", "length": "600", "width": "500", "height": "700", "moving": {"p": said}}
    with pytest.raises(InputError, match=words) as caught:
        read(project_text(things={"a": made}))

    assert any("moving.p" in fault.key for fault in caught.value.faults)


def test_what_moves_outside_the_thing_is_refused_where_it_is_made() -> None:
    """A part of the face beyond the thing is nothing that moves."""
    with pytest.raises(ValueFaultError, match="outside the thing"):
        MotionSpec(does="flap", hinge="top", z=(800.0, 900.0)).made("p", BODY, ())


def test_room_to_keep_free_lies_straight_before_each_face() -> None:
    """60 on the left and 50 above are boxes of those depths on those faces; a side without a number keeps nothing."""
    clears = ClearSpec(left=60, top=50).made("fridge", BODY)

    assert [(c.face, c.solid.bounds, c.solid.z0, c.solid.z1) for c in clears] == [
        ("left", (0, 250, 600, 310), 0, 700),
        ("top", (0, -250, 600, 250), 700, 750),
    ]


def test_the_drawing_of_a_sector_can_fail() -> None:
    """The oracle tells a leaf that is drawn 1 % too short: so the tests above can fail."""
    spec, leaf = CASES[0]
    short = [Solid(name="", outline=tuple((x * 0.99, y) for x, y in s.outline), z0=s.z0, z1=s.z1) for s in _made(spec)]
    rng = random.Random(1)

    assert not all(
        _within(leaf.open(0.0, rng.random(), rng.uniform(0, spec.angle or 90)), tuple(short)) for _ in range(200)
    )


def test_flats_and_slabs_touch_the_arc() -> None:
    """Straight out the drawing is exact: at 90 degrees a leaf of 400 reaches 400, and no more than 400 up."""
    assert fan(400, 90)[-1] == pytest.approx((0, 400))
    assert max(high for _, _, _, high in slabs(400, 0, 90)) == pytest.approx(400)
    assert min(low for _, _, low, _ in slabs(400, 0, 90)) == pytest.approx(0)
