"""The verb ``new``: a commented project to start from."""

from __future__ import annotations

from pathlib import Path

from layout.errors import Fault, InputError
from layout.files.shipped import shipped


def examples() -> tuple[str, ...]:
    """Return the names of the shipped examples."""
    return tuple(sorted(path.stem for path in shipped("examples").glob("*.yaml")))


def new(target: str, like: str, *, replace: bool = False) -> None:
    """Write the example called `like` to `target`.

    Raises
    ------
    InputError
        When there is no such example, or the target exists and is not to be replaced.
    """
    if like not in examples():
        raise InputError(
            [Fault("new", 0, 0, "--like", f"no example is called {like!r}; there are: {', '.join(examples())}")]
        )
    path = Path(target)
    if path.exists() and not replace:
        raise InputError([Fault(target, 0, 0, "", "exists already; choose another name, or say --replace")])
    from layout.export.write import write_files

    write_files(path.resolve().parent, {path.name: (shipped("examples") / f"{like}.yaml").read_bytes()})
