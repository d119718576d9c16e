"""Screws, inserts and glue, counted from the joints of a unit, each with its reason."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import ceil

from layout.building.contacts import Contact, contacts
from layout.model.building import Hardware
from layout.model.rule import Rule
from layout.model.thing import Thing

_GLUED = ("butt", "rebate", "groove", "housing", "batten", "corner block")
_SCREWED = ("butt", "batten", "corner block")
# Items of the hardware catalogue by length, mm.
_SCREWS = (
    (20.0, "screw-3x20"),
    (30.0, "screw-3.5x30"),
    (40.0, "screw-4x40"),
    (50.0, "screw-4x50"),
    (60.0, "screw-5x60"),
)
_GLUE_G_PER_M2 = 180.0  # common practice, no source: 150 to 200 g/m² on one face


def fixings(thing: Thing, rules: Mapping[str, Rule]) -> tuple[Hardware, ...]:
    """Return all hardware of a unit: what its kind knows, and what its joints need; equal items added up.

    `rules` holds the numbers of building: ``screws`` with spacing, end, bite and insert_spacing (mm).
    """
    counted = [*thing.hardware, *(item for contact in contacts(thing) for item in _of(contact, rules["screws"]))]
    glue = _glue_g(thing)
    if glue:
        counted.append(Hardware(item="glue", count=ceil(glue / 100), why=f"{glue:.0f} g on its joints"))
    return _added(counted)


def screws_along(length: float, spacing: float, end: float) -> int:
    """Return how many screws hold a joint `length` mm long: one `end` from each end, no two more than `spacing` apart.

    A joint too short for two has one in its middle.
    """
    if length < 2 * end:
        return 1
    return max(2, ceil(round((length - 2 * end) / spacing, 6)) + 1)


def _of(contact: Contact, rule: Rule) -> Iterator[Hardware]:
    joint = contact.joint
    name = f"{contact.panel.name} to {contact.to.name}"
    if joint.kind in _SCREWED:
        count = screws_along(contact.length, rule["spacing"], rule["end"])
        yield Hardware(item=_screw(contact, rule["bite"]), count=count, why=f"{joint.kind} joint, {name}")
    elif joint.kind in ("insert", "bolt"):
        count = screws_along(contact.length, rule["insert_spacing"], rule["end"])
        inside = "insert-m6" if joint.kind == "insert" else "tee-nut-m6"
        yield Hardware(item=inside, count=count, why=f"comes apart, {name}")
        yield Hardware(item="bolt-m6x30", count=count, why=f"comes apart, {name}")


def _screw(contact: Contact, bite: float) -> str:
    """Return the shortest screw that goes through the one piece and bites into the other."""
    through = contact.to_thickness if contact.joint.side is not None else contact.panel.sheet.thickness
    deep = contact.panel.width if contact.joint.side is not None else contact.to_thickness
    # Face to face the screw must not come out on the other side.
    wanted = through + (bite if contact.joint.side is not None else min(bite, 0.8 * deep))
    return next((item for length, item in _SCREWS if length >= wanted - 1e-6), _SCREWS[-1][1])


def _glue_g(thing: Thing) -> float:
    areas = [c.length * c.width for c in contacts(thing) if c.joint.kind in _GLUED]
    return sum(areas) * 1e-6 * _GLUE_G_PER_M2


def _added(counted: Sequence[Hardware]) -> tuple[Hardware, ...]:
    """Return the items added up, each with all its reasons, in the order first seen."""
    totals: dict[str, int] = {}
    reasons: dict[str, dict[str, int]] = {}
    for hardware in counted:
        totals[hardware.item] = totals.get(hardware.item, 0) + hardware.count
        why = reasons.setdefault(hardware.item, {})
        why[hardware.why] = why.get(hardware.why, 0) + hardware.count
    return tuple(
        Hardware(item=item, count=count, why="; ".join(f"{n} {why}" for why, n in reasons[item].items()))
        for item, count in totals.items()
    )
