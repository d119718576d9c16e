"""The things of a project, made from what the file says of them; each refusal is collected, not the first only."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from difflib import get_close_matches

from layout.errors import ValueFaultError
from layout.files.format import MOST_THINGS, ProjectFormat
from layout.files.refused import Refused, collecting
from layout.model.building import Bar
from layout.model.panel import Sheet
from layout.model.rule import Rule
from layout.model.thing import Thing
from layout.space.space import Space
from layout.things.base import Shop, Spec
from layout.units.fields import LONGEST_THING


def make_things(
    said: ProjectFormat, refused: Refused, space: Space | None = None, rules: Mapping[str, Rule] | None = None
) -> tuple[Thing, ...]:
    """Return every thing of the project, in its own axes, in the file's order.

    `space` and the numbers of building in `rules` are for kinds that follow the room, and for joints.
    """
    total = sum(spec.count for spec in said.things.values())
    if total > MOST_THINGS:
        refused.append(ValueFaultError(("things",), f"{total} things; at most {MOST_THINGS} can be planned"))
        return ()
    shop = Shop(sheets=_sheets(said, refused), specs=said.things, bars=_bars(said), space=space, rules=rules or {})
    made: list[Thing] = []
    for group, spec in said.things.items():
        with collecting(refused):
            made.extend(_group(said, group, spec, shop))
    for group in said.forms:
        if group not in said.things:
            refused.append(ValueFaultError(("forms", group), f"there is no thing called {group!r}"))
    return tuple(made)


def _group(said: ProjectFormat, group: str, spec: Spec, shop: Shop) -> Iterator[Thing]:
    forms = said.forms.get(group, {})
    for name in thing_names(group, spec.count):
        others = {form: _made(name, group, other, shop, ("forms", group, form)) for form, other in forms.items()}
        yield replace(_made(name, group, spec, shop, ("things", group)), forms=others)


def _made(name: str, group: str, spec: Spec, shop: Shop, path: tuple[str, ...]) -> Thing:
    thing = spec.described(spec.make(name, group, shop), path)
    x0, y0, x1, y1 = thing.box.bounds
    if max(x1 - x0, y1 - y0, thing.box.z1) > LONGEST_THING:
        raise ValueFaultError(path, "the thing would be larger than 10 m")
    return thing


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


def _bars(said: ProjectFormat) -> dict[str, Bar]:
    """Return the bars that furniture is made from, by name."""
    bars = said.workshop.bars if said.workshop else {}
    return {name: Bar(material=name, section=bar.section, density_kg_m3=bar.density) for name, bar in bars.items()}


def refuse_names(said: ProjectFormat, refused: Refused) -> None:
    """Refuse numbered names that meet another name, sleepers that nobody is, and a project without a state."""
    taken: dict[str, str] = {}
    for group, spec in said.things.items():
        for name in thing_names(group, spec.count):
            if taken.setdefault(name, group) != group or name == "floor":
                refused.append(ValueFaultError(("things", group), f"the name {name!r} is taken; rename one"))
        if len(set(sleepers := getattr(spec, "sleeps", ()))) < len(sleepers):
            refused.append(ValueFaultError(("things", group, "sleeps"), "somebody is named twice; once is enough"))
        for sleeper in getattr(spec, "sleeps", ()):
            if sleeper not in said.people:
                people = ", ".join(said.people) or "nobody"
                text = f"no person is called {sleeper!r}; there are: {people}"
                refused.append(ValueFaultError(("things", group, "sleeps"), text))
    for name, person in said.people.items():
        if person.sitting is not None and person.sitting >= person.stature:
            text = "sits taller than standing; it is the height above the seat"
            refused.append(ValueFaultError(("people", name, "sitting"), text))
    if not said.states:
        refused.append(ValueFaultError(("states",), "at least one state is wanted"))


def refuse_references(said: ProjectFormat, refused: Refused) -> None:
    """Refuse what names a thing, a person, a door or a state that is not there."""
    for path, kind, name, known in _references(said):
        if name not in known:
            close = get_close_matches(name, sorted(known), n=1)
            hint = f"did you mean {close[0]!r}?" if close else f"there are: {', '.join(sorted(known)) or 'none'}"
            refused.append(ValueFaultError(path, f"no {kind} is called {name!r}; {hint}"))


Reference = tuple[tuple[str, ...], str, str, set[str]]


def _references(said: ProjectFormat) -> Iterator[Reference]:
    """Yield every name that refers to something: where it stands, what it should name, itself, what there is."""
    states, people = set(said.states), set(said.people)
    things = {name for group, spec in said.things.items() for name in (group, *thing_names(group, spec.count))}
    doors = {*(said.space.side_doors or {}), *(["rear door"] if said.space.rear_door else [])}
    yield from _asked(said, things, doors)
    for i, accept in enumerate(said.accept):
        yield from ((("accept", str(i), "things"), "thing", name, things) for name in accept.things)
        yield from ((("accept", str(i), "states"), "state", name, states) for name in accept.states)
    for name, spot in said.spots.items():
        yield from ((("spots", name, "people"), "person", person, people) for person in spot.people)
        yield from ((("spots", name, "states"), "state", state, states) for state in spot.states)
    for group, spec in said.things.items():
        yield from ((("things", group, "doors"), "door", door, doors) for door in spec.doors)
        for part, moving in spec.moving.items():
            path = ("things", group, "moving", part, "states")
            yield from ((path, "state", state, states) for state in moving.states)
    for name, coming in (said.space.comes_in or {}).items():
        yield from ((("space", "comes_in", name, "states"), "state", state, states) for state in coming.states)


def _asked(said: ProjectFormat, things: set[str], doors: set[str]) -> Iterator[Reference]:
    """Yield every name under ``free`` and ``wishes``."""
    for name, free in said.free.items():
        yield ("free", name), "thing", name, things
        yield from ((("free", name, "on"), "thing", on, things | {"floor"}) for on in free.on)
        yield from ((("free", name, "outside"), "state", state, set(said.states)) for state in free.outside)
        yield from ((("free", name, "follow", other), "thing", other, set(said.things)) for other in free.follow)
    for wish, pairs in (("near", said.wishes.near), ("apart", said.wishes.apart)):
        for i, (one, other) in enumerate(pairs):
            yield ("wishes", wish, str(i)), "thing", one, things
            yield ("wishes", wish, str(i)), "thing or door", other, things | doors


def remade(
    said: ProjectFormat, sizes: Mapping[str, Mapping[str, float]], space: Space, rules: Mapping[str, Rule]
) -> tuple[Thing, ...]:
    """Return every thing of the project, some groups with other sizes: by group, then by key, mm.

    Raises
    ------
    ValueFaultError
        When a thing has no such size, or cannot be made with it.
    """
    specs = dict(said.things)
    for group, keys in sizes.items():
        for key in keys:
            known = getattr(specs[group], key, None)
            if isinstance(known, bool) or not isinstance(known, (int, float)) or key in ("count", "mass"):
                text = f"a {specs[group].kind} has no size {key!r}, or it is not said under things"
                raise ValueFaultError(("free", group, "sizes", key), text)
        specs[group] = replace(specs[group], **keys)  # type: ignore[arg-type]  # sizes and counts, as was looked at above
    refused: Refused = []
    things = make_things(replace(said, things=specs), refused, space, rules)
    if refused:
        raise refused[0]
    return things
