"""What the search is asked, told in boxes: stands, the forms that each may take, and what keeps clear of what.

All lengths are mm, all boxes axis-aligned. A stand's boxes are counted from its reference point, which is where `at`
of a position puts it: the x of its rearmost edge and the y of its middle. Heights are those of the space.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

#: x0, y0, z0, x1, y1, z1, mm.
Box = tuple[float, float, float, float, float, float]
#: a, b, c of a half-plane: a x + b y <= c, in whole tenths of a millimetre.
HalfPlane = tuple[int, int, int]
#: A convex set of reference points.
Piece = tuple[HalfPlane, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Form:
    """One way in which a stand may stand.

    `name` is how people call it; `key` tells forms apart: turn, sizes, grid, number in a column. `solids` and `zones`
    by state: what it fills, and what must stay free of the solids of others. `where` are the places of its reference
    point, a union of convex pieces. `top` is what it offers to carry others: x0, y0, x1, y1, z, or None. `mass` kg,
    with `weigh` = (x, y, z) of its middle from the reference point. `holds` is how many equal things it is. `worth` are
    measures that the form alone decides, by wish. `foot` is the height, mm, that it stands at where it is carried by
    what `needs` names: a stand, and the key of the form of which it uses the top.
    """

    name: str
    key: str
    solids: Mapping[str, tuple[Box, ...]]
    zones: Mapping[str, tuple[Box, ...]] = field(default_factory=dict)
    where: tuple[Piece, ...] = ()
    top: tuple[float, float, float, float, float] | None = None
    mass: float = 0.0
    weigh: tuple[float, float, float] = (0.0, 0.0, 0.0)
    holds: int = 1
    worth: Mapping[str, float] = field(default_factory=dict)
    foot: float | None = None
    needs: tuple[str, str] | None = None

    def outer(self, state: str) -> Box:
        """Return the box round all solids in the state, or in any where it has none there."""
        boxes = self.solids.get(state) or next(iter(b for b in self.solids.values() if b))
        low = [min(b[i] for b in boxes) for i in range(3)]
        high = [max(b[i + 3] for b in boxes) for i in range(3)]
        return (low[0], low[1], low[2], high[0], high[1], high[2])


@dataclass(frozen=True, kw_only=True, slots=True)
class Stand:
    """Something to be given a place: one thing with what rides on it, or a column of equal ones.

    `states` are those in which it stands there; in those of `may_leave` it may be outside. `absent` tells that it need
    not be used at all, as a column of bins that other columns hold. `alike` names the stands that it may change places
    with; `group` the things that the columns share. `fixed` is its reference point where it does not move. `loose` is
    what comes out, `by_hand` what people move by hand out of the way of others.
    """

    name: str
    group: str
    forms: tuple[Form, ...]
    states: tuple[str, ...]
    may_leave: tuple[str, ...] = ()
    absent: bool = False
    unit: str = ""
    alike: str = ""
    fixed: tuple[float, float] | None = None
    loose: bool = False
    by_hand: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """What the search says of a stand: which form, at which reference point, mm; None: not used."""

    stand: str
    form: Form | None
    at: tuple[float, float] = (0.0, 0.0)
    left_in: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class DoorWay:
    """A door through which people come in: `touch` is where its step in is, x0, y0, x1, y1, mm; `along` is x or y.

    A corridor that begins at the door reaches over `touch` by its whole width along the door.
    """

    name: str
    touch: tuple[float, float, float, float]
    along: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Walk:
    """Ways for people in one state: from one of the doors to each goal, over floor free between two heights.

    `rooms` are convex pieces in which a corridor may lie, `goals` the stands to get at (with the number of the box
    that counts), each within `near` mm of a corridor; or `straight` behind one of the doors. `least` mm is the width
    that must be, `best` mm more than which nobody wants. `way_in` are the stands that keep a door free, of which one is
    used unless a goal is straight behind a door. A way is a chain of at most so many `rectangles`.
    """

    state: str
    doors: tuple[DoorWay, ...]
    rooms: tuple[Piece, ...]
    goals: tuple[tuple[str, Box | None], ...]
    heights: tuple[float, float]
    least: float
    best: float
    near: float
    straight: float
    way_in: tuple[str, ...] = ()
    rectangles: int = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Pull:
    """That a stand, or what it holds, comes out in a state, after at most `past` other things (None: any number).

    `doors` are side (rear, left or right), from where to where the opening reaches, and where its wall is, mm. `boxes`
    is what comes out by form key, and `ways` the sides to which it may: none where the stand itself comes out, to any.
    `by_hand`: it is moved by hand past bins, as a bicycle is, but not past another that is moved by hand.
    """

    stand: str
    state: str
    doors: tuple[tuple[str, float, float, float], ...]
    past: int | None
    boxes: Mapping[str, Box] = field(default_factory=dict)
    ways: Mapping[str, frozenset[str]] = field(default_factory=dict)
    by_hand: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """A wish with its weight, and between what: stands, or a stand and a point of the plan."""

    kind: str
    weight: int
    stands: tuple[str, ...] = ()
    points: tuple[tuple[float, float, float, float], ...] = ()
    share: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Problem:
    """All that one search is asked. `totals`: how many of each group its columns hold together.

    `one_of`: of each of these sets of stands at least one is used. `gap` is what a loose thing keeps to all others, mm.
    `length` and `height` of the room, mm, are what distances are measured by. `linked` are stands of one unit in two
    states, which differ where it is moved. `soft`: columns may hold fewer than there are.
    """

    stands: tuple[Stand, ...]
    states: tuple[str, ...]
    totals: Mapping[str, int] = field(default_factory=dict)
    one_of: tuple[tuple[str, ...], ...] = ()
    walks: tuple[Walk, ...] = ()
    pulls: tuple[Pull, ...] = ()
    wishes: tuple[Wish, ...] = ()
    gap: float = 0.0
    length: float = 3000.0
    height: float = 2000.0
    linked: tuple[tuple[str, str], ...] = ()
    soft: bool = False

    def __post_init__(self) -> None:
        """Refuse two stands of one name: each is known by it."""
        names = [stand.name for stand in self.stands]
        assert len(set(names)) == len(names), sorted(n for n in names if names.count(n) > 1)
