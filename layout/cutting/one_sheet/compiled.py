"""The fast twin of the kernels: the same source, compiled when first called and kept on disk after that."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib.util import find_spec, module_from_spec
from inspect import isfunction
from types import ModuleType
from typing import Any


@cache
def compiled() -> ModuleType:
    """Return a second copy of the module `kernels` whose functions are compiled.

    The copy is loaded from the same file, so that the two cannot differ; its functions call each other by name
    and so call the compiled ones.
    """
    import numba  # noqa: F401 - here, so that a machine without it fails before anything is loaded

    spec = find_spec("layout.cutting.one_sheet.kernels")
    if spec is None or spec.loader is None:
        raise ImportError("the module of the kernels is missing")
    twin = module_from_spec(spec)
    spec.loader.exec_module(twin)
    for name, function in list(vars(twin).items()):
        if isfunction(function):
            setattr(twin, name, _fast(function))
    return twin


def _fast(function: Callable[..., Any]) -> Any:
    """Return a function that is compiled when first called, kept on disk where there is a place to keep it."""
    from numba import njit

    try:
        return njit(cache=True)(function)
    except RuntimeError:  # neither the package's folder nor the user's can be written
        return njit(function)
