"""How much lower a bed must be to give the headroom that is wanted, and whether it can."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from layout.checks.bodies import bodies_of
from layout.checks.context import Context
from layout.checks.moves import Scene, is_free, scenes, shifted, with_riders
from layout.checks.stack import Overhead, heads, layers, named_solids, overhead
from layout.checks.under_bed import Beneath, beneath
from layout.model.cure import Cure
from layout.model.layout import Placed
from layout.space.space import TOUCH

Told = tuple[str, Cure | None]


@dataclass(frozen=True, kw_only=True)
class _Lowering:
    """The mattress `placed` among `things` brought `by` mm lower, to have `wanted` mm above it."""

    context: Context
    things: Sequence[Placed]
    placed: Placed
    under: Beneath
    by: float
    wanted: float

    def works(self, *, left_out: Sequence[Placed] = (), along: Sequence[Placed] = ()) -> bool:
        """Return whether the bed, so much lower, is free and gives what is wanted, in every state in which it lies so.

        `along` comes down with it; what is `left_out` is taken as built anew.
        """
        bed, shift = shifted(self.placed, (0.0, 0.0, -self.by)), (0.0, 0.0, -self.by)
        tried = [_scene(scene, left_out, along) for scene in scenes(self.context, self.things, self.placed)]
        if not is_free(self.context, tried, shift):
            return False
        place, top = heads(self.context, bed), bed.box.z1
        return all(overhead(self.context, s.still, place, top).z - top >= self.wanted - TOUCH for s in tried)

    def hanging(self) -> tuple[Placed, ...]:
        """Return the bed, all that carries it, and all that stands on any of them; nothing if that stands too low."""
        if any(p.box.z0 < self.by - TOUCH for p in self.under.carriers):
            return ()
        moved = [rider for one in (self.placed, *self.under.carriers) for rider in with_riders(one, self.things)]
        return tuple({p.name: p for p in moved}.values())


def _scene(scene: Scene, left_out: Sequence[Placed], along: Sequence[Placed]) -> Scene:
    group = {p.name: p for p in (*scene.group, *along)}
    names = {p.name for p in left_out} - group.keys()
    bodies = bodies_of([p for p in scene.bodies.things if p.name not in names]) if names else scene.bodies
    return Scene(group=tuple(group.values()), bodies=bodies)


def lower(context: Context, things: Sequence[Placed], placed: Placed, over: Overhead, wanted: Sequence[float]) -> Told:
    """Return the deck height that gives the first of the heights `wanted` above the mattress that any deck gives.

    As numbers only where the bed hangs free, so that it can be lowered as it is; one that stands on the floor is built
    anew, which no shift can say. Where no deck gives any of them, that is said.
    """
    tried = (_tried(context, things, placed, over, one) for one in wanted)
    return next((told for told in tried if told is not None), (_hopeless(context, placed, over, wanted[-1]), None))


def _tried(context: Context, things: Sequence[Placed], placed: Placed, over: Overhead, wanted: float) -> Told | None:
    foot, by = placed.box.z0, context.up(wanted - (over.z - placed.box.z1))
    if by > foot + TOUCH:
        return None
    under = beneath(things, placed)
    lowering = _Lowering(context=context, things=things, placed=placed, under=under, by=by, wanted=wanted)
    group = lowering.hanging()
    if group and lowering.works(along=group):
        names = " and ".join(p.name for p in group)
        cure = Cure(things=tuple(p.name for p in group), shift=(0.0, 0.0, -by))
        return f"bring {names} {context.say(by)} lower, to {context.say(foot - by)}", cure
    if not lowering.works(left_out=(*under.carriers, *under.stowed)):
        return None
    deck = f"a deck at {context.say(foot - by)}, {context.say(by)} lower, gives {context.say(wanted)}"
    return f"{deck}{_stowed(lowering)}", None


def _hopeless(context: Context, placed: Placed, over: Overhead, wanted: float) -> str:
    """Say why no deck height gives what is wanted."""
    if placed.box.z0 <= TOUCH:
        return (
            f"no deck height gives {context.say(wanted)}: the bed lies on the floor already; "
            "lay it elsewhere, or a thinner one"
        )
    left = over.z - (placed.box.z1 - placed.box.z0)
    if left < wanted - TOUCH:
        on_floor = f"on the floor itself {context.say(context.down(left))} would be left at most"
        return f"no deck height gives {context.say(wanted)}: {on_floor}"
    by = context.say(context.up(wanted - (over.z - placed.box.z1)))
    return f"{by} more wanted, and it cannot lie so much lower here; lay the bed elsewhere"


def _stowed(lowering: _Lowering) -> str:
    """Say what, made as it is, the bed cannot come down over: what carries it, and what is stowed under it."""
    say, under = lowering.context.say, lowering.under
    # A platform is built to its height, a shelf is hung lower; what is bought and stands on the floor is as it is.
    bought = _names(p for p in under.carriers if not p.thing.panels and p.box.z0 < lowering.by - TOUCH)
    carry = f"; what carries it ({bought}) is so much too high" if bought else ""
    if not under.stowed:
        return carry
    solids = named_solids(p for p in lowering.things if p is not lowering.placed)
    stack = layers(solids, under.at, 0.0, lowering.placed.box.z0)
    air = max((layer.z1 - layer.z0 for layer in stack if layer.name == "free"), default=0.0)
    if air >= lowering.by - TOUCH:
        return f"{carry}; the air over {_names(under.stowed)} is enough for it"
    less = say(lowering.context.up(lowering.by - air))
    return f"{carry}; {_names(under.stowed)} under it would have to be {less} lower"


def _names(things: Iterable[Placed]) -> str:
    return ", ".join(dict.fromkeys(p.thing.group for p in things))
