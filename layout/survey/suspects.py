"""Which measurement is wrong: Baarda's data snooping, one after the other, and slips of the pen.

W. Baarda, "A testing procedure for use in geodetic networks", 1968 (from memory): with v the residuals, w = v over its
own standard deviation is normal with spread 1 if nothing is wrong; the largest |w| beyond a critical value names
the suspect, which is set aside before the next is looked for.
"""

from __future__ import annotations

import numpy as np

from layout.model.survey import Checked, Reading, Survey, Suspect, Tape
from layout.survey.digits import slips
from layout.survey.functions import Vector
from layout.survey.network import Network
from layout.survey.solve import Matrix, least_squares, linear

_MOST = 6
_CHECKS = 1e-6
# Tests whose errors go together more than this cannot be told apart by any measurement taken.
_SAME = 0.995
# A test this near the largest is nearly as likely the wrong one; and this near, a slip of the pen decides.
_NEAR, _EVEN = 1.0, 0.3
# A slip explains a reading when it lands within so many standard deviations of what the others say.
_LANDS = 3.0


def suspects_of(net: Network, survey: Survey, tape: Tape, u: Vector) -> tuple[Suspect, ...]:
    """Return the suspected measurements, the first found first; `u` (mm) is hardly moved by gross errors."""
    found: list[Suspect] = []
    active = net
    while len(found) < _MOST:
        suspect = _Tests(active, survey, u, tape).suspect()
        if suspect is None:
            break
        found.append(suspect)
        if not suspect.aside:
            break
        active = active.without([suspect.checked.measure.name])
        u = least_squares(active, u, robust=True)
    return tuple(found)


class _Tests:
    """The test values of all measurements of a network at one place."""

    def __init__(self, net: Network, survey: Survey, u: Vector, tape: Tape) -> None:
        self.net, self.u, self.tape = net, u, tape
        self.measures = {m.name: m for m in survey.measures}
        at = linear(net, u)
        self.off: Matrix = np.eye(len(net.rows)) - at.hat
        self.redundancy = np.clip(np.diag(self.off), 0.0, 1.0)
        # Residual: adjusted less read; the misfit is read less worked out.
        self.residual = -(self.off @ at.misfit)
        checks = [k for k, row in enumerate(net.rows) if row.name and self.redundancy[k] > _CHECKS]
        self.tests = {k: float(self.residual[k] / self.redundancy[k] ** 0.5) for k in checks}

    def suspect(self) -> Suspect | None:
        """Return the measurement most spoken against, if any is beyond the critical value."""
        order = sorted(self.tests, key=lambda k: (-abs(self.tests[k]), k))
        largest = abs(self.tests[order[0]]) if order else 0.0
        if largest <= min(self.tape.swap, self.tape.critical):
            return None
        near = [k for k in order if abs(self.tests[k]) > largest - _NEAR]
        even = [k for k in near if abs(self.tests[k]) > largest - _EVEN or self._alike(k, order[0])]
        told = {k: self._checked(k) for k in even}
        swaps = {k: slip for k in even if (slip := _slip(told[k], self.tape))}
        if largest <= (self.tape.swap if swaps else self.tape.critical):
            return None
        # A slip that sets all right is the likelier cause among measurements that cannot be told apart.
        chosen = next(iter(swaps)) if len(swaps) == 1 else order[0]
        same = [k for k in near if k != chosen and self._alike(k, chosen)]
        others = tuple(self.net.rows[k].name for k in (same or near) if k != chosen)
        return Suspect(
            checked=told[chosen],
            others=others,
            swapped=swaps.get(chosen),
            aside=not same or len(swaps) == 1,
        )

    def _alike(self, k: int, other: int) -> bool:
        """Return whether an error in one shows exactly as one in the other."""
        both = (self.redundancy[k] * self.redundancy[other]) ** 0.5
        return bool(abs(self.off[k, other]) > _SAME * both)

    def _checked(self, k: int) -> Checked:
        """Return the measurement against what an adjustment of all others, without it, says it should be."""
        row, share = self.net.rows[k], float(self.redundancy[k])
        u = least_squares(self.net.without([row.name]), self.u)
        expected = row.at(u)[0]
        return Checked(
            measure=self.measures[row.name],
            residual=share * (expected - row.value),
            redundancy=share,
            test=self.tests[k],
            expected=expected,
            spread=row.sigma * (1 / share - 1) ** 0.5,
        )


def _slip(checked: Checked, tape: Tape) -> Reading | None:
    """Return the slip of the pen that lands nearest to what the others say, if one does."""
    sigma = float(np.hypot(checked.spread, tape.reading))
    ways = sorted(slips(checked.measure.reading), key=lambda r: (abs(r.mm - checked.expected), r.text))
    return next((r for r in ways[:1] if abs(r.mm - checked.expected) <= _LANDS * sigma), None)
