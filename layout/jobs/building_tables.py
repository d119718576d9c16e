"""The lists of building: units, steps, joints, hardware, and what is to be paid."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.building.fixings import Fixing, joint_fixings
from layout.building.order import runs
from layout.cutting.lengths.words import summary
from layout.cutting.listing import Row, Table
from layout.jobs.built import Building
from layout.jobs.cut_lengths import lengths_missing
from layout.jobs.hardware import what_is as what_is  # noqa: PLC0414 (others take it from here)
from layout.model.building import Hardware
from layout.model.cutting import CutPlan
from layout.model.thing import Thing
from layout.units.length import drawn_unit, format_length
from layout.units.mass import format_mass

_TO_BODY = ("insert-m8-body", "strap-ratchet")
_WAY_IN = "way-in"


def units_table(made: Building) -> Table:
    """Return what is built: mass empty, who lifts it, what holds it to the body, whether it goes in whole."""
    header = ("unit", "count", "panels", "battens", "mass empty", "lifted by", "held to the body by", "way in")
    return header, tuple(_unit(made, name, units) for name, units in made.groups.items())


def _unit(made: Building, name: str, units: Sequence[Thing]) -> Row:
    thing = units[0]
    mass = empty_kg(thing)
    said = format_mass(mass, made.plan.project.said.units)
    return (
        name, len(units), len(thing.panels), len(thing.battens), said, _lifted(made, mass), _held(units),
        "; ".join(dict.fromkeys(_way_in(made, unit) for unit in units)),
    )  # fmt: skip


def empty_kg(thing: Thing) -> float:
    """Return what the pieces of a unit weigh, kg."""
    return sum(panel.mass_kg for panel in thing.panels) + sum(batten.mass_kg for batten in thing.battens)


def _lifted(made: Building, mass: float) -> str:
    rule = made.plan.project.rules[_WAY_IN]
    if mass <= rule["lift"]:
        return "one person"
    return f"{rule['pair']:g} people" if mass <= rule["lift"] * rule["pair"] else "take it apart to carry it"


def _held(units: Sequence[Thing]) -> str:
    counts = {item: sum(h.count for h in units[0].hardware if h.item == item) for item in _TO_BODY}
    if counts[_TO_BODY[0]]:
        # What has inserts of its own is held by them; its straps hold what stands in it.
        counts = {_TO_BODY[0]: counts[_TO_BODY[0]]}
    held = ", ".join(f"{count} × {item}" for item, count in counts.items() if count)
    if held:
        return held + (" each" if len(units) > 1 else "")
    return "comes out" if units[0].take_out else "nothing that the plan knows; see to it"


def _way_in(made: Building, unit: Thing) -> str:
    """Return what the rule found on the way of a unit through the doors; it says nothing of what goes in whole."""
    found = [f for f in made.plan.findings if f.rule == _WAY_IN and f.where is not None and unit.name in f.things]
    if found:
        return found[0].text
    placed = any(p.name == unit.name for things in made.plan.layout.placed.values() for p in things)
    if not placed or not made.plan.project.space.doors:
        return "not judged"
    return "goes in whole"


def steps_table(made: Building) -> Table:
    """Return the order of build: number, step, what is done, after which, with which pieces and hardware."""
    numbers = {step.name: i for i, step in enumerate(made.steps, 1)}
    rows = tuple(
        (
            numbers[step.name], step.name, step.does + (" [stop: look before going on]" if step.dry else ""),
            ", ".join(str(n) for n in sorted(numbers[name] for name in step.after)), ", ".join(runs(step.pieces)),
            ", ".join(f"{item.count} × {item.item}" for item in step.hardware),
        )
        for step in made.steps
    )  # fmt: skip
    return ("step", "name", "what to do", "after", "pieces in this order", "hardware"), rows


def drilling_table(made: Building) -> Table:
    """Return what holds each joint: how many screws or blocks, how far from its ends and from each other."""
    units = drawn_unit(made.plan.project.said.units)
    header = ("unit", "joint", "joints", f"long {units}", "in each", "item", f"from the end {units}", f"apart {units}")
    rows = [row for name, things in made.groups.items() for row in _drilled(made, name, things)]
    return header, tuple(rows)


def _drilled(made: Building, name: str, things: Sequence[Thing]) -> Iterator[Row]:
    units = drawn_unit(made.plan.project.said.units)

    def said(mm: float) -> str:
        return format_length(mm, units)

    counts: dict[Row, int] = {}
    for fixing in joint_fixings(things[0], made.plan.project.rules["screws"]):
        apart = said(fixing.apart) if fixing.count > 1 else ""
        key = (_joint(fixing), said(fixing.contact.length), fixing.count, fixing.item, said(fixing.end), apart)
        counts[key] = counts.get(key, 0) + len(things)
    for (joint, *rest), times in counts.items():
        yield name, joint, times, *rest


def _joint(fixing: Fixing) -> str:
    contact = fixing.contact
    return f"{contact.through.name} to {contact.into.name}"


def hardware_table(made: Building, currency: str) -> Table:
    """Return all hardware: item, what it is, count, price each and in all where the owner gave one."""
    counts: dict[str, int] = {}
    for _, hardware in made.hardware:
        counts[hardware.item] = counts.get(hardware.item, 0) + hardware.count
    rows = []
    for item, count in sorted(counts.items()):
        price = made.price(item)
        paid = ("", "") if price is None else (f"{price:.2f}", f"{price * count:.2f}")
        rows.append((item, what_is(item), count, *paid))
    return ("item", "what it is", "count", f"price {currency}".strip(), f"cost {currency}".strip()), tuple(rows)


def hardware_by_unit_table(made: Building) -> Table:
    """Return what each unit takes, and what for."""
    rows = tuple((name, hardware.item, hardware.count, hardware.why) for name, hardware in made.hardware)
    return ("unit", "item", "count", "what for"), rows


def shopping_table(made: Building, cuts: CutPlan | None, currency: str) -> Table:
    """Return what is to be paid by material, and in all, where the owner gave prices."""
    rows: list[tuple[str, str, float]] = []
    for material in cuts.materials if cuts else ():
        bought = sum(not sheet.stock.offcut for sheet in material.sheets)
        rows.append((material.material, f"{_some(bought, 'sheet')}{_unpriced(bought, material.cost)}", material.cost))
    for bars in made.bars.materials if made.bars else ():
        bought = sum(not bar.stock.offcut for bar in bars.bars)
        rows.append((bars.material, f"{_some(bought, 'bar')}{_unpriced(bought, bars.cost)}", bars.cost))
    hardware = [h for _, h in made.hardware]
    if hardware:
        rows.append(("hardware", _pieces(made, hardware), sum(_paid(made, h) for h in hardware)))
    total = ("in all", "", f"{sum(cost for *_, cost in rows):.2f}")
    told = tuple((name, much, f"{cost:.2f}") for name, much, cost in rows)
    return ("material", "how much", f"cost {currency}".strip()), (*told, total)


def _unpriced(count: int, cost: float) -> str:
    return "; no price given in the workshop" if count and not cost else ""


def _some(count: int, word: str) -> str:
    return f"{count} {word}" if count == 1 else f"{count} {word}s"


def _pieces(made: Building, hardware: Sequence[Hardware]) -> str:
    missing = len({h.item for h in hardware if made.price(h.item) is None})
    without = f"; {_some(missing, 'item')} without a price under workshop: prices" if missing else ""
    return f"{_some(len({h.item for h in hardware}), 'item')}{without}"


def _paid(made: Building, hardware: Hardware) -> float:
    return hardware.count * (made.price(hardware.item) or 0.0)


def report(made: Building, cuts: CutPlan | None, currency: str) -> str:
    """Return what building takes in a few lines: bars and whether fewer could do, what is missing, what it costs."""
    lines = [f"{_some(len(made.units), 'unit')}, {_some(len(made.steps), 'step')}"]
    if made.bars is not None:
        lines += [summary(made.bars), *lengths_missing(made.bars)]
    for name, much, cost in shopping_table(made, cuts, currency)[1]:
        lines.append(f"{name}: {f'{much}, ' if much else ''}{cost} {currency}".rstrip())
    return "\n".join(lines) + "\n"
