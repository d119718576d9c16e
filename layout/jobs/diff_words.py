"""The difference between two projects in words, and as plain values for programs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from layout.building.changes import Change, Move, sizes
from layout.building.reuse import Again, StickAgain
from layout.building.wood import Wood
from layout.jobs import cut
from layout.jobs.book import currency_of
from layout.jobs.building_tables import what_is
from layout.jobs.cut_lengths import lengths_words
from layout.jobs.diff import Cutting, Diff
from layout.model.cutting import CutPlan
from layout.model.thing import Thing
from layout.units.length import drawn_unit, format_length
from layout.units.mass import format_mass

_AXES = (("forward", "to the rear"), ("to the left", "to the right"), ("up", "down"))
CARE = (
    "before you saw old panels: take out every screw, and look at glue, screw holes and edges; what comes off a glued "
    "joint is often a little smaller than it was"
)


def report(made: Diff) -> str:
    """Return what changes, what is used again, what is bought and what it costs, as text for people."""
    lines = [f"{made.old.project.said.title} → {made.new.project.said.title}"]
    for heading, found in (
        ("added", [_thing(made, thing) for thing in made.changes.added]),
        ("removed", [_thing(made, thing) for thing in made.changes.removed]),
        ("made differently", [_change(made, change) for change in made.changes.changed]),
        ("moved", [_move(made, move) for move in made.changes.moved]),
        ("states", list(_states(made))),
        ("panels and battens used again", again_lines(made)),
        ("still to cut", to_cut_lines(made)),
        ("left over, worth keeping", left_lines(made)),
        ("hardware to buy", [f"{count} × {_item(item)}" for item, count in made.hardware if count > 0]),
        ("hardware left over", [f"{-count} × {_item(item)}" for item, count in made.hardware if count < 0]),
    ):
        lines += ["", heading, *(f"  {line}" for line in found)] if found else []
    if made.changes.none:
        lines += ["", "nothing is otherwise"]
    return "\n".join([*lines, "", *_end(made)]) + "\n"


def _item(item: str) -> str:
    return f"{item} ({what_is(item)})"


def _end(made: Diff) -> Iterator[str]:
    if made.reuse.panels or made.reuse.sticks or made.offcuts.stocks:
        yield CARE
    if made.offcuts.unknown:
        yield f"their grain is not known, so nothing is laid on them: {', '.join(made.offcuts.unknown)}"
    if made.cutting is None or made.all_new is None:
        yield "the new plan fails a check, so nothing is cut; run layout check, or say --anyway"
        return
    yield from cutting_words(made, timed=False).splitlines()
    saved = made.all_new.cost - made.cutting.cost
    yield (
        f"sheets and bars: {_money(made, made.cutting.cost)}; all new they would be {_money(made, made.all_new.cost)}, "
        f"so {_money(made, saved)} saved"
    )


def cutting_words(made: Diff, *, timed: bool) -> str:
    """Return what is bought of sheets and bars, and whether less could do."""
    cutting = made.cutting or Cutting()
    sheets = cut.summary(cutting.sheets, currency_of(made.new), timed=timed) if cutting.sheets else ""
    return sheets + (lengths_words(cutting.bars) if cutting.bars else "")


def _money(made: Diff, cost: float) -> str:
    return f"{cost:.2f} {currency_of(made.new)}".rstrip()


def _say(made: Diff, mm: float) -> str:
    return format_length(round(mm, 1), made.new.project.said.units, unit_sign=True)


def _size(made: Diff, *mm: float) -> str:
    units = drawn_unit(made.new.project.said.units)
    return " × ".join(format_length(size, units, denominator=64) for size in mm)


def _thing(made: Diff, thing: Thing) -> str:
    mass = format_mass(thing.mass_kg, made.new.project.said.units)
    return f"{thing.name}: {thing.kind}, {_size(made, *sizes(thing))}, {mass}"


def _change(made: Diff, change: Change) -> str:
    return f"{change.name}: {', '.join(_differences(made, change.old, change.new)) or 'other pieces or joints'}"


def _differences(made: Diff, old: Thing, new: Thing) -> Iterator[str]:
    units = made.new.project.said.units
    pairs = (
        (old.kind, new.kind),
        (_size(made, *sizes(old)), _size(made, *sizes(new))),
        (format_mass(old.mass_kg, units), format_mass(new.mass_kg, units)),
        (_panels(old), _panels(new)),
    )
    yield from (f"{before} → {after}" for before, after in pairs if before != after)


def _panels(thing: Thing) -> str:
    return f"{len(thing.panels) + len(thing.battens)} pieces"


def _move(made: Diff, move: Move) -> str:
    ways = [
        f"{_say(made, abs(by))} {_AXES[axis][0] if by > 0 else _AXES[axis][1]}"
        for axis, by in enumerate(move.shift)
        if by
    ]
    turn = [f"turned by {move.turn_deg:g} degrees"] if move.turn_deg else []
    said = ", ".join([*ways, *turn]) if move.way == "moves" else move.way
    return f"{move.name}: {said} [{', '.join(move.states)}]"


def _states(made: Diff) -> Iterator[str]:
    yield from (f"{state} is new" for state in made.changes.states_added)
    yield from (f"{state} is gone" for state in made.changes.states_removed)


def again_lines(made: Diff) -> list[str]:
    """Return a line for each way in which panels and battens are used again, equal ones together."""
    panels = (_again(made, again) for again in made.reuse.panels)
    return _counted([*panels, *(_stick(made, stick) for stick in made.reuse.sticks)])


def _again(made: Diff, again: Again) -> str:
    new, old = again.new, again.old
    was = _size(made, old.panel.length, old.panel.width)
    becomes = f"{new.group} {new.name} {_size(made, *new.sawn)}"
    turned = ", its length across" if again.turned else ""
    return f"{becomes} from {old.group} {old.name} {was} of {new.panel.sheet.material}: {again.how}{turned}"


def _stick(made: Diff, again: StickAgain) -> str:
    new, old = again.new, again.old
    lengths = _size(made, new.batten.length), _size(made, old.batten.length)
    bar = new.batten.bar.material
    return f"{new.group} {new.name} {lengths[0]} from {old.group} {old.name} {lengths[1]} of {bar}: {again.how}"


def to_cut_lines(made: Diff) -> list[str]:
    """Return a line for each size of panel and batten that is still to be cut."""
    panels = (_part(made, wood) for wood in made.reuse.to_cut)
    battens = (
        f"{stick.group} {stick.name} {_size(made, stick.batten.length)} of {stick.batten.bar.material}"
        for stick in made.reuse.sticks_to_cut
    )
    return _counted([*panels, *battens])


def _part(made: Diff, wood: Wood) -> str:
    grain = "" if wood.panel.grain == "free" else f", grain {wood.panel.grain}"
    return f"{wood.group} {wood.name} {_size(made, *wood.sawn)} of {wood.panel.sheet.material}{grain}"


def left_lines(made: Diff) -> list[str]:
    """Return a line for each piece that is left and worth keeping."""
    sheets = [f"{stock.count} × {stock.name} of {stock.material}" for stock in made.offcuts.stocks]
    return [*sheets, *(f"{bar.count} × {bar.name} of {bar.material}" for bar in made.offcuts.bars)]


def _counted(lines: Iterable[str]) -> list[str]:
    return [f"{count} × {line}" for line, count in Counter(lines).items()]


def as_json(made: Diff) -> dict[str, Any]:
    """Return the difference for programs: lengths in mm, masses in kg, prices in the new plan's currency."""
    return {
        "old": made.old.project.said.title,
        "new": made.new.project.said.title,
        "fails": made.new.fails,
        **_changes_json(made),
        **_reuse_json(made),
        **_left_json(made),
        "hardware_to_buy": {item: count for item, count in made.hardware if count > 0},
        "hardware_left": {item: -count for item, count in made.hardware if count < 0},
        "missing": made.missing,
        "cost": _cost_json(made),
    }


def _changes_json(made: Diff) -> dict[str, Any]:
    found = made.changes
    moved = [
        {"name": m.name, "states": m.states, "way": m.way, "shift": m.shift, "turn_deg": m.turn_deg}
        for m in found.moved
    ]
    return {
        "added": [_thing_json(thing) for thing in found.added],
        "removed": [_thing_json(thing) for thing in found.removed],
        "changed": [{"name": c.name, "old": _thing_json(c.old), "new": _thing_json(c.new)} for c in found.changed],
        "moved": moved,
        "states_added": found.states_added,
        "states_removed": found.states_removed,
    }


def _reuse_json(made: Diff) -> dict[str, Any]:
    battens = [
        {"unit": s.unit, "batten": s.name, "material": s.batten.bar.material, "length": round(s.batten.length, 3)}
        for s in made.reuse.sticks_to_cut
    ]
    return {
        "stays": made.reuse.stays,
        "reused": [_again_json(again) for again in made.reuse.panels],
        "reused_battens": [_stick_json(stick) for stick in made.reuse.sticks],
        "to_cut": [_wood_json(wood) for wood in made.reuse.to_cut],
        "battens_to_cut": battens,
    }


def _left_json(made: Diff) -> dict[str, Any]:
    sheets = [
        {"name": s.name, "material": s.material, "length": s.length, "width": s.width, "count": s.count}
        for s in made.offcuts.stocks
    ]
    bars = [{"name": b.name, "material": b.material, "length": b.length, "count": b.count} for b in made.offcuts.bars]
    return {"left": sheets, "bars_left": bars, "grain_unknown": made.offcuts.unknown}


def _cost_json(made: Diff) -> dict[str, Any] | None:
    if made.cutting is None or made.all_new is None:
        return None
    sheets = {"all_new": _sheets(made.all_new.sheets), "with_reuse": _sheets(made.cutting.sheets)}
    return {"all_new": made.all_new.cost, "with_reuse": made.cutting.cost, "sheets_bought": sheets}


def _sheets(plan: CutPlan | None) -> int:
    materials = plan.materials if plan else ()
    return sum(not sheet.stock.offcut for material in materials for sheet in material.sheets)


def _thing_json(thing: Thing) -> dict[str, Any]:
    return {
        "name": thing.name, "kind": thing.kind, "size": [round(mm, 3) for mm in sizes(thing)],
        "mass_kg": round(thing.mass_kg, 3), "pieces": len(thing.panels) + len(thing.battens),
    }  # fmt: skip


def _wood_json(wood: Wood) -> dict[str, Any]:
    length, width = wood.sawn
    return {
        "unit": wood.unit, "panel": wood.name, "material": wood.panel.sheet.material, "length": round(length, 3),
        "width": round(width, 3), "grain": wood.panel.grain,
    }  # fmt: skip


def _again_json(again: Again) -> dict[str, Any]:
    old = again.old
    was = {
        "unit": old.unit, "panel": old.name, "length": round(old.panel.length, 3), "width": round(old.panel.width, 3),
        "grain": old.panel.grain,
    }  # fmt: skip
    return {"new": _wood_json(again.new), "old": was, "how": again.how, "turned": again.turned}


def _stick_json(again: StickAgain) -> dict[str, Any]:
    sides: Sequence[tuple[str, Any]] = (("new", again.new), ("old", again.old))
    told = {
        key: {"unit": stick.unit, "batten": stick.name, "length": round(stick.batten.length, 3)} for key, stick in sides
    }
    return {**told, "material": again.new.batten.bar.material, "how": again.how}
