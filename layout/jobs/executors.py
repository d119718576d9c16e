"""Where many tasks are worked on: processes of this machine, or a cluster by address; the same results either way."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from multiprocessing import get_context
from typing import Generic, Protocol, TypeVar

from layout.errors import Fault, InputError

Task = TypeVar("Task")
Result = TypeVar("Result")
_RETRIES = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Done(Generic[Result]):
    """The outcome of the task of that number: a result, or why there is none."""

    number: int
    result: Result | None = None
    failed: str = ""


class Executor(Protocol):
    """Works on tasks, each whole and for itself, and tells outcomes as they come, in any order."""

    def run(self, work: Callable[[Task], Result], tasks: Sequence[Task]) -> Iterator[Done[Result]]:
        """Yield an outcome for each task; a worker that is lost costs its task nothing but time."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Processes:
    """`workers` processes of this machine."""

    workers: int = 2

    def run(self, work: Callable[[Task], Result], tasks: Sequence[Task]) -> Iterator[Done[Result]]:
        """Yield an outcome for each task; when a process dies the tasks that it may have had are tried again."""
        left, tries = dict(enumerate(tasks)), dict.fromkeys(range(len(tasks)), 0)
        while left:
            # A fresh pool after a loss: the old one takes no more work.
            with ProcessPoolExecutor(min(self.workers, len(left)), mp_context=get_context("spawn")) as pool:
                futures = {pool.submit(work, task): number for number, task in left.items()}
                try:
                    for done in _outcomes(futures):
                        del left[done.number]
                        yield done
                except BrokenProcessPool:
                    for number in list(left):
                        tries[number] += 1
                        if tries[number] > _RETRIES:
                            del left[number]
                            yield Done(number=number, failed="its worker was lost again and again")
                except BaseException:
                    # Somebody stops: what has not begun is not begun.
                    pool.shutdown(wait=False, cancel_futures=True)
                    raise


def _outcomes(futures: dict[Future[Result], int]) -> Iterator[Done[Result]]:
    waiting = set(futures)
    while waiting:
        finished, waiting = wait(waiting, return_when=FIRST_COMPLETED)
        for future in sorted(finished, key=lambda f: futures[f]):
            error = future.exception()
            if isinstance(error, BrokenProcessPool):
                raise error
            number = futures[future]
            yield Done(number=number, failed=_said(error)) if error else Done(number=number, result=future.result())


@dataclass(frozen=True, kw_only=True, slots=True)
class Cluster:
    """The workers of a cluster of the library dask.distributed, by the address of its scheduler."""

    address: str

    def run(self, work: Callable[[Task], Result], tasks: Sequence[Task]) -> Iterator[Done[Result]]:
        """Yield an outcome for each task; the scheduler gives the tasks of a lost worker to another.

        Raises
        ------
        InputError
            When the library is not installed or nobody answers at the address.
        """
        with _client(self.address) as client:
            from distributed import as_completed

            futures = {
                client.submit(work, task, retries=_RETRIES, pure=False): number for number, task in enumerate(tasks)
            }
            try:
                for future in as_completed(list(futures)):
                    error = future.exception()
                    number = futures[future]
                    yield Done(number=number, failed=_said(error)) if error else Done(number=number, result=future.result())
            except BaseException:
                client.cancel(list(futures))
                raise


def _client(address: str):  # type: ignore[no-untyped-def]  # the library's own class, which may not be there
    try:
        from distributed import Client
    except ImportError:
        text = "needs the library distributed: pip install 'cargo-space-layout[cluster]'"
        raise InputError([Fault("try", 0, 0, "--cluster", text)]) from None
    try:
        return Client(address, timeout="10s")
    except (OSError, ValueError) as error:
        text = f"nobody answers at {address!r} ({error.__class__.__name__}); write for instance tcp://192.168.1.20:8786"
        raise InputError([Fault("try", 0, 0, "--cluster", text)]) from None


def _said(error: BaseException | None) -> str:
    return f"{error.__class__.__name__}: {error}" if error else ""
