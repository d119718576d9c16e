"""What the hardware catalogue says of holes: how wide and how deep they are drilled for an item."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from layout.files.catalogue import Catalogue


@dataclass(frozen=True, kw_only=True, slots=True)
class Drill:
    """The hole for an item: `across` mm wide, `deep` mm (None: right through)."""

    across: float
    deep: float | None = None


@cache
def _entries() -> Mapping[str, Mapping[str, object]]:
    catalogue = Catalogue(None)
    names = (name for name in catalogue.names() if name.startswith("hardware/"))
    return {name.partition("/")[2]: catalogue.entry(name) or {} for name in names}


def drill_of(item: str) -> Drill | None:
    """Return the hole that an item sits in, None for what is not let in, and for wood screws."""
    entry = _entries().get(item, {})
    if "drill" not in entry:
        return None
    deep = float(str(entry["deep"])) if "deep" in entry else None
    return Drill(across=float(str(entry["drill"])), deep=deep)


def drills() -> dict[str, float]:
    """Return how wide the hole for each item is, mm, wood screws as wide as they are."""
    found = {}
    for item, entry in _entries().items():
        across = entry.get("drill") or entry.get("diameter")
        if across:
            found[item] = float(str(across))
    return found


def what_is(item: str) -> str:
    """Return what the catalogue says of an item of hardware."""
    entry = _entries().get(item, {})
    size = f" {entry['diameter']} × {entry['length']}" if {"diameter", "length"} <= set(entry) else ""
    return f"{entry.get('does', item)}{size}"
