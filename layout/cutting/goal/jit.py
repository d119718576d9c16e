"""Compile the inner loops when a compiler is there; without one the same code runs, slower, to the same answers."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

Function = TypeVar("Function", bound=Callable[..., Any])


def jit(function: Function) -> Function:
    """Return `function`, compiled on its first call and kept for the next run; as it is where that cannot be."""
    try:
        import numba
    except ImportError:
        return function
    try:
        return cast(Function, numba.njit(cache=True, nogil=True)(function))
    except RuntimeError:
        # No folder to keep compiled code in: compile for this run only.
        return cast(Function, numba.njit(nogil=True)(function))


def is_compiled() -> bool:
    """Return whether code compiled by an earlier run is there, as far as can be told; compiling takes a while."""
    return any(Path(__file__).parent.glob("__pycache__/*.nbi"))
