"""A survey adjusted: where its points are, how well its measurements agree, and which of them is wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from layout.errors import ValueFaultError
from layout.model.survey import Axes, Checked, Measure, Survey, Surveyed, Tape
from layout.survey.axes import axes_rows, refuse_wrong_way
from layout.survey.functions import Vector
from layout.survey.network import PATH, Network, network
from layout.survey.places import first_places, misfit
from layout.survey.solve import least_squares, linear, loose_points
from layout.survey.suspects import suspects_of
from layout.survey.ties import loose_text

_CHECKS = 1e-6  # of a reading: a redundancy below this checks nothing


def adjust(survey: Survey, tape: Tape = Tape()) -> Surveyed:  # noqa: B008 (frozen)
    """Return where the points are and what the measurements say of each other.

    Least squares over all measurements (Gauss-Newton), after the suspected ones are set aside one by one, the most
    suspected first, by Baarda's test of standardised residuals.

    Raises
    ------
    ValueFaultError
        When points cannot be placed or can still move, naming them and what to measure; when sums or axes name
        what is not there.
    """
    survey = _with_axes(survey)
    net = network(survey, tape)
    if survey.axes is not None:
        net = replace(net, rows=(*net.rows, *axes_rows(net, survey.axes)))
    start = least_squares(net, _start(net, survey), robust=True)
    if loose := loose_points(net, start):
        raise ValueFaultError(PATH, loose_text(net, loose))
    suspects = suspects_of(net, survey, tape, start)
    kept = net.without([s.checked.measure.name for s in suspects if s.aside])
    u = least_squares(kept, start)
    refuse_wrong_way(net, u, survey.axes)
    return Surveyed(
        survey=survey,
        points={p: net.place(u, p) for p in net.points},
        checked=_checked(net, kept, survey, u),
        suspects=suspects,
        lengths={name: float(u[2 * len(net.points) + i]) for i, name in enumerate(net.lengths)},
    )


def _with_axes(survey: Survey) -> Survey:
    """Return the survey with axes through its first points, where nothing lays them."""
    net = network(survey, Tape())
    if net.absolute or survey.axes is not None or len(net.points) < 2:  # noqa: PLR2004 (a line)
        return survey
    first = [*survey.order, *(p for p in net.points if p not in survey.order)]
    return replace(survey, axes=Axes(origin=first[0], forward=first[1]))


def _start(net: Network, survey: Survey) -> Vector:
    """Return first values: from all measurements, or without the one without which the others agree far better."""
    starts: list[Vector] = []
    fault: ValueFaultError | None = None
    for without in ((), *((m.name,) for m in survey.measures)):
        try:
            starts.append(first_places(net.without(without), survey))
        except ValueFaultError as error:
            fault = fault or error
        # All agree, or all but the one left out do: there is no better start to look for.
        if starts and misfit(net, starts[-1])[0] <= len(without):
            break
    best = min(starts, key=lambda u: misfit(net, u), default=None)
    # Where points cannot be placed one reading may be to blame, but more than one is a survey to be taken again.
    if best is None or (fault is not None and misfit(net, best)[0] > 1):
        raise fault or ValueFaultError(PATH, "nothing was measured")
    return best


def _checked(net: Network, kept: Network, survey: Survey, u: Vector) -> tuple[Checked, ...]:
    """Return each measurement with what those kept say of it."""
    hat = linear(kept, u).hat
    by_name = {row.name: float(1 - hat[k, k]) for k, row in enumerate(kept.rows)}
    cofactor = np.linalg.pinv(linear(kept, u).a)
    made = []
    for measure in survey.measures:
        row = next(r for r in net.rows if r.name == measure.name)
        value = row.at(u)[0]
        if measure.name in by_name:
            made.append(_one_kept(measure, value - row.value, max(by_name[measure.name], 0.0), row.sigma))
            continue
        one = linear(replace(net, rows=(row,)), u).a @ cofactor
        spread = row.sigma * float(np.linalg.norm(one))
        test = (value - row.value) / float(np.hypot(row.sigma, spread))
        made.append(
            Checked(
                measure=measure, residual=value - row.value, redundancy=1.0, test=test, expected=value, spread=spread
            )
        )
    return tuple(made)


def _one_kept(measure: Measure, residual: float, redundancy: float, sigma: float) -> Checked:
    if redundancy < _CHECKS:
        return Checked(
            measure=measure, residual=residual, redundancy=0.0, test=0.0, expected=measure.reading.mm, spread=0.0
        )
    return Checked(
        measure=measure,
        residual=residual,
        redundancy=redundancy,
        test=residual / (sigma * redundancy**0.5),
        expected=measure.reading.mm + residual / redundancy,
        spread=sigma * (1 / redundancy - 1) ** 0.5,
    )
