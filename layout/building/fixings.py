"""Screws, inserts, blocks and glue, counted from the joints of a unit, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from layout.building.contacts import Contact, contacts
from layout.model.building import Hardware
from layout.model.rule import Rule
from layout.model.thing import Thing

_GLUED = ("butt", "rebate", "groove", "housing", "batten", "corner block")
_SCREWED = ("butt", "batten")
# Items of the hardware catalogue by length, mm.
SCREWS = (
    (12.0, "screw-3x12"), (16.0, "screw-3x16"), (20.0, "screw-3x20"), (25.0, "screw-3.5x25"), (30.0, "screw-3.5x30"),
    (35.0, "screw-4x35"), (40.0, "screw-4x40"), (45.0, "screw-4x45"), (50.0, "screw-4x50"), (60.0, "screw-5x60"),
    (70.0, "screw-5x70"), (80.0, "screw-5x80"),
)  # fmt: skip
BOLTS = (
    (20.0, "bolt-m6x20"), (30.0, "bolt-m6x30"), (40.0, "bolt-m6x40"), (50.0, "bolt-m6x50"), (60.0, "bolt-m6x60"),
    (80.0, "bolt-m6x80"),
)  # fmt: skip
BLOCK, BAND, GLUE = "corner-block", "band-wood", "glue"
_HUNDRED, _METRE, _SAME = 100.0, 1000.0, 1e-6


@dataclass(frozen=True, kw_only=True, slots=True)
class Fixing:
    """What holds one joint: `count` of an item along its line, the first and the last `end` mm from its ends.

    `per` is how many screws each of them takes (a corner block has several), `screw` what kind.
    """

    contact: Contact
    item: str
    count: int
    end: float
    why: str
    screw: str = ""
    per: int = 0

    @property
    def apart(self) -> float:
        """Return how far they stand apart, mm; 0 for a single one, which stands in the middle."""
        return (self.contact.length - 2 * self.end) / (self.count - 1) if self.count > 1 else 0.0


def fixings(things: Sequence[Thing], rules: Mapping[str, Rule]) -> tuple[Hardware, ...]:
    """Return all hardware of equal units together: what their kind knows, and what joints and edge bands need.

    `rules` holds the numbers of building, ``screws`` among them. Corner blocks and edge band that a kind counts itself
    are not counted again.
    """
    counted = [item for thing in things for item in _of_unit(thing, rules["screws"])]
    glue = sum(glue_g(thing, rules) for thing in things)
    if glue:
        counted.append(Hardware(item=GLUE, count=ceil(glue / _HUNDRED), why=f"{glue:.0f} g on the joints"))
    return added(counted)


def _of_unit(thing: Thing, rule: Rule) -> Iterator[Hardware]:
    yield from thing.hardware
    held = tuple(joint_fixings(thing, rule))
    for item in dict.fromkeys(fixing.item for fixing in held):
        own = [fixing for fixing in held if fixing.item == item]
        more = sum(fixing.count for fixing in own) - (_known(thing, item) if item == BLOCK else 0)
        if more > 0:
            yield Hardware(item=item, count=more, why=_along(own))
    for screw in dict.fromkeys(fixing.screw for fixing in held if fixing.screw):
        own = [fixing for fixing in held if fixing.screw == screw]
        yield Hardware(item=screw, count=sum(fixing.count * fixing.per for fixing in own), why=_along(own))
    band = sum(p.length if side in ("bottom", "top") else p.width for p in thing.panels for side, _ in p.bands)
    if band and not _known(thing, BAND):
        yield Hardware(item=BAND, count=ceil(band / _METRE), why=f"{band:.0f} mm of edges")


def _known(thing: Thing, item: str) -> int:
    """Return how many of an item the kind itself counts."""
    return sum(hardware.count for hardware in thing.hardware if hardware.item == item)


def _along(held: Sequence[Fixing]) -> str:
    whys = dict.fromkeys(fixing.why for fixing in held)
    return f"{', '.join(whys)} ({len(held)} {'joint' if len(held) == 1 else 'joints'})"


def joint_fixings(thing: Thing, rule: Rule) -> Iterator[Fixing]:
    """Yield what holds each joint of a unit that glue alone does not hold, in the order of its pieces."""
    screwed: list[Contact] = []
    for contact in contacts(thing):
        kind = contact.joint.kind
        hidden = kind in _SCREWED and any(_back_to_back(contact, other) for other in screwed)
        if kind == "corner block" or hidden or (kind in _SCREWED and _thin_edge(contact, rule)):
            yield _blocks(contact, rule)
        elif kind in _SCREWED:
            screwed.append(contact)
            yield from _screws(contact, rule)
        elif kind in ("insert", "bolt") and not contact.in_line:
            yield from _bolts(contact, rule)


def count_along(length: float, spacing: float, end: float) -> int:
    """Return how many fasteners hold a joint `length` mm long, no two more than `spacing` mm apart.

    The first and the last stand `end` mm from its ends; a joint too short for two has one in its middle.
    """
    if length < 2 * end:
        return 1
    return max(2, ceil((length - 2 * end) / spacing - _SAME) + 1)


def _back_to_back(one: Contact, other: Contact) -> bool:
    """Return whether an edge meets a panel where another one, screwed on already, stands on its other face.

    No screw goes in there: it would start in the edge of the other, and its hole is the other's.
    """
    through = one.through
    if not (one.by_edge and other.by_edge and through.made_of is other.through.made_of and one.axis == other.axis):
        return False
    boxes = [contact.into.prism.box for contact in (one, other)]
    shared = [min(a[1], b[1]) - max(a[0], b[0]) for a, b in zip(*boxes, strict=True)]
    sides = [sum(box[one.axis]) > sum(through.prism.box[one.axis]) for box in boxes]
    return sides[0] != sides[1] and all(mm > _SAME for i, mm in enumerate(shared) if i != one.axis)


def _thin_edge(contact: Contact, rule: Rule) -> bool:
    """Return whether a joint takes corner blocks: its edge is too thin for a screw, or no screw goes through to it."""
    return contact.by_edge and (contact.edge < rule["edge"] - _SAME or contact.in_line)


def _screws(contact: Contact, rule: Rule) -> Iterator[Fixing]:
    count, end = _places(contact, rule["spacing"], rule["end"])
    why = f"{contact.joint.kind} joints" if contact.joint.kind != "batten" else "cleats"
    yield Fixing(contact=contact, item=_screw(contact, rule), count=count, end=end, why=why)


def _screw(contact: Contact, rule: Rule) -> str:
    """Return the screw that goes through the one piece and into the other.

    Into an edge, the shortest that bites as deep as it should; into a face, the longest that does not come out.
    """
    through, deep = contact.through.size(contact.axis), contact.into.size(contact.axis)
    if contact.by_edge and deep > rule["bite"] + rule["cover"]:
        return _at_least(SCREWS, through + rule["bite"])
    most = through + min(deep - rule["cover"], rule["bite"])
    return next((item for length, item in reversed(SCREWS) if length <= most + _SAME), SCREWS[0][1])


def _blocks(contact: Contact, rule: Rule) -> Fixing:
    count, end = _places(contact, rule["spacing"], rule["end"])
    thinner = min(contact.piece.size(contact.piece.prism.axis), contact.to.size(contact.to.prism.axis))
    most = thinner + rule["block"] - rule["cover"]
    screw = next((item for length, item in reversed(SCREWS) if length <= most + _SAME), SCREWS[0][1])
    return Fixing(
        contact=contact, item=BLOCK, count=count, end=end, screw=screw, per=round(rule["block_screws"]),
        why="joints without a screwed edge",
    )  # fmt: skip


def _bolts(contact: Contact, rule: Rule) -> Iterator[Fixing]:
    count, end = _places(contact, rule["insert_spacing"], rule["end"])
    through, deep = contact.piece.size(contact.axis), contact.to.size(contact.axis)
    inside, bite = ("insert-m6", rule["insert_bite"]) if contact.joint.kind == "insert" else ("tee-nut-m6", deep)
    for item in (inside, _at_least(BOLTS, through + bite)):
        yield Fixing(contact=contact, item=item, count=count, end=end, why="joints that come apart")


def _places(contact: Contact, spacing: float, end: float) -> tuple[int, float]:
    """Return how many fasteners a joint has, and how far the outer ones stand from its ends, mm."""
    count = count_along(contact.length, spacing, end)
    return count, contact.length / 2 if count == 1 else min(end, contact.length / 4)


def _at_least(sizes: Sequence[tuple[float, str]], wanted: float) -> str:
    return next((item for length, item in sizes if length >= wanted - _SAME), sizes[-1][1])


def glue_g(thing: Thing, rules: Mapping[str, Rule]) -> float:
    """Return the glue on the joints of a unit, g."""
    area = sum(contact.area for contact in contacts(thing) if contact.joint.kind in _GLUED)
    return area * 1e-6 * rules["screws"]["glue"]


def added(counted: Iterable[Hardware]) -> tuple[Hardware, ...]:
    """Return the items added up, each with all its reasons, in the order first seen."""
    reasons: dict[str, dict[str, int]] = {}
    for hardware in counted:
        why = reasons.setdefault(hardware.item, {})
        why[hardware.why] = why.get(hardware.why, 0) + hardware.count
    return tuple(Hardware(item=item, count=sum(whys.values()), why=_reasons(whys)) for item, whys in reasons.items())


def _reasons(whys: Mapping[str, int]) -> str:
    """Return all reasons in a line, each with its count where there are several."""
    return "; ".join(f"{count} {why}" for why, count in whys.items()) if len(whys) > 1 else next(iter(whys))
