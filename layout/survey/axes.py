"""The axes of the space among the points: conditions on the unknowns, and a picture turned to fit them."""

from __future__ import annotations

import numpy as np

from layout.errors import ValueFaultError
from layout.model.survey import Axes
from layout.survey.functions import Entry, Row, Vector
from layout.survey.network import PATH, Network

_EXACT = 1e-3  # mm: conditions, not readings


def axes_rows(net: Network, axes: Axes) -> list[Row]:
    """Return the three conditions that lay the axes: x of two points, or x and y of one and y of another, is 0.

    Raises
    ------
    ValueFaultError
        When a point is not measured.
    """
    (ax, ay), (bx, by) = ((net.x_of(p), net.x_of(p) + 1) for p in named(net, axes))
    terms = [[(1.0, ax)], [(1.0, bx)], [(0.5, ay), (0.5, by)]] if axes.rear else [[(1.0, ax)], [(1.0, ay)], [(1.0, by)]]
    return [
        Row(name="", value=0.0, sigma=_EXACT, terms=tuple((factor, Entry(i)) for factor, i in row)) for row in terms
    ]


def named(net: Network, axes: Axes) -> tuple[str, str]:
    """Return the two points that lay the axes.

    Raises
    ------
    ValueFaultError
        When one of them is not measured.
    """
    for point in (*(axes.rear or (axes.origin, axes.forward)), *([axes.left] if axes.left else [])):
        if point not in net.points:
            text = f"no measurement names the point {point!r}; there are: {', '.join(net.points) or 'none'}"
            raise ValueFaultError((*PATH, "axes"), text)
    one, other = axes.rear or (axes.origin, axes.forward)
    return one, other


def turned(net: Network, u: Vector, axes: Axes) -> Vector:
    """Return the picture shifted and turned so that the axes lie as said; points without a place stay so (nan)."""
    a, b = (np.array(net.place(u, p)) for p in named(net, axes))
    origin = (a + b) / 2 if axes.rear else a
    # With y from the right to the left end of the cross line, x runs a quarter turn clockwise of it.
    along = a - b if axes.rear else b - a
    e = np.array([along[1], -along[0]] if axes.rear else along) / (np.hypot(*along) or 1.0)
    v, count = u.copy(), 2 * len(net.points)
    q = u[:count].reshape(-1, 2) - origin
    v[:count] = np.column_stack((q @ e, q @ np.array([-e[1], e[0]]))).ravel()
    return v


def is_right_way(net: Network, u: Vector, axes: Axes | None) -> bool:
    """Return whether the points lie before the cross line, or the named one to the left, as the axes say."""
    if axes is None or axes.rear:
        return not net.points or bool(np.mean(u[: 2 * len(net.points) : 2]) > 0)
    return not axes.left or net.place(u, axes.left)[1] > 0


def refuse_wrong_way(net: Network, u: Vector, axes: Axes | None) -> None:
    """Refuse axes that the measurements contradict.

    Raises
    ------
    ValueFaultError
        Saying what to write instead.
    """
    if axes is None or is_right_way(net, u, axes):
        return
    if axes.rear:
        left, right = axes.rear
        text = f"by the offsets, {right} is left of {left} as one looks forward; write rear: [{right}, {left}]"
        raise ValueFaultError((*PATH, "axes", "rear"), text)
    text = f"by the offsets, {axes.left} lies to the right of the line from {axes.origin} to {axes.forward}"
    raise ValueFaultError((*PATH, "axes", "left"), text)
