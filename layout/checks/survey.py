"""Rule ``survey``: the tape's readings agree with each other."""

from __future__ import annotations

from collections.abc import Iterator

from layout.checks.context import Context
from layout.model.finding import Finding, Severity
from layout.model.survey import Beside, Between, Measure, Surveyed, Suspect

RULE = "survey"
_MOST_NAMED = 8


def check(context: Context) -> Iterator[Finding]:
    """Yield a finding for each reading that the others speak against, for unlike pairs, for what nothing checks."""
    found = context.space.survey
    if found is None:
        return
    for suspect in found.suspects:
        yield _suspected(context, found, suspect)
    yield from _unlike(context, found)
    yield from _unchecked(context, found)


def _suspected(context: Context, found: Surveyed, suspect: Suspect) -> Finding:
    checked, say = suspect.checked, context.say
    read = checked.measure.reading
    off = abs(read.mm - checked.expected)
    severity: Severity = "fail" if off > context.rules[RULE]["limit"] else "warn"
    way = "more" if read.mm > checked.expected else "less"
    others = f" {_or(suspect.others)} may be the wrong one as well." if suspect.others else ""
    return Finding(
        rule=RULE, severity=severity, things=(), states=(),
        text=f"{checked.measure.name} was read as {say(read.mm)}, but all other readings together say "
        f"{say(checked.expected)}, give or take {say(max(checked.spread, context.grain))}: {say(off)} {way}.{others}",
        cure=_cure(suspect),
        measured=read.mm, wanted=checked.expected, short_by=off, line=_line(found, checked.measure),
    )  # fmt: skip


def _cure(suspect: Suspect) -> str:
    name, read = suspect.checked.measure.name, suspect.checked.measure.reading
    again = f"read {name} again" + (f", then {' and '.join(suspect.others)}" if suspect.others else "")
    if suspect.swapped is None:
        return again
    return f"{again}; {read.text} may have been {suspect.swapped.text}, written down with a slip"


def _or(names: tuple[str, ...]) -> str:
    more = f" or {len(names) - _MOST_NAMED} others" if len(names) > _MOST_NAMED else ""
    return " or ".join(names[:_MOST_NAMED]) + more


def _unlike(context: Context, found: Surveyed) -> Iterator[Finding]:
    """Yield a warning for each pair of left and right that differs more than a body does."""
    by_name = {m.name: m for m in found.survey.measures}
    most = context.rules[RULE]["alike"]
    for left, right in found.survey.alike:
        a, b = abs(by_name[left].reading.mm), abs(by_name[right].reading.mm)
        if abs(a - b) > most:
            yield Finding(
                rule=RULE, severity="warn", things=(), states=(),
                text=f"{left} ({context.say(a)}) and {right} ({context.say(b)}) should be alike, but differ by "
                f"{context.say(abs(a - b))}; up to {context.say(most)} is usual",
                cure=f"read both again; if the body is so, take them out of left_right: {left}: {right}",
                measured=abs(a - b), wanted=most, short_by=abs(a - b) - most, line=_line(found, by_name[left]),
            )  # fmt: skip


def _unchecked(context: Context, found: Surveyed) -> Iterator[Finding]:
    least = context.rules[RULE]["checked"]
    names = [c.measure.name for c in found.checked if c.redundancy < least]
    alike = {name for pair in found.survey.alike for name in pair}
    names = [name for name in names if name not in alike]
    if names:
        more = f" and {len(names) - _MOST_NAMED} more" if len(names) > _MOST_NAMED else ""
        yield Finding(
            rule=RULE, severity="note", things=(), states=(),
            text=f"no other reading checks {', '.join(names[:_MOST_NAMED])}{more}: an error there would not be found",
            cure="read each again from its other end (A-B, then B-A), or measure a diagonal, or the parts of a sum",
        )  # fmt: skip


def _line(found: Surveyed, measure: Measure) -> tuple[tuple[float, float, float], ...]:
    """Return the line on the floor along which it was measured, if it was."""
    what = measure.what
    if isinstance(what, Between):
        ends: tuple[str, ...] = (what.a, what.b)
    else:
        ends = (what.line[0], what.point) if isinstance(what, Beside) and what.line else ()
    return tuple((*found.points[p], 0.0) for p in ends)
