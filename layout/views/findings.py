"""What fails, shown where it fails: a thick dashed outline with a number keyed to the list."""

from __future__ import annotations

from layout.drawing.labels import Labels
from layout.drawing.lines import polygon
from layout.drawing.model import WIDE, Mark, Pen
from layout.model.finding import Finding
from layout.views.figure import Window
from layout.views.shapes import Look

LAYER = "findings"


def finding_marks(
    findings: tuple[Finding, ...], state: str, look: Look, window: Window, labels: Labels
) -> tuple[Mark, ...]:
    """Return the outlines of what fails in the state, and add the numbers and texts to `labels`."""
    marks: list[Mark] = []
    for finding in findings:
        if finding.severity == "fail" and finding.where and state in (*finding.states, *_any(finding, state)):
            shape = look.outline(finding.where)
            ring = window.ring(shape.exterior.coords[:-1])
            marks.append(polygon(LAYER, ring, pen=Pen(width=WIDE, dash="dashed"), id=finding.rule))
            labels.number(f"FAILS: {finding.text}", window.box(shape.bounds), finding.rule)
    return tuple(marks)


def _any(finding: Finding, state: str) -> tuple[str, ...]:
    """Return the state for a finding that names no state: it holds in all of them."""
    return () if finding.states else (state,)
