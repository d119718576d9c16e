"""Catalogue entries: shipped with the program, or the owner's own beside the project file."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path
from typing import Any

from layout.errors import Fault, InputError
from layout.files.nodes import Group, Text, read_nodes, stated_units
from layout.files.shipped import shipped

_UNITS = ("mm", "cm", "m", "in", "ft")


class Catalogue:
    """Entries by ``shelf/name``; a shelf is a file, and the owner's shelf comes before the shipped one."""

    def __init__(self, beside: Path | None) -> None:
        self.folders = [folder for folder in (beside and beside / "catalogs", shipped("catalogs")) if folder]
        self.shelves: dict[Path, Group] = {}

    def names(self) -> tuple[str, ...]:
        """Return the names of all entries that a project can use, sorted."""
        found = {path.stem for folder in self.folders for path in folder.glob("*.yaml")}
        return tuple(sorted(f"{shelf}/{name}" for shelf in found for name in self._entries(shelf)))

    def entry(self, name: str) -> Group | None:
        """Return the entry called ``shelf/name`` with its places, or None."""
        shelf, _, key = name.partition("/")
        return self._entries(shelf).get(key)

    def _entries(self, shelf: str) -> dict[str, Group]:
        merged: dict[str, Group] = {}
        for folder in reversed(self.folders):
            path = folder / f"{shelf}.yaml"
            if shelf.replace("-", "").isalnum() and path.is_file():
                merged |= self._shelf(path)["entries"]
        return merged

    def _shelf(self, path: Path) -> Group:
        if path not in self.shelves:
            group = read_nodes(path.read_bytes(), str(path))
            if group.get("units") not in _UNITS or not isinstance(group.get("entries"), dict):
                raise InputError([Fault(str(path), 1, 1, "", "a catalogue has units: mm (or in) and entries:")])
            stated_units(group, str(group["units"]))
            self.shelves[path] = group
        return self.shelves[path]

    def unfold(self, value: Any, faults: list[Fault], path: str = "") -> Any:
        """Return `value` with every ``use:`` below it replaced by its entry, overruled by its other keys."""
        if isinstance(value, list):
            for i, inner in enumerate(value):
                value[i] = self.unfold(inner, faults, f"{path}.{i + 1}")
            return value
        if not isinstance(value, Group):
            return value
        for key in list(value):
            value[key] = self.unfold(value[key], faults, f"{path}.{key}" if path else key)
        return self._used(value, faults, path) if "use" in value else value

    def _used(self, group: Group, faults: list[Fault], path: str) -> Group:
        name = group["use"]
        entry = self.entry(name) if isinstance(name, Text) else None
        if entry is None or not isinstance(entry, Group):
            mark = group.keys_at["use"]
            close = get_close_matches(str(name), self.names(), n=1)
            hint = f"; did you mean {close[0]!r}?" if close else "; 'layout catalog' lists them"
            text = f"no catalogue entry {str(name)[:60]!r}{hint}"
            faults.append(Fault(mark.file, mark.line, mark.column, f"{path}.use", text))
            return group
        return laid_over(entry, group, but="use")


def laid_over(entry: Group, by: Group, but: str = "") -> Group:
    """Return the entry with the keys of `by` laid over it, group into group; each value keeps its place."""
    merged = Group(entry)
    merged.mark, merged.keys_at = by.mark, {**entry.keys_at, **by.keys_at}
    for key, value in by.items():
        if key == but:
            continue
        old = merged.get(key)
        if isinstance(old, Group) and isinstance(value, Group) and not _is_profile(old):
            merged[key] = laid_over(old, value)
        else:
            merged[key] = value
    return merged


def _is_profile(group: Group) -> bool:
    """Return whether the keys are measures; such a group is replaced whole, since its 12 may be inches."""
    return any(key[:1].isdigit() for key in group)
