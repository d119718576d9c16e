"""What must come out, and how: bins and bicycles, and what stands in a rack or a bench."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from layout.arrange.ask import Ask
from layout.arrange.boxes import box_of
from layout.arrange.forms import Way
from layout.arrange.problem import Box, Pull, Stand
from layout.checks.context import shared_box
from layout.model.layout import Placed
from layout.model.solid import Solid, box
from layout.model.thing import Thing
from layout.space.parts import Door

#: What people move by hand: it is wheeled, tilted or folded up, and no bin.
BY_HAND = ("bicycle", "wheel", "mattress")
_AWAY = ("drive", "sleep")  # states in which nobody fetches things, as in the rule reach
_FAR = 10_000.0
_OFTEN = ("daily", "weekly")


def pulls_of(ask: Ask, stands: Sequence[Stand], ways: Mapping[tuple[str, str], Way]) -> Iterator[Pull]:
    """Yield what is wanted often, by day, as the rule reach counts it; all else comes out past loose things."""
    if not ask.space.doors:
        return
    for stand in (s for s in stands if s.forms):
        things = _things(ask, stand, ways)
        if stand.loose or (len(things) == 1 and things[0].kind == "bicycle"):
            yield from _of_stand(ask, stand, things[0])
        else:
            yield from _of_riders(ask, stand, ways)


def _things(ask: Ask, stand: Stand, ways: Mapping[tuple[str, str], Way]) -> list[Thing]:
    if not stand.forms:
        return [t for t in ask.things if stand.unit in (t.name, t.group)]
    placed = ways[stand.name, stand.forms[0].key].layout.placed
    return list({p.name: p.thing for things in placed.values() for p in things}.values())


def _of_stand(ask: Ask, stand: Stand, thing: Thing) -> Iterator[Pull]:
    if thing.kind in BY_HAND and thing.kind != "bicycle":
        return
    for state in _states(ask, stand, thing.reach):
        yield Pull(
            stand=stand.name, state=state, doors=_exits(ask, thing), past=_past(ask, thing.reach),
            by_hand=thing.kind == "bicycle",
        )  # fmt: skip


def _of_riders(ask: Ask, stand: Stand, ways: Mapping[tuple[str, str], Way]) -> Iterator[Pull]:
    """Yield one pull for all that comes out of what the stand holds: to the sides to which all of it may."""
    if not stand.forms:
        return
    state = _states(ask, stand, None)[0]
    by_form = {form.key: ways[stand.name, form.key].layout.placed.get(state, ()) for form in stand.forms}
    out = {key: [p for p in things if _comes_out(p)] for key, things in by_form.items()}
    riders = next(iter(out.values()))
    if not riders or not all(out.values()):
        return
    wanted = {p.thing.reach for p in riders}
    reach = next((word for word in _OFTEN if word in wanted), None)
    boxes = {key: _around([box_of(p.box) for p in things]) for key, things in out.items()}
    sides = {key: _sides(by_form[key], out[key]) for key in out}
    if all(sides.values()):
        for each in _states(ask, stand, reach):
            yield Pull(
                stand=stand.name, state=each, doors=_exits(ask, riders[0].thing), past=_past(ask, reach), boxes=boxes,
                ways=sides,
            )  # fmt: skip


def _comes_out(placed: Placed) -> bool:
    return placed.thing.take_out is not None and placed.thing.kind not in BY_HAND


def _sides(things: Sequence[Placed], out: Sequence[Placed]) -> frozenset[str]:
    """Return the sides to which all that comes out may be drawn, past what stays of its own stand."""
    stays = [s for p in things if not _comes_out(p) for s in p.solids]
    return frozenset(
        side for side in ("rear", "front", "left", "right")
        if not any(shared_box(_drawn(p.box, side), s) for p in out for s in stays)
    )  # fmt: skip


def _drawn(body: Solid, side: str) -> Solid:
    """Return what a box passes through on its way far out to a side."""
    x0, y0, x1, y1 = body.bounds
    x = {"rear": (x0 - _FAR, x1), "front": (x0, x1 + _FAR)}.get(side, (x0, x1))
    y = {"right": (y0 - _FAR, y1), "left": (y0, y1 + _FAR)}.get(side, (y0, y1))
    return box("", x, y, (body.z0, body.z1))


def _states(ask: Ask, stand: Stand, reach: str | None) -> list[str]:
    """Return the states in which it counts: by day for what is wanted often, else one in which people walk."""
    awake = [s for s in ask.states if s != "drive"]
    by_day = [s for s in awake if s not in _AWAY] or awake
    mine = [s for s in by_day if s in stand.states]
    if reach in _OFTEN:
        return mine
    return [*mine, *stand.states][:1]


def _past(ask: Ask, reach: str | None) -> int | None:
    return int(ask.rules["reach"][str(reach)]) if reach in _OFTEN else None


def _exits(ask: Ask, thing: Thing) -> tuple[tuple[str, float, float, float], ...]:
    return tuple(_exit(ask, d) for d in ask.space.doors if not thing.doors or d.name in thing.doors)


def _exit(ask: Ask, door: Door) -> tuple[str, float, float, float]:
    x0, y0, _, y1 = ask.space.bounds
    return (door.side, door.low, door.high, {"rear": x0, "left": y1, "right": y0}[door.side])


def _around(boxes: Sequence[Box]) -> Box:
    low = [min(b[i] for b in boxes) for i in range(3)]
    high = [max(b[i + 3] for b in boxes) for i in range(3)]
    return (low[0], low[1], low[2], high[0], high[1], high[2])
