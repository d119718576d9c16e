"""Where many tasks are worked on: processes of this machine, or a cluster by address; the same results either way."""

from __future__ import annotations

import os
from collections import deque
from collections.abc import Callable, Collection, Generator, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass, field
from multiprocessing import get_context
from multiprocessing.queues import SimpleQueue
from signal import SIG_IGN, SIGINT, SIGTERM, default_int_handler, signal
from typing import Any, Generic, Protocol, TypeVar

from layout.errors import Fault, InputError

Task = TypeVar("Task")
Result = TypeVar("Result")
_RETRIES = 3
_STOPPED = "stopped"
_SOON = 0.2  # seconds
_AGAIN = 5.0  # seconds after which a worker that was told to stop is told again
_LOST = "its worker was lost again and again"


@dataclass(frozen=True, kw_only=True, slots=True)
class Done(Generic[Result]):
    """The outcome of the task of that number: a result, or why there is none."""

    number: int
    result: Result | None = None
    failed: str = ""


class Executor(Protocol):
    """Works on tasks, each whole and for itself, and tells outcomes as they come, in any order.

    A keyboard interrupt, also one thrown into the iterator, ends the work: what has not begun is not begun, what is
    under way is told to stop, the outcomes that there are then are told, and at last the interrupt is raised.
    """

    def run(self, work: Callable[[Task], Result], tasks: Sequence[Task]) -> Generator[Done[Result], None, None]:
        """Yield an outcome for each task; a worker that is lost costs its task nothing but time."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Processes:
    """`workers` processes of this machine."""

    workers: int = 2

    def run(self, work: Callable[[Task], Result], tasks: Sequence[Task]) -> Generator[Done[Result], None, None]:
        """Yield an outcome for each task; when a process dies what was under way is tried again, each task alone.

        So a task that kills its process takes no other down with it; it is given up when it does so again and again.
        """
        left = deque(enumerate(tasks))
        suspects: deque[tuple[int, Task]] = deque()
        losses = dict.fromkeys(range(len(tasks)), 0)
        while left or suspects:
            queue, width = (suspects, 1) if suspects else (left, self.workers)
            lost = yield from _pooled(work, queue, width)
            for number, task in lost:
                losses[number] += len(lost) == 1
                if losses[number] > _RETRIES:
                    yield Done(number=number, failed=_LOST)
                else:
                    suspects.append((number, task))


def _pooled(
    work: Callable[[Task], Result], queue: deque[tuple[int, Task]], width: int
) -> Generator[Done[Result], None, list[tuple[int, Task]]]:  # fmt: skip
    """Yield the outcomes of the queue's tasks, worked on in one pool; return what was under way if a process died.

    A fresh pool after a loss: a broken one takes no more work. No more is handed in than is worked on, so that nothing
    begins after a stop, and only what was under way is suspected after a loss.
    """
    under_way: dict[Future[Any], tuple[int, Task]] = {}
    context = get_context("spawn")
    workers = _Workers(queue=context.SimpleQueue())
    with ProcessPoolExecutor(width, mp_context=context, initializer=_deaf, initargs=(workers.queue,)) as pool:
        try:
            while queue or under_way:
                while queue and len(under_way) < width:
                    under_way[pool.submit(_heard, work, queue[0][1])] = queue[0]
                    queue.popleft()
                wait(under_way, return_when=FIRST_COMPLETED)
                yield from _finished(under_way)
                if any(_is_lost(future) for future in under_way):
                    break
        except BrokenProcessPool:
            yield from _finished(under_way)
        except KeyboardInterrupt:
            yield from _stopped(under_way, workers)
            raise
        except GeneratorExit:
            workers.kill(under_way)
            raise
    return sorted(under_way.values(), key=lambda item: item[0])


def _finished(under_way: dict[Future[Any], tuple[int, Task]]) -> Iterator[Done[Any]]:
    """Yield and take out what has an outcome, be it an error; what was lost with its process stays."""
    whole = [f for f in under_way if f.done() and not _is_lost(f)]
    for future in sorted(whole, key=lambda f: under_way[f][0]):
        number, _ = under_way.pop(future)
        error = future.exception()
        yield Done(number=number, failed=_said(error)) if error else Done(number=number, result=future.result())


def _is_lost(future: Future[Any]) -> bool:
    """Return whether the process that worked on it died."""
    return future.done() and isinstance(future.exception(), BrokenProcessPool)


def _stopped(under_way: dict[Future[Any], tuple[int, Task]], workers: _Workers) -> Iterator[Done[Any]]:
    """Tell the workers to stop, and yield what they have then; whoever interrupts that too kills them."""
    try:
        while under_way and not any(_is_lost(future) for future in under_way):
            workers.interrupt()
            # One that had not begun yet has not heard it: it is told again.
            wait(under_way, timeout=_AGAIN)
            yield from _finished(under_way)
    except BaseException:
        workers.kill(under_way)
        raise


@dataclass(frozen=True, kw_only=True, slots=True)
class _Workers:
    """The processes of a pool: each puts its number into the queue when it is ready to be interrupted."""

    queue: SimpleQueue[int]
    known: set[int] = field(default_factory=set)

    def interrupt(self) -> None:
        """Interrupt all that are ready."""
        self._tell(SIGINT)

    def kill(self, under_way: Collection[Future[Any]]) -> None:
        """Kill all, also those that get ready only now, until nothing is under way."""
        while not all(future.done() for future in under_way):
            self._tell(SIGTERM)
            wait(under_way, timeout=_SOON)

    def _tell(self, what: int) -> None:
        while not self.queue.empty():
            self.known.add(self.queue.get())
        for number in sorted(self.known):
            with suppress(OSError):
                os.kill(number, what)


def _deaf(ready: SimpleQueue[int]) -> None:
    """Let a worker ignore Ctrl-C while it waits, in a group of its own, so that only its master interrupts it."""
    signal(SIGINT, SIG_IGN)
    if hasattr(os, "setpgrp"):
        os.setpgrp()
    ready.put(os.getpid())


def _heard(work: Callable[[Task], Result], task: Task) -> Result:
    """Return what comes of the task, during which the worker hears an interrupt: a search then returns what it has."""
    signal(SIGINT, default_int_handler)
    try:
        return work(task)
    except KeyboardInterrupt:
        raise _StoppedError(_STOPPED) from None
    finally:
        signal(SIGINT, SIG_IGN)


class _StoppedError(Exception):
    """A task was stopped before it had an outcome."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Cluster:
    """The workers of a cluster of the library dask.distributed, by the address of its scheduler.

    `patience` is how long it is waited for an answer, seconds.
    """

    address: str
    patience: float = 10.0

    def run(self, work: Callable[[Task], Result], tasks: Sequence[Task]) -> Generator[Done[Result], None, None]:
        """Yield an outcome for each task; the scheduler gives the tasks of a lost worker to another.

        Raises
        ------
        InputError
            When the library is not installed or nobody answers at the address.
        """
        with _client(self.address, self.patience) as client:
            from distributed import as_completed

            futures = {
                client.submit(work, task, retries=_RETRIES, pure=False): number for number, task in enumerate(tasks)
            }
            left = dict(futures)
            try:
                for future in as_completed(list(futures), loop=client.loop):  # type: ignore[no-untyped-call]  # the library's own
                    del left[future]
                    yield _done_far(futures[future], future)
            except KeyboardInterrupt:
                for future in [f for f in left if f.done()]:
                    yield _done_far(left.pop(future), future)
                client.cancel(list(left))
                raise
            except BaseException:
                client.cancel(list(left))
                raise


def _done_far(number: int, future: Any) -> Done[Any]:
    """Return the outcome of a task on the cluster; what the cluster dropped has failed."""
    if future.cancelled():
        return Done(number=number, failed="the cluster dropped it")
    error = future.exception()
    return Done(number=number, failed=_said(error)) if error else Done(number=number, result=future.result())


def _client(address: str, patience: float):  # type: ignore[no-untyped-def]  # the library's own class, which may not be there
    try:
        from distributed import Client
        from distributed.comm.addressing import parse_address, parse_host_port
        from distributed.comm.registry import get_backend
    except ImportError:
        text = "needs the library distributed: pip install 'cargo-space-layout[cluster]'"
        raise InputError([Fault("try", 0, 0, "--cluster", text)]) from None
    try:
        # The library does not get rid of a client whose address it could not read.
        scheme, place = parse_address(address)
        get_backend(scheme)
        parse_host_port(place)
        return Client(address, timeout=patience, set_as_default=False)  # type: ignore[no-untyped-call]  # as above
    except (OSError, ValueError, TypeError) as error:
        text = f"nobody answers at {address!r} ({error.__class__.__name__}); write for instance tcp://192.168.1.20:8786"
        raise InputError([Fault("try", 0, 0, "--cluster", text)]) from None


def _said(error: BaseException | None) -> str:
    return _STOPPED if isinstance(error, _StoppedError) else f"{error.__class__.__name__}: {error}" if error else ""
