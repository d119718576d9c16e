"""What every check is given, and the small questions that several of them ask."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil, floor

from shapely.geometry import Polygon

from layout.checks.bodies import Bodies, bodies_of
from layout.model.finding import Finding
from layout.model.layout import Layout, Placed
from layout.model.rule import Rule
from layout.model.solid import Solid
from layout.space.holding import is_square
from layout.space.space import TOUCH, Space
from layout.units.length import Unit, format_length


@dataclass(frozen=True, kw_only=True)
class Context:
    """The room, the layout, the rules in force, the units to speak."""

    space: Space
    layout: Layout
    rules: Mapping[str, Rule]
    units: Unit = "mm"
    # Worked out once for all rules; derived from the rest, so no part of what the context is.
    _bodies: dict[str, Bodies] = field(default_factory=dict, init=False, repr=False, compare=False)

    def bodies(self, state: str) -> Bodies:
        """Return all solids that stand in the state."""
        if state not in self._bodies:
            self._bodies[state] = bodies_of(self.layout.placed[state])
        return self._bodies[state]

    @property
    def grain(self) -> float:
        """Return the finest length that is said, mm: a tenth of a millimetre, or 1/16 in."""
        return 25.4 / 16 if self.units in ("in", "ft") else 0.1

    def say(self, mm: float) -> str:
        """Return a length in the units of the project, with its unit; never nought for what is more."""
        said = mm if mm <= 0 else max(mm, self.grain)
        return format_length(round(said, 1) if self.grain < 1 else said, self.units, unit_sign=True)

    def up(self, mm: float) -> float:
        """Return `mm` rounded up to what can be said, so that doing what is said is enough."""
        return ceil(round(mm / self.grain, 6)) * self.grain

    def down(self, mm: float) -> float:
        """Return `mm` rounded down to what can be said, so that what is said to fit fits."""
        return floor(round(mm / self.grain, 6)) * self.grain

    @property
    def states(self) -> tuple[tuple[str, tuple[Placed, ...]], ...]:
        """Return each state with what stands in it."""
        return tuple(self.layout.placed.items())


Check = Callable[[Context], Iterator[Finding]]


def by_places(
    context: Context, judge: Callable[[str, tuple[Placed, ...]], Iterable[Finding]], states: Iterable[str] | None = None
) -> Iterator[Finding]:
    """Yield what `judge` says of each of `states` (None: of all); it is asked once for those with all things alike."""
    known: list[tuple[tuple[Placed, ...], tuple[Finding, ...]]] = []
    for state, things in context.states:
        if states is not None and state not in states:
            continue
        found = next((findings for other, findings in known if other == things), None)
        if found is None:
            found = tuple(judge(state, things))
            known.append((things, found))
        yield from (replace(finding, states=(state,)) for finding in found)


def shared_box(a: Solid, b: Solid) -> tuple[float, float, float] | None:
    """Return how far two solids reach into each other along x, y and z, mm; None if they do not."""
    dz = min(a.z1, b.z1) - max(a.z0, b.z0)
    ax0, ay0, ax1, ay1 = a.bounds
    bx0, by0, bx1, by1 = b.bounds
    dx, dy = min(ax1, bx1) - max(ax0, bx0), min(ay1, by1) - max(ay0, by0)
    if min(dx, dy, dz) <= TOUCH:
        return None
    if is_square(a) and is_square(b):
        return dx, dy, dz
    return _shared_outline(a, b, dz)


def _shared_outline(a: Solid, b: Solid, dz: float) -> tuple[float, float, float] | None:
    common = Polygon(a.outline).intersection(Polygon(b.outline))
    if common.is_empty or common.area <= TOUCH:
        return None
    x0, y0, x1, y1 = common.bounds
    return (x1 - x0, y1 - y0, dz) if min(x1 - x0, y1 - y0) > TOUCH else None


def meets(solids: Iterable[Solid], others: Sequence[Solid]) -> bool:
    """Return whether any of `solids` reaches into any of `others`."""
    return any(shared_box(a, b) is not None for a in solids for b in others)


def merged(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return the findings with those that are alike in several states made one, in the order first seen."""
    seen: dict[Finding, tuple[str, ...]] = {}
    for finding in findings:
        key = replace(finding, states=())
        seen[key] = tuple(dict.fromkeys((*seen.get(key, ()), *finding.states)))
    return tuple(replace(finding, states=states) for finding, states in seen.items())
