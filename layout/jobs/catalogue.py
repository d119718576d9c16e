"""The verbs ``catalog`` and ``explain``: what the catalogues hold."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path
from typing import Any

from layout.errors import Fault, InputError
from layout.files.catalogue import Catalogue
from layout.files.rules import read_building, read_rules
from layout.model.rule import Rule, RuleNumber


def entries(shelf: str | None, folder: Path) -> dict[str, dict[str, Any]]:
    """Return the catalogue entries by name, of one shelf or of all.

    Raises
    ------
    InputError
        When there is no such shelf.
    """
    catalogue = Catalogue(folder)
    names = [name for name in catalogue.names() if shelf is None or name.split("/")[0] == shelf]
    if not names:
        shelves = sorted({name.split("/")[0] for name in catalogue.names()})
        raise InputError([Fault("catalog", 0, 0, "", f"no shelf is called {shelf!r}; there are: {', '.join(shelves)}")])
    return {name: dict(catalogue.entry(name) or {}) for name in names}


def listing(found: dict[str, dict[str, Any]]) -> str:
    """Return the entries as text, one line each."""
    lines = []
    for name, entry in found.items():
        sizes = ", ".join(
            f"{key} {value}" for key, value in entry.items() if isinstance(value, str) and key not in ("source", "kind")
        )
        lines.append(f"{name:32} {sizes}")
    return "\n".join(lines) + "\n"


def rule_names() -> str:
    """Return all rules, one line each."""
    rules = "".join(f"{rule.name:14} {rule.title}\n" for rule in read_rules().values())
    numbers = "".join(f"{rule.name:14} {rule.title}\n" for rule in read_building().values())
    return f"{rules}\nNumbers of building\n{numbers}"


def rule_page(name: str) -> str:
    """Return the page of one rule.

    Raises
    ------
    InputError
        When there is no such rule.
    """
    rules = read_rules() | read_building()
    if name not in rules:
        close = get_close_matches(name, list(rules), n=1)
        hint = f"did you mean {close[0]!r}?" if close else f"there are: {', '.join(rules)}"
        raise InputError([Fault("explain", 0, 0, "", f"no rule is called {name!r}; {hint}")])
    return _page(rules[name])


def _page(rule: Rule) -> str:
    numbers = [_number(rule, key, number) for key, number in rule.numbers.items()]
    lines = [
        f"{rule.name}: {rule.title}", "", "Why", f"  {rule.why}", "",
        "Fails", f"  {rule.fails}", "Passes", f"  {rule.passes}", "",
        "Numbers", *(numbers or ["  none"]), "",
        "Live with it", "  A finding that you thought about can be accepted, with your reason; it is still listed:",
        f"  accept: [{{rule: {rule.name}, things: [NAME], reason: why it may be so}}]",
    ]  # fmt: skip
    return "\n".join(lines) + "\n"


def _number(rule: Rule, key: str, number: RuleNumber) -> str:
    unit = " mm" if number.is_length else ""
    own = f"rules: {{{rule.name}: {{{key}: {number.value:g}}}}}"
    return f"  {key} = {number.value:g}{unit}: {number.meaning}\n    source: {number.source}\n    your own: {own}"
