"""Many searches at once: a folder of projects, or projects each in several spaces; kept as they come."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from layout.errors import Fault, InputError, LayoutError
from layout.jobs.arrange import Options
from layout.jobs.executors import Done, Executor


@dataclass(frozen=True, kw_only=True, slots=True)
class Variant:
    """One search: a name, the project's bytes as they are to be searched, the folder that it lies in.

    `fault` is what is wrong with the project already, so that it cannot be searched.
    """

    name: str
    data: bytes
    file: str
    folder: str
    options: Options
    fault: str = ""


@dataclass(frozen=True, kw_only=True)
class Many:
    """What came of many searches: in the order asked for; `stopped` when somebody stopped them before all were done."""

    variants: tuple[Variant, ...]
    results: dict[int, dict[str, Any]] = field(default_factory=dict)
    failed: dict[int, str] = field(default_factory=dict)
    stopped: bool = False

    @property
    def exit_code(self) -> int:
        """Return 0 when every search found an arrangement, 2 when a project was at fault, else 1."""
        if self.failed and not self.stopped:
            return 2
        found = [result for result in self.results.values() if result["arrangements"]]
        return 0 if len(found) == len(self.variants) else 1


def variants_of(paths: Sequence[str], spaces: Sequence[str], options: Options) -> tuple[Variant, ...]:
    """Return the variants of project files, and of all that lie in folders: each as it is, or in each of `spaces`.

    `spaces` are catalogue entries that take the place of the project's own.

    Raises
    ------
    InputError
        When a file cannot be read or a folder holds no project. What is wrong inside a project is its outcome.
    """
    files = [file for path in paths for file in _files(path)]
    stems = [file.stem for file in files]
    names = [stem if stems.count(stem) == 1 else str(file) for file, stem in zip(files, stems, strict=True)]
    return tuple(v for file, name in zip(files, names, strict=True) for v in _of(file, name, spaces, options))


def _files(path: str) -> Iterator[Path]:
    if not Path(path).is_dir():
        yield Path(path)
        return
    found = sorted(p for p in Path(path).iterdir() if p.suffix in (".yaml", ".yml") and p.is_file())
    if not found:
        raise InputError([Fault(path, 0, 0, "", "holds no project file (*.yaml)")])
    yield from found


def _of(file: Path, name: str, spaces: Sequence[str], options: Options) -> Iterator[Variant]:
    from layout.jobs.load import read_file

    data, folder = read_file(str(file))
    plain = Variant(name=name, data=data, file=str(file), folder=str(folder), options=options)
    if not spaces:
        yield plain
    for space in spaces:
        named = replace(plain, name=f"{name} in {space.rpartition('/')[2]}")
        try:
            yield replace(named, data=_in_space(data, str(file), space))
        except LayoutError as error:
            yield replace(named, fault=str(error))


def _in_space(data: bytes, file: str, space: str) -> bytes:
    """Return the project with a catalogue entry as its space; what the linings take stays as the project says."""
    from layout.files.editing.change import Change
    from layout.files.editing.write import edited
    from layout.files.nodes import Group, read_nodes

    faults: list[Fault] = []
    nodes = read_nodes(data, file, faults)
    if faults:
        raise InputError(faults)
    said = nodes.get("space")
    keys = [str(key) for key in said] if isinstance(said, Group) else []
    gone = [Change(path=("space", key), value=None) for key in keys if key not in ("use", "build_up")]
    return edited(data, [*gone, Change(path=("space", "use"), value=space)], file)


def search(variant: Variant) -> dict[str, Any]:
    """Return the outcome of one search as plain values; done wherever the executor will.

    Raises
    ------
    InputError
        As reading and searching do; the executor tells it as the outcome.
    """
    from layout.files.project import read_project
    from layout.jobs.arrange import as_json, try_project
    from layout.jobs.compare import compared, rows_json

    tried = try_project(read_project(variant.data, variant.file, Path(variant.folder)), variant.options)
    return {**as_json(tried), "stopped": tried.found.stopped, "measures": rows_json(compared(tried))}


def many(variants: Sequence[Variant], executor: Executor, tell: Callable[[str], None]) -> Many:
    """Return the outcomes of all variants; those that were there when somebody stopped it, then."""
    found = Many(variants=tuple(variants))
    outcomes = executor.run(_safe, variants)
    try:
        for done in outcomes:
            _keep(found, done)
            tell(f"{len(found.results) + len(found.failed)} of {len(variants)}: {variants[done.number].name}")
    except KeyboardInterrupt:
        _keep_the_rest(found, outcomes)
        return replace(found, stopped=True)
    return found


def _keep_the_rest(found: Many, outcomes: Generator[Done[dict[str, Any]], None, None]) -> None:
    """Keep what searches had found when somebody stopped them; whoever does so twice does not wait for it."""
    with suppress(KeyboardInterrupt, StopIteration):
        done = outcomes.throw(KeyboardInterrupt())
        while True:
            _keep(found, done)
            done = next(outcomes)


def _safe(variant: Variant) -> dict[str, Any]:
    """Return the outcome, or what is wrong with the project as an outcome of its own."""
    if variant.fault:
        return {"fault": variant.fault}
    try:
        return search(variant)
    except LayoutError as error:
        return {"fault": str(error)}


def _keep(found: Many, done: Done[dict[str, Any]]) -> None:
    if done.result is None or "fault" in done.result:
        found.failed[done.number] = done.failed or str((done.result or {}).get("fault"))
    else:
        found.results[done.number] = done.result


def many_json(found: Many) -> dict[str, Any]:
    """Return all outcomes for programs, in the order asked for."""
    return {
        "stopped": found.stopped,
        "searches": [
            {"name": v.name, **(found.results.get(i) or {"failed": found.failed.get(i, "not done")})}
            for i, v in enumerate(found.variants)
        ],
    }


def many_report(found: Many) -> str:
    """Return the outcomes as text for people: a line a search, then its arrangements."""
    return "\n".join([*_lines(found), *(["", "stopped before all were done"] if found.stopped else [])]) + "\n"


def _lines(found: Many) -> Iterable[str]:
    for i, variant in enumerate(found.variants):
        result = found.results.get(i)
        if result is None:
            yield f"{variant.name}: {found.failed.get(i, 'not done')}"
            continue
        arrangements = result["arrangements"]
        yield f"{variant.name}: {result['verdict']}" + (f", {len(arrangements)}" if arrangements else "")
        for one in arrangements:
            share = f"{100 * one['score'] / one['most']:.0f} %" if one["most"] else "all"
            yield f"  {one['name']}: {share} of what is wished"
        for way in (result["why"] or {}).get("ways out", ()):
            yield f"  way out: {way['give']}"
