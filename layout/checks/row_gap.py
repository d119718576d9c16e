"""Rule ``row-gap``: things in a row between two fixed faces have their gaps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from layout.checks.context import Context, by_places
from layout.checks.rows import Row, rows_of
from layout.model.finding import Finding, Severity
from layout.space.space import TOUCH

RULE = "row-gap"
_WORDS = {"y": ("side by side", "wide", "narrower"), "x": ("one behind the other", "long", "shorter")}


def check(context: Context) -> Iterator[Finding]:
    """Yield a failing finding for each row that cannot go in as it comes out made, a warning where gaps are wanting."""
    yield from by_places(context, lambda state, _: _state(context, state))


def _state(context: Context, state: str) -> Iterator[Finding]:
    return _alike(context, state, list(rows_of(context, state, lambda row: _short(context, row) > TOUCH)))


def _gaps(context: Context, row: Row) -> float:
    rule = context.rules[RULE]
    ends = sum(rule["wall"] if face.of_room else rule["between"] for face in (row.low, row.high))
    return (len(row.things) - 1) * rule["between"] + ends


def _wanted(context: Context, row: Row) -> float:
    """Return all that the opening must be more than the things' sizes, mm."""
    return _gaps(context, row) + len(row.things) * context.rules[RULE]["tolerance"]


def _short(context: Context, row: Row) -> float:
    return _wanted(context, row) - row.left_over


def _alike(context: Context, state: str, rows: Sequence[Row]) -> Iterator[Finding]:
    """Yield one finding for all rows that are alike, such as the layers of a stack."""
    groups: dict[tuple[object, ...], list[Row]] = {}
    for row in rows:
        key = (
            row.axis,
            tuple(round(size, 2) for size in row.sizes),
            round(row.opening, 2),
            row.low.name,
            row.high.name,
        )
        groups.setdefault(key, []).append(row)
    for alike in groups.values():
        finding = _finding(context, state, alike[0])
        names = dict.fromkeys(name for row in alike for name in row.names)
        more = f" ({len(alike)} such rows)" if len(alike) > 1 else ""
        yield replace(finding, things=tuple(names), text=finding.text + more)


def _finding(context: Context, state: str, row: Row) -> Finding:
    wanted, tolerance = _wanted(context, row), len(row.things) * context.rules[RULE]["tolerance"]
    severity: Severity = "fail" if row.left_over <= tolerance + TOUCH else "warn"
    say, n = context.say, len(row.things)
    how, _, less = _WORDS[row.axis]
    left = f"{say(context.down(row.left_over))} is left" if row.left_over > TOUCH else _none_left(context, row)
    return Finding(
        rule=RULE, severity=severity, things=row.names, states=(state,), measured=round(row.left_over, 2),
        wanted=round(wanted, 2), short_by=round(wanted - row.left_over, 2), where=row.where,
        text=f"{_listed(row.names)} {how} are {say(row.total)} in {say(row.opening)} between {row.low.name} and "
             f"{row.high.name}: {left}; {n + 1} gaps, and {say(tolerance / n)} for what each comes out larger, "
             f"want {say(wanted)}",
        cure=_cure(context, row, less),
    )  # fmt: skip


def _none_left(context: Context, row: Row) -> str:
    return f"{context.say(context.up(-row.left_over))} too much" if row.left_over < -TOUCH else "nothing is left"


def _cure(context: Context, row: Row, less: str) -> str:
    """Say the largest size that each may have, as an equation where they are equal, else how much comes off."""
    n, say = len(row.things), context.say
    each = (row.opening - _wanted(context, row)) / n
    if max(row.sizes) - min(row.sizes) <= TOUCH and each > 0:
        _, word, _ = _WORDS[row.axis]
        tolerance = say(context.rules[RULE]["tolerance"])
        sum_of = f"({say(row.opening)} - {say(_gaps(context, row))} of gaps) / {n} - {tolerance}"
        return f"make each at most {say(context.down(each))} {word}: {sum_of}"
    return f"make each {say(context.up(_short(context, row) / n))} {less}, or leave one out"


def _listed(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}"
