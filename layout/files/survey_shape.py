"""The survey of a project file as measurements by name, adjusted."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from difflib import get_close_matches

from layout.errors import ValueFaultError
from layout.files.rules import read_rules
from layout.files.survey_format import SurveyFormat
from layout.model.rule import Rule
from layout.model.survey import Alone, Axes, Beside, Between, Measure, Survey, Surveyed, Tape
from layout.survey.adjust import adjust
from layout.survey.network import points_of
from layout.survey.outline import squared

PATH = ("space", "survey")
CENTRELINE = "centreline"
_ENDS = re.compile(r"\s*[-–—]\s*")
_ROUND = 2  # digits of a mm: no tape says more, and what least squares leaves beyond is noise


def surveyed(said: SurveyFormat, order: tuple[str, ...], rules: Mapping[str, Rule] | None) -> Surveyed:
    """Return the survey adjusted, with the numbers of the rule ``survey``.

    Parameters
    ----------
    said
        What the file says.
    order
        The corners of the floor by name, in order; none if the floor is given otherwise.
    rules
        The rules in force; None: those shipped.

    Raises
    ------
    ValueFaultError
        When names cannot be matched, or measurements do not fix the points.
    """
    survey = survey_of(said, order)
    if order and said.axes is None and not said.known and CENTRELINE not in said.offsets:
        text = "say how the axes lie: axes: {rear: [left, right]} with the two ends of the cross line"
        raise ValueFaultError((*PATH, "axes"), text)
    rule = _rule(rules)
    tape = Tape(
        reading=said.tape or rule["tape"],
        straight=rule["straight"],
        critical=rule["critical"],
        swap=rule["critical_slip"],
    )
    return adjust(survey, tape)


def survey_of(said: SurveyFormat, order: tuple[str, ...] = ()) -> Survey:
    """Return the measurements as values.

    Raises
    ------
    ValueFaultError
        When a name means nothing, or one thing is said twice.
    """
    survey = Survey(
        measures=(*_distances(said), *_lengths(said), *_offsets(said)),
        known=dict(said.known), axes=_axes(said), sums=dict(said.sums),
        alike=tuple(said.left_right.items()), order=order,
    )  # fmt: skip
    if not survey.measures:
        raise ValueFaultError(PATH, "nothing is measured; write distances: {A-B: 1740, ...} between named points")
    _refuse_pairs(survey)
    if said.points is not None:
        _refuse_points(said.points, survey)
    return survey


def _axes(said: SurveyFormat) -> Axes | None:
    axes = said.axes
    if axes is None:
        return None
    if said.known:
        text = "known places lie in the axes of the space already; keep known: or axes:, not both"
        raise ValueFaultError((*PATH, "axes"), text)
    return Axes(rear=axes.rear, origin=axes.origin or "", forward=axes.forward or "", left=axes.left or "")


def floor_corners(
    found: Surveyed, order: tuple[str, ...], rules: Mapping[str, Rule] | None
) -> tuple[tuple[float, float], ...]:
    """Return the places of the floor's corners, mm; an end out of square by no more than a tape leaves is squared.

    Raises
    ------
    ValueFaultError
        When a corner is no point of the survey.
    """
    for point in order:
        if point not in found.points:
            text = f"no measurement names the point {point!r}{_near(point, found.points)}"
            raise ValueFaultError(("space", "floor", "survey"), text)
    ring = squared([found.points[p] for p in order], _rule(rules)["square"])
    return tuple((round(x, _ROUND), round(y, _ROUND)) for x, y in ring)


def _rule(rules: Mapping[str, Rule] | None) -> Rule:
    return (rules if rules is not None else read_rules())["survey"]


def _distances(said: SurveyFormat) -> Iterator[Measure]:
    for key in said.diagonals:
        if key in said.distances:
            raise ValueFaultError((*PATH, "diagonals", key), "stands under distances too; keep one of them")
    for group in ("distances", "diagonals"):
        for name, reading in getattr(said, group).items():
            a, b = _ends(name, (*PATH, group, name))
            yield Measure(name=name, what=Between(a=a, b=b), reading=reading)


def _lengths(said: SurveyFormat) -> Iterator[Measure]:
    for name, reading in said.lengths.items():
        if name in said.between:
            raise ValueFaultError((*PATH, "lengths", name), "is a distance's name too; call it otherwise")
        yield Measure(name=name, what=Alone(), reading=reading)


def _offsets(said: SurveyFormat) -> Iterator[Measure]:
    for line, offsets in said.offsets.items():
        path = (*PATH, "offsets", line)
        ends = None if line == CENTRELINE else _ends(line, path)
        for point, offset in offsets.items():
            if point in (ends or ()):
                raise ValueFaultError((*path, point), f"{point} is an end of the line itself")
            if offset.along is not None:
                what = Beside(point=point, axis="along", line=ends)
                yield Measure(name=f"{point} along {line}", what=what, reading=offset.along)
            if offset.out is not None:
                what = Beside(point=point, axis="out", line=ends)
                yield Measure(name=f"{point} out {line}", what=what, reading=offset.out)


def _ends(name: str, path: tuple[str, ...]) -> tuple[str, str]:
    ends = [end.strip() for end in _ENDS.split(name)]
    if len(ends) != 2 or not all(ends) or ends[0] == ends[1]:  # noqa: PLR2004 (a line has two ends)
        raise ValueFaultError(path, f"{name!r} names no two points; write for instance A-B, with no hyphen in a name")
    return ends[0], ends[1]


def _refuse_pairs(survey: Survey) -> None:
    """Refuse a pair that names a measurement that is not there."""
    measured = {m.name for m in survey.measures}
    for pair in survey.alike:
        for name in pair:
            if name not in measured:
                text = f"nothing measured is called {name!r}{_near(name, measured)}"
                raise ValueFaultError((*PATH, "left_right", pair[0]), text)


def _refuse_points(listed: Collection[str], survey: Survey) -> None:
    """Refuse a measurement of a point that the file does not list, where it lists points."""
    for m in survey.measures:
        for point in points_of(m.what):
            if point not in listed:
                text = f"{m.name} names the point {point!r}, which is not listed here{_near(point, listed)}"
                raise ValueFaultError((*PATH, "points"), text)


def _near(name: str, known: Collection[str]) -> str:
    names = sorted(known)
    close = get_close_matches(name, names, n=1)
    return f"; did you mean {close[0]!r}?" if close else f"; there are: {', '.join(names) or 'none'}"
