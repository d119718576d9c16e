"""Answer the one-sheet question: bound it, look for a good answer, then prove that none is better."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from types import ModuleType

from layout.cutting.one_sheet.build import Build, laid_out
from layout.cutting.one_sheet.field import Field, field_of
from layout.cutting.one_sheet.greedy import completed, greedy_build
from layout.cutting.one_sheet.kinds import PieceKind, most_value, piece_kinds
from layout.cutting.one_sheet.prices import best_prices, free_prices, scale_of
from layout.cutting.one_sheet.referee import require_answer
from layout.cutting.one_sheet.search import Found, Ground, Limits, ground_of, search
from layout.cutting.one_sheet.values import SheetAnswer, ValuedPiece
from layout.cutting.values import Laid

# More places along a side make bounds tighter and everything slower, about with the third power.
_PLACES = 480
_PRICE_STEPS, _PRICE_WORK = 60, 2_000_000_000
# Pairs of builds looked at, for every build that may be made.
_WORK_A_BUILD = 10_000
# What plain Python does in a second or two; beyond it the compiled kernels are worth loading.
_SMALL_WORK, _SMALL_BUILDS = 300_000, 1_000
# Whole searches ask for less and less, in this many steps from the bound down to the best: each costs a few times
# the one before, and the last may ask for more than it need.
_STEPS = 8
# Broad searches: (builds kept of a slice of cells, part of the gap between the best and the bound asked for).
_QUICK = ((8, 8), (8, 1))
_DEEP = ((20, 32), (60, 16), (60, 8), (60, 4))
_DEEPEST = ((150, 16), (150, 8), (150, 3))
# The quick proof may use this part of the builds.
_QUICK_PART = 10


@dataclass(frozen=True, kw_only=True, slots=True)
class _State:
    """The best build so far, worth `value`, and a value that no choice exceeds; `hard`: a limit cut a proof short."""

    build: Build | None
    value: int
    bound: int
    hard: bool = False

    @property
    def proven(self) -> bool:
        return self.value >= self.bound


@dataclass(frozen=True, kw_only=True, slots=True)
class _Means:
    """What a run may use: the kernels, the limits of one search, and how often prices may be moved."""

    run: ModuleType
    limits: Limits
    small: bool


def best_sheet(
    pieces: Sequence[ValuedPiece],
    length: int,
    width: int,
    *,
    most_nodes: int = 400_000,
    seconds: float | None = None,
    fast: bool | None = None,
) -> SheetAnswer:
    """Return the pieces of greatest total value that edge-to-edge cuts free from one sheet, refereed.

    Cuts go from edge to edge, in any number of stages. The kerf is the caller's: add it to both sides of every
    piece and of the sheet. The same question gets the same answer, unless `seconds` end the search.

    Parameters
    ----------
    pieces : sequence of ValuedPiece
        What may be cut; names differ.
    length, width : int
        The sheet, in the ticks of the pieces; above 0.
    most_nodes : int
        How many rectangles of pieces one search may build; once it is reached the answer may be unproven.
    seconds : float, optional
        Begin nothing new after this time; checked now and then, so a search may end a little later.
    fast : bool, optional
        True for compiled kernels, False for plain Python; by default plain Python for small questions, since
        compiled kernels take about a second to load. The answer's value is the same.

    Raises
    ------
    ValueError
        When the sheet has no size, two pieces have one name, or values sum to 2**60 or more.
    RefereeError
        When the answer breaks a rule: a defect of this program.
    """
    _check(pieces, length, width)
    kinds = piece_kinds(pieces, length, width)
    late = _clock(seconds)
    if kinds:
        field = field_of(kinds, length, width, _PLACES)
        first = state = _begun(field)
        for means in () if first.proven else _means(field, most_nodes, late, fast):
            state = _answered(field, first, means)
            if not means.small or not state.hard or late():
                break
        answer = _answer(pieces, field, state)
    else:
        answer = SheetAnswer(value=0, laid=(), bound=0, proven=True)
    require_answer(pieces, length, width, answer)
    return answer


def _check(pieces: Sequence[ValuedPiece], length: int, width: int) -> None:
    if length <= 0 or width <= 0:
        raise ValueError(f"the sheet is {length} × {width}")
    if len({piece.name for piece in pieces}) < len(pieces):
        raise ValueError("two pieces have one name")


def _clock(seconds: float | None) -> Callable[[], bool]:
    end = None if seconds is None else time.monotonic() + seconds
    return lambda: end is not None and time.monotonic() >= end


def _means(field: Field, most_nodes: int, late: Callable[[], bool], fast: bool | None) -> Iterator[_Means]:
    """Yield what to try with: a small question in plain Python first, unless the caller chose."""
    from layout.cutting.one_sheet import kernels

    if fast is None and field.work * _PRICE_STEPS < _SMALL_WORK:
        limits = Limits(builds=min(most_nodes, _SMALL_BUILDS), work=_SMALL_WORK, late=late)
        yield _Means(run=kernels, limits=limits, small=True)
    limits = Limits(builds=most_nodes, work=most_nodes * _WORK_A_BUILD, late=late)
    yield _Means(run=kernels if fast is False else _fast_kernels(), limits=limits, small=False)


def _fast_kernels() -> ModuleType:
    """Return the compiled kernels, or the plain ones where there is no compiler."""
    from layout.cutting.one_sheet import kernels
    from layout.cutting.one_sheet.compiled import compiled

    try:
        return compiled()
    except ImportError:
        return kernels


def _begun(field: Field) -> _State:
    """Return a quick answer and the bound of areas alone: enough where all pieces fit easily.

    Raises
    ------
    ValueError
        When the values are too large to compute with.
    """
    if scale_of(field) < 1:
        raise ValueError("the values of the pieces are too large; give them in a coarser unit")
    build, value = greedy_build(field)
    return _State(build=build, value=value, bound=most_value(field.kinds, field.length, field.width))


def _answered(field: Field, first: _State, means: _Means) -> _State:
    """Return what prices and searches find; the bound is the least of all that hold."""
    steps = min(_PRICE_STEPS, max(10, _PRICE_WORK // field.work))
    start = free_prices(field, scale_of(field), means.run)
    if first.value > start.value:
        start = replace(start, build=first.build, value=first.value)
    prices = best_prices(field, start, steps, means.limits.late, means.run)
    bound = min(prices.bound, first.bound) if field.sound else first.bound
    state = _State(build=prices.build, value=prices.value, bound=bound)
    if state.proven:
        return state
    return _searched(ground_of(field, prices, means.run), state, means)


def _searched(ground: Ground, state: _State, means: _Means) -> _State:
    """Return the state after searches: a quick look and proof first, then a deep look and proof for what is hard."""
    quick = means if means.small else replace(means, limits=means.limits.part(_QUICK_PART))
    state = _looked(ground, state, _QUICK, means)
    state = _closed(ground, state, quick)
    if means.small or state.proven:
        return state
    state = _looked(ground, state, _DEEP, means)
    state = _closed(ground, state, means)
    return _looked(ground, state, _DEEPEST, means)


def _looked(ground: Ground, state: _State, ways: Sequence[tuple[int, int]], means: _Means) -> _State:
    """Return the state after broad searches, each for part of the gap there was at first."""
    low = state.value
    for broad, part in ways:
        if state.proven or means.limits.late():
            break
        target = max(state.value + 1, state.bound - (state.bound - low) // part)
        found = search(ground, target, state.value, means.limits, means.run, broad=broad)
        state = _better(state, found)
        if ways is not _QUICK:
            state = _completed(ground.field, state, found, means)
    return state


def _completed(field: Field, state: _State, found: Found, means: _Means) -> _State:
    """Return the state after the sheet around each promising build is filled quickly."""
    for build in found.promising:
        if state.proven or means.limits.late():
            break
        whole, value = completed(field, build)
        if value > state.value:
            state = replace(state, build=whole, value=value)
    return state


def _closed(ground: Ground, state: _State, means: _Means) -> _State:
    """Return the state after whole searches that ask for less and less, until the best is proven or a limit ends it.

    A whole search that finds nothing worth its target proves that no choice is worth it.
    """
    low, top = state.value, state.bound
    for step in range(1, _STEPS + 1):
        target = max(state.value + 1, top - (top - low) * step // _STEPS)
        if state.proven or target > state.bound:
            continue
        found = search(ground, target, state.value, means.limits, means.run)
        state = _better(state, found)
        if not found.whole or not ground.field.sound:
            return replace(state, hard=not state.proven)
        state = replace(state, bound=max(state.value, target - 1))
    return state


def _better(state: _State, found: Found) -> _State:
    if found.build is None or found.value <= state.value:
        return state
    return replace(state, build=found.build, value=found.value)


def _answer(pieces: Sequence[ValuedPiece], field: Field, state: _State) -> SheetAnswer:
    names = {kind: _names(of) for kind, of in enumerate(field.kinds)}
    ways = {piece.name: {(way.length, way.width): way for way in reversed(piece.ways)} for piece in pieces}
    laid = []
    for number, x, y in sorted(laid_out(state.build), key=lambda one: one[1:]):
        kind, way = field.ways[number]
        name, lies = next(names[kind]), field.kinds[kind].ways[way]
        laid.append(Laid(name=name, x=x, y=y, way=ways[name][lies.length, lies.width]))
    return SheetAnswer(value=state.value, laid=tuple(laid), bound=state.bound, proven=state.proven)


def _names(kind: PieceKind) -> Iterator[str]:
    """Yield the names of the pieces of a kind, each as often as it may be cut."""
    return (name for name, count in kind.names for _ in range(count))
