"""The catalogue of rules, and what a project overrules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from difflib import get_close_matches
from typing import Any, TypeVar

from layout.errors import ValueFaultError
from layout.files.nodes import read_nodes
from layout.files.shipped import shipped
from layout.model.rule import Rule, RuleNumber
from layout.units.length import parse_length

T = TypeVar("T")


def read_rules() -> dict[str, Rule]:
    """Return the shipped rules by name, a file each, in the order of their names."""
    paths = sorted((shipped("catalogs") / "rules").glob("*.yaml"))
    return {path.stem: _rule(path.stem, read_nodes(path.read_bytes(), str(path))) for path in paths}


def read_building() -> dict[str, Rule]:
    """Return the shipped numbers of building (screws, grooves, slides ...) by name, a file each."""
    paths = sorted((shipped("catalogs") / "building").glob("*.yaml"))
    return {path.stem: _rule(path.stem, read_nodes(path.read_bytes(), str(path))) for path in paths}


def _rule(name: str, entry: Mapping[str, Any]) -> Rule:
    numbers = {key: _number(value) for key, value in entry.get("numbers", {}).items()}
    words = {key: " ".join(str(entry[key]).split()) for key in ("title", "why", "fails", "passes")}
    return Rule(name=name, numbers=numbers, **words)


def _number(entry: Mapping[str, str]) -> RuleNumber:
    is_length = "length" in entry
    value = float(parse_length(entry["length"], "mm")) if is_length else float(entry["number"])
    return RuleNumber(value=value, is_length=is_length, meaning=str(entry["meaning"]), source=str(entry["source"]))


def overruled(rules: Mapping[str, Rule], by: Mapping[str, Mapping[str, str]], units: str) -> dict[str, Rule]:
    """Return the rules with the project's own numbers laid over them.

    Raises
    ------
    ValueFaultError
        When the project names a rule or a number that is not there, or a value that cannot be read.
    """
    result = dict(rules)
    for name, numbers in by.items():
        rule = _known(result, name, ("rules", name), "rule")
        values = {key: _own(rule, name, key, text, units) for key, text in numbers.items()}
        result[name] = replace(rule, numbers={**rule.numbers, **values})
    return result


def _own(rule: Rule, name: str, key: str, text: str, units: str) -> RuleNumber:
    path = ("rules", name, key)
    number = _known(rule.numbers, key, path, "number of this rule")
    try:
        value = float(parse_length(text, units)) if number.is_length else float(text)  # type: ignore[arg-type]  # checked units
    except ValueError as error:
        raise ValueFaultError(path, str(error)) from None
    if not 0 <= value <= 100_000:  # noqa: PLR2004 (also refuses nan; no rule needs more)
        raise ValueFaultError(path, f"{text!r} is not between 0 and 100000")
    return replace(number, value=value, source="the owner's own")


def _known(table: Mapping[str, T], key: str, path: tuple[str, ...], what: str) -> T:
    if key not in table:
        close = get_close_matches(key, list(table), n=1)
        hint = f"did you mean {close[0]!r}?" if close else f"there are: {', '.join(table)}"
        raise ValueFaultError(path, f"no {what} is called {key[:60]!r}; {hint}")
    return table[key]
