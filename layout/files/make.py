"""The things of a project, made from what the file says of them; each refusal is collected, not the first only."""

from __future__ import annotations

from collections.abc import Iterator

from layout.errors import ValueFaultError
from layout.files.format import MOST_THINGS, ProjectFormat
from layout.files.refused import Refused, collecting
from layout.model.panel import Sheet
from layout.model.thing import Thing
from layout.things.base import Shop, Spec
from layout.units.fields import LONGEST_THING


def make_things(said: ProjectFormat, refused: Refused) -> tuple[Thing, ...]:
    """Return every thing of the project, in its own axes, in the file's order."""
    total = sum(spec.count for spec in said.things.values())
    if total > MOST_THINGS:
        refused.append(ValueFaultError(("things",), f"{total} things; at most {MOST_THINGS} can be planned"))
        return ()
    shop = Shop(sheets=_sheets(said, refused), specs=said.things)
    made: list[Thing] = []
    for group, spec in said.things.items():
        with collecting(refused):
            made.extend(_group(group, spec, shop))
    return tuple(made)


def _group(group: str, spec: Spec, shop: Shop) -> Iterator[Thing]:
    for name in thing_names(group, spec.count):
        thing = spec.make(name, group, shop)
        x0, y0, x1, y1 = thing.box.bounds
        if max(x1 - x0, y1 - y0, thing.box.z1) > LONGEST_THING:
            raise ValueFaultError(("things", group), "the thing would be larger than 10 m")
        yield thing


def thing_names(group: str, count: int) -> tuple[str, ...]:
    """Return the names of `count` things of a group: its own name, or that name with numbers from 1."""
    return (group,) if count == 1 else tuple(f"{group} {i}" for i in range(1, count + 1))


def _sheets(said: ProjectFormat, refused: Refused) -> dict[str, Sheet]:
    """Return the sheets that furniture is made from, by material."""
    found: dict[str, Sheet] = {}
    for name, sheet in (said.workshop.sheets if said.workshop else {}).items():
        material = sheet.material or name
        made = Sheet(material=material, thickness=sheet.thickness, density_kg_m3=sheet.density)
        first = found.setdefault(material, made)
        if first.thickness != made.thickness:
            text = f"sheets of one material are equally thick; {material!r} already has {first.thickness:g} mm"
            refused.append(ValueFaultError(("workshop", "sheets", name, "thickness"), text))
    return found


def refuse_names(said: ProjectFormat, refused: Refused) -> None:
    """Refuse numbered names that meet another name, sleepers that nobody is, and a project without a state."""
    taken: dict[str, str] = {}
    for group, spec in said.things.items():
        for name in thing_names(group, spec.count):
            if taken.setdefault(name, group) != group or name == "floor":
                refused.append(ValueFaultError(("things", group), f"the name {name!r} is taken; rename one"))
        for sleeper in getattr(spec, "sleeps", ()):
            if sleeper not in said.people:
                people = ", ".join(said.people) or "nobody"
                text = f"no person is called {sleeper!r}; there are: {people}"
                refused.append(ValueFaultError(("things", group, "sleeps"), text))
    if not said.states:
        refused.append(ValueFaultError(("states",), "at least one state is wanted"))
