"""What the steps of building a unit say: only what there is to do on that unit, with its own hardware."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from layout.model.building import Hardware
from layout.model.thing import Thing

Parts = Sequence[Sequence[str]]
Runs = Callable[[Sequence[str]], tuple[str, ...]]
#: What fastens a unit to the body of the vehicle; it is taken when the unit stands at its place.
TO_BODY = ("insert-m8-body", "bolt-m8x40")
GLUE = "glue"
# What is put on when the unit is together, by how the names of its items begin.
_PUT_ON = (
    ("hinge-", "hinges"), ("slides-", "slides"), ("latch-", "latches"), ("stay-", "lid stays"),
    ("shelf-pin", "shelf pins"), ("strap-", "straps"), ("fork-mount", "fork mounts"), ("plate-", "plates"),
    ("bracket-", "brackets"), ("foot-", "feet"),
)  # fmt: skip


def dry_text(group: Sequence[Thing], parts: Parts) -> str:
    """Return what the dry fit is: what was left larger is cut, clamps where there are joints, then the trial."""
    it, they = _it(group), _they(group)
    fit = "cut to fit what was left larger; " if any(panel.oversize for panel in group[0].panels) else ""
    if not is_joined(parts):
        return f"{fit}hold every piece of {_all(group)} where it belongs, and mark what is in its way"
    goes_in = ", and try what goes in" if group[0].slots or _opens(group[0]) else ""
    return (
        f"{fit}put {_all(group)} together with clamps and without glue; measure both diagonals, try {it} where {they} "
        f"will stand{goes_in}"
    )


def together_text(group: Sequence[Thing], parts: Parts, hardware: Sequence[Hardware], runs: Runs) -> str:
    """Return how the pieces become one: bands first, then the parts, then what is put on."""
    items = [one.item for one in hardware]
    first = "put on the edge bands; " if any(item.startswith("band-") for item in items) else ""
    slots = "saw the hand slots; " if "handle-slot" in items else ""
    said = [
        f"{first}{slots}{_verbs(items)} {_all(group)}, the pieces in the order named, holes as the panel sheets say"
    ]
    if len(parts) > 1:
        has = "each comes" if len(group) > 1 else "it comes"
        said.append(f"{has} apart into {len(parts)} parts, each made by itself: {_named(parts, runs)}")
    said += _last(hardware)
    return "; ".join(said)


def place_text(group: Sequence[Thing], parts: Parts, hardware: Sequence[Hardware]) -> str:
    """Return how a unit comes to its place, and what holds it there."""
    it, they = _it(group), _they(group)
    if not is_joined(parts):
        held = _counted(hardware)
        return f"bring every piece of {_all(group)} to its place" + (f" and fasten it with {held}" if held else "")
    body = [one for one in hardware if one.item in TO_BODY]
    told = any(one.places for one in group[0].hardware if one.item in TO_BODY)
    where = "at the places in the list 'Held to the body'" if told else "evenly spread"
    held = f"{_counted(body)} ({body[0].why}), {where}; look what is behind before drilling" if body else ""
    if built_in_place(group[0]):
        first = f"lay the battens and fasten them to the body with {held}; then " if body else "lay the battens; then "
        return f"{first}{_verbs([one.item for one in hardware])} the panels onto them"
    carry = f"carry {_all(group)} in" + (", a part at a time," if len(parts) > 1 else "")
    stand = f"{carry} and stand {it} at the set-out lines"
    if body:
        again = f"; {they} {'come' if len(group) > 1 else 'comes'} out again when these are undone"
        return f"{stand}; fasten {it} to the body with {held}{again if group[0].take_out else ''}"
    if group[0].take_out:
        come = "come" if len(group) > 1 else "comes"
        return f"{stand}; {they} {come} out again, so nothing holds {it} to the body"
    return f"{stand}; nothing in the plan holds {it} to the body: see to that"


def built_in_place(thing: Thing) -> bool:
    """Return whether a unit is put together where it stays: a floor goes through no door whole."""
    return thing.kind == "floor panels" and bool(thing.battens)


def load_text(hardware: Sequence[Hardware]) -> str:
    """Return what the trial load is; latches are tested where there are any."""
    latches = "every latch and " if any(one.item.startswith("latch-") for one in hardware) else ""
    return f"load everything, drive a short way, look what moved, and test {latches}every way out from inside"


def is_joined(parts: Parts) -> bool:
    """Return whether any two pieces are joined for good, so that there is something to put together."""
    return any(len(part) > 1 for part in parts)


def _verbs(items: Sequence[str]) -> str:
    verbs = ["glue"] if GLUE in items else []
    verbs += ["screw"] if any(item.startswith("screw-") for item in items) else []
    verbs += ["bolt"] if any(item.startswith("bolt-m6") for item in items) else []
    return _listed(verbs) if verbs else "put together"


def _last(hardware: Sequence[Hardware]) -> Iterator[str]:
    if any(one.item == GLUE for one in hardware):
        yield "wipe off glue and let it set; varnish"
    put_on = [_put_on(begins, word, hardware) for begins, word in _PUT_ON]
    if any(put_on):
        yield f"then put on {_listed([said for said in put_on if said])}"


def _put_on(begins: str, word: str, hardware: Sequence[Hardware]) -> str:
    """Return a kind of hardware with what it is for; empty where the unit has none."""
    whys = [one.why for one in hardware if one.item.startswith(begins)]
    return f"{word} ({'; '.join(dict.fromkeys(whys))})" if whys else ""


def _named(parts: Parts, runs: Runs) -> str:
    """Return the parts by their pieces, parts alike that follow each other told once."""
    told = []
    for pieces, same in groupby(tuple(part) for part in parts):
        count = len(list(same))
        inner = ", ".join(runs(pieces))
        word = f"({inner})" if len(pieces) > 1 else inner
        told.append(f"{count} × {word}" if count > 1 else word)
    return ", ".join(told)


def _opens(thing: Thing) -> bool:
    return thing.promise is not None and bool(thing.promise.openings)


def _counted(hardware: Sequence[Hardware]) -> str:
    return _listed([f"{one.count} × {one.item}" for one in hardware])


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def _all(group: Sequence[Thing]) -> str:
    return group[0].group if len(group) == 1 else f"all {len(group)} {group[0].group}"


def _it(group: Sequence[Thing]) -> str:
    return "it" if len(group) == 1 else "them"


def _they(group: Sequence[Thing]) -> str:
    return "it" if len(group) == 1 else "they"
