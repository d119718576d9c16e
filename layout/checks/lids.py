"""Rule ``lids``: what opens upward can, and what must come off first is told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor

from layout.checks.context import Context
from layout.checks.motions.cure import Trouble, shortest_move
from layout.checks.motions.moving import Moving
from layout.checks.motions.stage import Hit, Stage
from layout.checks.motions.stop import Stop, of_full, stopped
from layout.checks.moves import with_riders
from layout.checks.sweep import rehung_at
from layout.model.cure import Cure
from layout.model.finding import Finding, Severity
from layout.model.layout import Placed
from layout.model.solid import Solid, outer_box

RULE = "lids"


@dataclass(frozen=True, kw_only=True, slots=True)
class _Lid:
    """A lid in a state: how far it opens (degrees, or mm that it lifts), what it sweeps, what is in its way."""

    part: Moving
    owner: Placed
    state: str
    full: float
    swept: tuple[Solid, ...]
    hits: tuple[Hit, ...]

    @property
    def fixed(self) -> tuple[Hit, ...]:
        """Return what is in its way and stays where it stands."""
        return tuple(hit for hit in self.hits if not _comes_off(hit[0]))


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each lid that is stopped by what stays, and what must be lifted off others first."""
    stage = Stage(context)
    for state, _ in context.states:
        under: dict[tuple[object, ...], list[_Lid]] = {}
        for part in stage.moving(state):
            if part.motion.lifted and part.placed is not None:
                lid = _lid(stage, state, part, part.placed)
                stopped_by = _stopped(stage, lid)
                yield from stopped_by
                above = [] if stopped_by else _above(stage, lid)
                if above:
                    key = (lid.owner.thing.group, part.motion.name, lid.owner.thing.reach, *(p.name for p in above))
                    under.setdefault(key, []).append(lid)
        for lids in under.values():
            yield _under(stage, lids)


def _lid(stage: Stage, state: str, part: Moving, owner: Placed) -> _Lid:
    full = part.full or stage.context.rules[RULE]["lift"]
    swept = part.swept_at(full)
    hits = tuple(stage.hits(state, swept, part.owners))
    return _Lid(part=part, owner=owner, state=state, full=full, swept=swept, hits=hits)


def _comes_off(placed: Placed) -> bool:
    return placed.thing.take_out is not None or bool(placed.thing.sleeps) or placed.thing.kind == "mattress"


def _stopped(stage: Stage, lid: _Lid) -> list[Finding]:
    """Return the failing finding for a lid that something stops which stays."""
    stop = stopped(lid.part.swept_at, (lid.full, lid.part.degrees), lid.fixed, stage.room(lid.state))
    if stop is None:
        return []
    how = of_full(stage.context, stop.free, stop.full, degrees=lid.part.degrees)
    text = f"{lid.part.label} {'opens to' if lid.part.degrees else 'lifts'} {how}; {stop.who} is in the way"
    names = dict.fromkeys([lid.owner.name, *stop.things, *(placed.name for placed, _ in stop.hits)])
    mm, (cure, does) = not lid.part.degrees, _cure(stage, lid, stop)
    return [
        Finding(
            rule=RULE, severity="fail", things=tuple(names), states=(lid.state,), text=text,
            where=outer_box(lid.swept), measured=stop.gap if mm else None, wanted=round(stop.full, 3) if mm else None,
            short_by=stop.short if mm else None, cure=cure, does=does,
        )
    ]  # fmt: skip


def _cure(stage: Stage, lid: _Lid, stop: Stop) -> tuple[str, Cure | None]:
    """Return the shortest move, else another hinge, else a lid that lifts off, each only where it helps."""
    trouble = Trouble(
        state=lid.state, solids=lid.swept, owner=lid.owner, owners=lid.part.owners, hits=lid.fixed,
        room=stage.room(lid.state), blocked=stop.blocked,
    )  # fmt: skip
    move = shortest_move(stage, trouble)
    if move:
        return move
    hinge = rehung_at(stage, lid.state, lid.part)
    if hinge:
        return f"hang it on its other edge, {hinge}: there it opens all the way", None
    lift = stage.context.rules[RULE]["lift"]
    if lid.part.degrees and _lifts_off(stage, lid, lift):
        return f"make it a lid that lifts off: the {stage.context.say(lift)} for that are free", None
    if lid.owner.thing.take_out:
        return f"no move of one thing helps; take {lid.owner.name} out to open it, and give it no lid that moves", None
    if lid.part.degrees and stop.free >= 1:
        return f"no move of one thing helps; let it open to {floor(stop.free)} degrees, or get in from a side", None
    return "no move of one thing along one axis helps; get in from a side, or set it elsewhere", None


def _lifts_off(stage: Stage, lid: _Lid, lift: float) -> bool:
    """Return whether the room above the thing is free for a top that lifts off."""
    whole = lid.owner.box
    raised = Solid(name=lid.owner.name, outline=whole.outline, z0=whole.z1, z1=whole.z1 + lift)
    return not stage.hits(lid.state, [raised], lid.part.owners) and not stage.room(lid.state).blocks(raised)


def _above(stage: Stage, lid: _Lid) -> list[Placed]:
    """Return what must come off first: all that is in the lid's way, and what stands on that."""
    return _with_all_on(lid.hits, stage.context.layout.placed[lid.state], lid.part.owners)


def _under(stage: Stage, lids: Sequence[_Lid]) -> Finding:
    """Return what must be lifted off the lids of equal things, the same for all."""
    first, above = lids[0], _above(stage, lids[0])
    names, owners = [p.name for p in above], [lid.owner.name for lid in lids]
    stuck = [p.name for p in above if not _comes_off(p)]
    count = f"{len(names)} things" if len(names) > 1 else "1 thing"
    opens = f"{first.part.motion.name} of {_listed(owners)} {'opens' if len(owners) == 1 else 'open'}"
    text = f"before the {opens}, {_listed(names)} must be lifted off ({count})"
    if stuck:
        text += f", but {_listed(stuck)} {'stay' if len(stuck) > 1 else 'stays'} in place"
    daily = first.owner.thing.reach == "daily"
    severity: Severity = "fail" if stuck else "warn" if daily else "note"
    cure = "what is wanted daily lies better where nothing is above it" if daily else ""
    return Finding(
        rule=RULE, severity=severity, things=(*owners, *names), states=(first.state,), text=text,
        cure="keep it clear above" if stuck else cure, where=outer_box(first.swept),
    )  # fmt: skip


def _with_all_on(hits: Sequence[Hit], things: Sequence[Placed], but: Sequence[str]) -> list[Placed]:
    """Return the things of the hits with all that stands on them, in the order to take them off: from the top."""
    found: dict[str, Placed] = {}
    for placed, _ in hits:
        found |= {p.name: p for p in with_riders(placed, things) if p.name not in but}
    return sorted(found.values(), key=lambda p: (-p.box.z0, p.name))


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
