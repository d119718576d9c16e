"""Many searches: the same results in one process, in two and on a cluster, also when workers are lost or somebody stops."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from multiprocessing import active_children
from pathlib import Path
from typing import Any

import pytest

from layout.errors import InputError
from layout.jobs.arrange import Options
from layout.jobs.executors import Cluster, Done, Executor, Processes
from layout.jobs.many import Many, Variant, many, many_json, many_report, variants_of
from tests.builders import project_text

QUICK = Options(count=1, effort="quick")
BOX = {"kind": "box", "length": "900", "width": "500", "height": "400", "mass": "20"}
#: Three projects that are searched in tenths of a second, one for which there is no room, and one with a fault.
PROJECTS = {
    "a-chest": project_text(things={"chest": BOX}),
    "b-two": project_text(things={"chest": BOX, "crate": {**BOX, "length": "600"}}),
    "c-none": project_text(things={"hull": {**BOX, "length": "4000"}}),
    "d-fault": project_text(things={"chest": {**BOX, "length": "nine hundred"}}),
    "e-tall": project_text(things={"locker": {**BOX, "height": "1500", "length": "500"}}),
}


FOUND = ("a-chest", "b-two", "e-tall")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the projects."""
    made = tmp_path_factory.mktemp("projects")
    for name, text in PROJECTS.items():
        (made / f"{name}.yaml").write_text(text, encoding="utf-8")
    (made / "notes.txt").write_text("no project", encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def told() -> list[str]:
    """Return what was told while one process worked on the folder, filled by then."""
    return []


@pytest.fixture(scope="module")
def one(folder: Path, told: list[str]) -> Many:
    """Return what one process makes of the folder."""
    return many(variants_of([str(folder)], (), QUICK), Processes(workers=1), told.append)


@pytest.fixture(scope="module")
def alone(one: Many) -> dict[str, Any]:
    """Return that as programs get it."""
    return many_json(one)


def _few(folder: Path) -> tuple[Variant, ...]:
    """Return the searches of those projects in which something is found: the quick ones."""
    return tuple(v for v in variants_of([str(folder)], (), QUICK) if v.name in FOUND)


def _of_few(alone: dict[str, Any]) -> dict[str, Any]:
    return {"stopped": False, "searches": [each for each in alone["searches"] if each["name"] in FOUND]}


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    """Return a cluster of two workers on this machine."""
    import logging

    from distributed import LocalCluster

    with LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, silence_logs=logging.CRITICAL
    ) as made:
        yield made


class Here:
    """Works on tasks in this process, where no other is needed."""

    def run(self, work: Any, tasks: Any) -> Iterator[Done[Any]]:
        yield from (Done(number=i, result=work(task)) for i, task in enumerate(tasks))


def _quiet(said: str) -> None:
    """Hear nothing."""


def _evaluated(executor: Executor, *tasks: str) -> dict[int, Done[Any]]:
    """Return what an executor makes of expressions, by their numbers."""
    return {done.number: done for done in executor.run(eval, tasks)}


def test_every_project_is_an_outcome_in_the_order_asked_for(alone: dict[str, Any]) -> None:
    """Found, impossible and at fault stand side by side; the fault names its line, and what is no project is left out."""
    searches = {each["name"]: each for each in alone["searches"]}

    assert list(searches) == list(PROJECTS)
    assert not alone["stopped"]
    assert [len(searches[name]["arrangements"]) for name in ("a-chest", "b-two", "e-tall")] == [1, 1, 1]
    assert searches["c-none"]["verdict"] == "impossible"
    assert searches["c-none"]["arrangements"] == []
    assert "d-fault.yaml:" in searches["d-fault"]["failed"]
    assert "things.chest.length" in searches["d-fault"]["failed"]


def test_two_processes_give_what_one_gives(folder: Path, alone: dict[str, Any]) -> None:
    """The number of processes changes nothing in the results."""
    assert many_json(many(variants_of([str(folder)], (), QUICK), Processes(workers=2), _quiet)) == alone


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_gives_what_one_process_gives_also_when_a_worker_is_lost(
    folder: Path, alone: dict[str, Any], cluster: Any
) -> None:
    """Workers elsewhere change nothing; nor does one that is killed after the first outcome has come."""
    from distributed import Client

    executor = Cluster(address=cluster.scheduler_address)
    with Client(cluster.scheduler_address, set_as_default=False) as client:
        first = list(client.run(os.getpid).values())
        killed: list[int] = []

        def kill(said: str) -> None:
            if not killed:
                killed.append(first[0])
                os.kill(first[0], signal.SIGKILL)

        assert many_json(many(_few(folder), executor, kill)) == _of_few(alone)
        assert killed
    assert many_json(many(variants_of([str(folder)], (), QUICK), executor, _quiet)) == alone


def test_a_process_that_is_killed_costs_its_task_nothing_but_time(folder: Path, alone: dict[str, Any]) -> None:
    """One of the processes is killed after the first outcome: the results are the same."""
    killed: list[int | None] = []
    others = active_children()

    def kill(said: str) -> None:
        if not killed:
            victim = next(child for child in active_children() if child not in others)
            killed.append(victim.pid)
            victim.kill()

    assert many_json(many(_few(folder), Processes(workers=2), kill)) == _of_few(alone)
    assert killed


def test_what_kills_its_process_each_time_takes_no_other_down(tmp_path: Path) -> None:
    """A task that ends its process whenever it runs is given up; those beside it, and one that does so once, have results."""
    once = tmp_path / "once"
    ends_once = (
        f"7 if __import__('os').path.exists({str(once)!r}) else [open({str(once)!r}, 'w'), __import__('os')._exit(1)]"
    )
    done = _evaluated(Processes(workers=2), "1 + 1", "__import__('os')._exit(1)", ends_once, "2 + 2", "3 + 3")

    assert {i: one.result for i, one in done.items()} == {0: 2, 1: None, 2: 7, 3: 4, 4: 6}
    assert "lost" in done[1].failed
    assert not any(done[i].failed for i in (0, 2, 3, 4))


def test_an_error_in_a_task_is_its_outcome() -> None:
    """What a task raises is told with its kind, and the others go on."""
    done = _evaluated(Processes(workers=1), "1 / 0", "5")

    assert done[0].failed.startswith("ZeroDivisionError")
    assert done[1].result == 5


@pytest.mark.filterwarnings("ignore")
def test_an_error_on_the_cluster_is_the_outcome_of_its_task(cluster: Any) -> None:
    """On a cluster too an error is told and the others go on; so is a task that ends each worker that it is given to."""
    done = _evaluated(Cluster(address=cluster.scheduler_address), "1 / 0", "5")

    assert done[0].failed.startswith("ZeroDivisionError")
    assert done[1].result == 5


def test_what_was_found_is_kept_when_somebody_stops(folder: Path, alone: dict[str, Any]) -> None:
    """An interrupt while the first outcome is told: it is kept, what has not begun is not done, and the report says so."""
    found = _stopped_at_first(folder, Processes(workers=1))
    said = many_json(found)

    assert found.stopped
    assert said["searches"][0] == alone["searches"][0]
    assert said["searches"][-1] == {"name": "e-tall", "failed": "not done"}
    assert "stopped before all were done" in many_report(found)
    assert "e-tall: not done" in many_report(found)
    assert found.exit_code == 1


@pytest.mark.filterwarnings("ignore")
def test_what_was_found_on_a_cluster_is_kept_when_somebody_stops(
    folder: Path, alone: dict[str, Any], cluster: Any
) -> None:
    """An interrupt while the first outcome of a cluster is told: it is kept, and no other result is other than alone."""
    found = _stopped_at_first(folder, Cluster(address=cluster.scheduler_address))
    said = many_json(found)["searches"]

    assert found.stopped
    assert len(found.results) + len(found.failed) >= 1
    assert all(said[i] == alone["searches"][i] for i in (*found.results, *found.failed))


def _stopped_at_first(folder: Path, executor: Executor) -> Many:
    def stop(said: str) -> None:
        raise KeyboardInterrupt

    return many(variants_of([str(folder)], (), QUICK), executor, stop)


def test_work_under_way_is_told_to_stop() -> None:
    """An interrupt reaches a worker that is busy: its task ends as stopped, and no process is left."""
    others = set(active_children())
    outcomes = Processes(workers=2).run(eval, ["1", "__import__('time').sleep(300)", "2"])
    first = next(outcomes)
    rest = [outcomes.throw(KeyboardInterrupt())]
    with pytest.raises(KeyboardInterrupt):
        next(outcomes)

    assert first.result == 1
    assert [(done.number, done.failed) for done in rest] == [(1, "stopped")]
    assert set(active_children()) <= others


def test_leaving_the_outcomes_leaves_no_process_behind() -> None:
    """Whoever takes no more outcomes does not wait for what is under way."""
    others = set(active_children())
    outcomes = Processes(workers=2).run(eval, ["1", "__import__('time').sleep(300)"])
    assert next(outcomes).result == 1
    outcomes.close()

    assert set(active_children()) <= others


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize(
    "address", ["tcp://127.0.0.1:9", "nowhere", "", "tcp://", "://", "127.0.0.1:notaport", "smoke://a:1"]
)
def test_an_address_where_nobody_answers_is_told(address: str) -> None:
    """A wrong address is bad input with an example of a right one, not a traceback."""
    with pytest.raises(InputError, match=r"tcp://192\.168\.1\.20:8786"):
        list(Cluster(address=address, patience=0.3).run(eval, ["1"]))


def test_a_missing_library_is_told_with_how_to_get_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the library for clusters the words say what to install."""
    monkeypatch.setitem(__import__("sys").modules, "distributed", None)

    with pytest.raises(InputError, match=r"pip install 'cargo-space-layout\[cluster\]'"):
        list(Cluster(address="tcp://127.0.0.1:9").run(eval, ["1"]))


def test_a_project_in_other_spaces_is_a_variant_each(folder: Path) -> None:
    """Each space takes the place of the project's own, linings excepted; a space that is not there is its outcome."""
    spaces = ("spaces/van-compact", "spaces/van-nowhere")
    made = variants_of([str(folder / "a-chest.yaml")], spaces, QUICK)
    found = many_json(many(made, Here(), _quiet))["searches"]

    assert [v.name for v in made] == ["a-chest in van-compact", "a-chest in van-nowhere"]
    assert len(found[0]["arrangements"]) == 1
    assert "van-nowhere" in found[1]["failed"]


def test_a_broken_file_is_an_outcome_also_in_another_space(tmp_path: Path) -> None:
    """A file that is no YAML does not keep the others from being searched."""
    (tmp_path / "good.yaml").write_text(PROJECTS["a-chest"], encoding="utf-8")
    (tmp_path / "bad.yaml").write_text("layout: [1\n", encoding="utf-8")
    made = variants_of([str(tmp_path)], ("spaces/van-compact",), QUICK)
    found = many(made, Here(), _quiet)

    assert [v.name for v in made] == ["bad in van-compact", "good in van-compact"]
    assert "bad.yaml:" in found.failed[0]
    assert found.results[1]["arrangements"]
    assert found.exit_code == 2


def test_files_of_one_name_are_told_apart(tmp_path: Path) -> None:
    """Two projects of one name in two folders are told by their paths."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "van.yaml").write_text(PROJECTS["a-chest"], encoding="utf-8")
    made = variants_of([str(tmp_path / "one"), str(tmp_path / "two" / "van.yaml")], (), QUICK)

    assert [v.name for v in made] == [str(tmp_path / name / "van.yaml") for name in ("one", "two")]


def test_a_file_that_is_not_there_and_an_empty_folder_are_refused(tmp_path: Path) -> None:
    """What was typed wrongly is told before anything is searched."""
    for path, said in ((tmp_path / "gone.yaml", "no such file"), (tmp_path, "no project file")):
        with pytest.raises(InputError, match=said):
            variants_of([str(path)], (), QUICK)


@pytest.mark.parametrize(
    ("results", "failed", "stopped", "code"),
    [
        ((1, 1), (), False, 0),
        ((1, 0), (), False, 1),
        ((1,), (1,), False, 2),
        ((1,), (), True, 1),
        ((1, 1), (), True, 0),
    ],
)
def test_exit_codes(results: tuple[int, ...], failed: tuple[int, ...], stopped: bool, code: int) -> None:
    """0 when each search found something, 2 when a project was at fault, else 1."""
    variants: Any = ("v", "w")
    found = Many(
        variants=variants, results={i: {"arrangements": [{}] * n} for i, n in enumerate(results)},
        failed=dict.fromkeys(failed, "fault"), stopped=stopped,
    )  # fmt: skip

    assert found.exit_code == code


def test_the_report_tells_each_search_and_its_arrangements(one: Many, told: list[str]) -> None:
    """The report for people names every search, what was found in it, and what is wrong with the one at fault."""
    text = many_report(one)

    assert len(told) == len(PROJECTS)
    assert told[-1].startswith(f"{len(PROJECTS)} of {len(PROJECTS)}: ")
    assert [line.split(":")[0] for line in text.splitlines() if not line.startswith(" ")] == list(PROJECTS)
    assert one.results[0]["arrangements"][0]["name"] in text
