"""What the owner accepts: such findings are still told, with the reason, but no longer fail."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from layout.model.accept import Accept
from layout.model.finding import Finding


def with_accepted(findings: Iterable[Finding], accepts: Sequence[Accept]) -> tuple[Finding, ...]:
    """Return the findings, the accepted ones with the reason; states not accepted stay a finding of their own."""
    return tuple(part for finding in findings for part in _parts(finding, accepts))


def unused(findings: Iterable[Finding], accepts: Sequence[Accept]) -> tuple[Accept, ...]:
    """Return what is accepted though nothing of the kind was found: it may be struck out of the file."""
    found = list(findings)
    return tuple(accept for accept in accepts if not any(_about(accept, f) and _in_states(accept, f) for f in found))


def _parts(finding: Finding, accepts: Sequence[Accept]) -> Iterable[Finding]:
    for accept in accepts:
        if not _about(accept, finding):
            continue
        states = _in_states(accept, finding)
        if states and len(states) < len(finding.states):
            rest = tuple(state for state in finding.states if state not in states)
            yield replace(finding, states=states, accepted=accept.reason)
            yield from _parts(replace(finding, states=rest), accepts)
            return
        if states or not finding.states:
            yield replace(finding, accepted=accept.reason)
            return
    yield finding


def _about(accept: Accept, finding: Finding) -> bool:
    if accept.rule != finding.rule:
        return False
    # A group's name stands for each of its things, so "cups" accepts what is found of "cups 3".
    return all(any(_is(name, thing) for thing in finding.things) for name in accept.things)


def _is(name: str, thing: str) -> bool:
    return thing == name or (thing.startswith(f"{name} ") and thing[len(name) + 1 :].isdigit())


def _in_states(accept: Accept, finding: Finding) -> tuple[str, ...]:
    """Return the states of the finding that are accepted; for one of no state, a word that says so."""
    if not finding.states:
        return ("any",)
    return tuple(s for s in finding.states if not accept.states or s in accept.states)
