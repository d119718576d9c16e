"""What a search found, in words for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from layout.arrange.find import Arrangement
from layout.jobs.arrange import Tried, WhyNot
from layout.jobs.compare import Row
from layout.units.length import format_length

_AXES = {"along": "along the space", "across": "across", "up": "in height"}
_MOST_FORMS = 3


def report(tried: Tried, rows: Sequence[Row] = ()) -> str:
    """Return what was found, with the table of differences, or why nothing was, as text for people."""
    lines = [tried.project.said.title, ""]
    if tried.why is not None:
        lines += _why(tried, tried.why)
    else:
        lines += _found(tried, rows)
    return "\n".join(lines) + "\n"


def _found(tried: Tried, rows: Sequence[Row]) -> Iterator[str]:
    found = tried.found
    count = len(found.arrangements)
    if not count:
        yield "stopped before anything was found"
        return
    stopped = "stopped: " if found.stopped else ""
    yield f"{stopped}{count} {'arrangements that pass' if count > 1 else 'arrangement that passes'} every check:"
    for i, (name, one) in enumerate(zip(tried.names, found.arrangements, strict=True)):
        yield f"  {i + 1}  {name}"
        yield f"     {_figure(one)}"
    if found.complete:
        yield "No other differs in where the big things are and is nearly as good (proven, on a grid of 10 mm)."
    if found.failed:
        rules = sorted({finding.rule for finding in found.failed})
        yield f"Refused by the checks on the way: {', '.join(rules)}."
    if rows:
        yield ""
        yield from table(rows)
    yield ""
    yield "To write one into the project file: --keep 1, or its name."


def table(rows: Sequence[Row]) -> Iterator[str]:
    """Yield the table of differences: a row a measure, a column an arrangement, a star at what is best."""
    cells = [[f"{cell}{' *' if best else ''}" for cell, best in zip(row.cells, row.best, strict=True)] for row in rows]
    first = max(len(row.name) for row in rows)
    widths = [max(len(line[i]) for line in cells) for i in range(len(cells[0]))]
    yield " " * first + "".join(f"  {i + 1:<{width}}" for i, width in enumerate(widths)).rstrip()
    for row, line in zip(rows, cells, strict=True):
        yield f"{row.name:<{first}}" + "".join(f"  {c:<{w}}" for c, w in zip(line, widths, strict=True)).rstrip()
    if any(any(row.best) for row in rows):
        yield "* best of its row; what counts for you is yours to say"


def _figure(one: Arrangement) -> str:
    share = f"{max(0.0, 100 * one.score / one.most):.0f} %" if one.most else "all"
    bound = "none is better of its like" if one.proven else f"none is better than {100 * one.bound / one.most:.0f} %"
    parts = ", ".join(f"{kind} {max(value, 0) / 10:.0f}" for kind, value in one.parts)
    return f"{share} of what is wished ({parts}); {bound}"


def _why(tried: Tried, why: WhyNot) -> Iterator[str]:
    units = tried.project.said.units
    if why.conflict is not None:
        members = why.conflict.members
        if len(members) == 1:
            yield f"impossible: {members[0]} has no place in this space, whatever else is in it"
        else:
            yield f"impossible: there is no room for all of: {', '.join(members)}"
            if why.conflict.minimal:
                yield "  (without any one of them the rest is not ruled out)"
        for key, short in why.shortfalls.items():
            for one in short[:_MOST_FORMS]:
                less, size = (format_length(v, units, unit_sign=True) for v in (one.less, one.size))
                yield f"  {key}: {size} {_AXES[one.axis]} is {less} too much"
    else:
        ended = (
            "has nothing left to try" if tried.found.verdict == "impossible" else "ended before it found an arrangement"
        )
        yield f"not found: the search {ended}; that is no proof that there is none"
    if tried.found.failed:
        first = tried.found.failed[0]
        yield f"  the checks refused for instance: {first.rule}: {first.text}"
    if why.most is not None:
        yield f"  with the most in it, this is left out: {', '.join(why.most.left_out)}"
    yield ""
    if why.ways_out:
        yield "Ways out, each of them searched and checked:"
        yield from (f"  - {way.words}" for way in why.ways_out)
    else:
        yield "No way out was found by giving up a size, a door, a turn or a thing."
