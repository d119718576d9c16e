"""The highest value of a measure that bends at known marks: the best deck height, the best place on a mattress."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

Measure = Callable[[float], float]
_HAIR = 1e-3
_STRAIGHT = 1e-6
_STEP = 1e-2
_MOST_CUTS = 24


def highest(measure: Measure, marks: Iterable[float]) -> tuple[float, float]:
    """Return where `measure` is highest between the least and the last mark, and its value there.

    Never more than the truth: each value told was measured at the place told. It is the truth wherever the measure,
    between two marks, is the least of straight lines: there two tangents meet over the peak, so cutting at their
    meeting point finds it. A measure may jump at a mark; the marks themselves are tried too.
    """
    return max(peaks(measure, marks), key=lambda found: found[1])


def peaks(measure: Measure, marks: Iterable[float]) -> Iterator[tuple[float, float]]:
    """Yield each mark, and the peak between each two, with the measure there, upward."""
    ordered = sorted(set(marks))
    for a, b in pairwise(ordered):
        yield a, measure(a)
        if b - a > 4 * _HAIR:
            yield _peak(measure, a + _HAIR, b - _HAIR)
    yield ordered[-1], measure(ordered[-1])


def _peak(measure: Measure, a: float, b: float) -> tuple[float, float]:
    at_a, at_b, middle = measure(a), measure(b), (a + b) / 2
    at_middle = measure(middle)
    best = max((at_a, -a), (at_b, -b), (at_middle, -middle))
    # The least of straight lines that lies on its own chord at the middle is that chord.
    if abs(at_middle - (at_a + at_b) / 2) > _STRAIGHT:
        best = max(best, _cut(measure, (a, at_a), (b, at_b)))
    return -best[1], best[0]


def _cut(measure: Measure, low: tuple[float, float], high: tuple[float, float]) -> tuple[float, float]:
    """Return the highest value between two places, and its place with the sign turned, by cutting at tangents."""
    best = max((low[1], -low[0]), (high[1], -high[0]))
    for _ in range(_MOST_CUTS):
        (a, at_a), (b, at_b) = low, high
        step = min(_STEP, (b - a) / 8)
        up, down = (measure(a + step) - at_a) / step, (at_b - measure(b - step)) / step
        if up <= 0 or down >= 0 or step < _STRAIGHT:
            break
        place = min(max((at_b - at_a + up * a - down * b) / (up - down), a), b)
        value, reached = measure(place), at_a + up * (place - a)
        best = max(best, (value, -place))
        if reached - value <= _STRAIGHT:
            break
        rises = measure(min(place + step, b)) > value
        low, high = ((place, value), high) if rises else (low, (place, value))
    return best
