"""Published optima of the one-sheet question, each proven again; sources are with each instance."""

from __future__ import annotations

import pytest

from layout.cutting.one_sheet.engine import best_sheet
from tests.cutting.one_sheet.instances import BY_NAME, INSTANCES, OF1_ANY_LAYOUT, Instance

_COLUMNS = {
    "fixed": {},
    "turned": {"turning": True},
    "fixed_free": {"unlimited": True},
    "turned_free": {"turning": True, "unlimited": True},
}
_KNOWN = [
    pytest.param(instance, column, id=f"{instance.name}-{column}")
    for instance in INSTANCES
    for column in _COLUMNS
    if getattr(instance, column) is not None
]


def _value(instance: Instance, scale: int = 1, **how: bool) -> int:
    length, width = instance.sheet
    answer = best_sheet(instance.pieces(scale=scale, **how), length * scale, width * scale)
    assert answer.proven
    return answer.value


@pytest.mark.parametrize(("instance", "column"), _KNOWN)
def test_every_published_optimum_is_reached_and_proven(instance: Instance, column: str) -> None:
    """Protects the answer: the optimum of the instance's source, no more and no less, and called proven."""
    value = _value(instance, **_COLUMNS[column])
    assert value == getattr(instance, column)
    assert (instance.name, value) != ("OF1", OF1_ANY_LAYOUT)


def test_a_perfect_layout_that_no_cuts_reach() -> None:
    """Protects edge to edge: C1_2 (Hopper & Turton 2001) fills the sheet, but not by such cuts; 385 to 389 is known."""
    assert 385 <= _value(BY_NAME["C1_2"]) <= 389


@pytest.mark.parametrize("name", ["cgcut1", "cgcut2", "HADCHR3", "OF1", "OF2", "HH", "CHL5"])
def test_more_freedom_is_never_worth_less(name: str) -> None:
    """Protects the model: fixed ≤ turned, limited ≤ unlimited (papers of the instances); stages limit only further."""
    instance = BY_NAME[name]
    fixed, turned = _value(instance), _value(instance, turning=True)
    free, both = _value(instance, unlimited=True), _value(instance, turning=True, unlimited=True)
    assert max(instance.staged, default=0) <= fixed <= min(turned, free)
    assert max(turned, free) <= both


@pytest.mark.parametrize("name", ["cgcut1", "cgcut3", "OF2", "ngcut9"])
def test_the_size_of_a_tick_does_not_matter(name: str) -> None:
    """Protects large numbers: sides in ticks of 125 nm (8000 a mm) get the published optimum of the same sides."""
    assert _value(BY_NAME[name], scale=8000) == BY_NAME[name].fixed


@pytest.mark.parametrize("name", ["ngcut1", "ngcut2", "ngcut4", "ngcut5", "cgcut1", "HADCHR3", "CHL5", "lai1997_1"])
@pytest.mark.parametrize("turning", [False, True])
def test_plain_python_and_the_compiler_agree(name: str, *, turning: bool) -> None:
    """Protects machines without a compiler: the plain kernels give the compiled ones' answer, piece for piece."""
    instance = BY_NAME[name]
    plain, fast = (best_sheet(instance.pieces(turning=turning), *instance.sheet, fast=fast) for fast in (False, True))
    assert plain == fast
