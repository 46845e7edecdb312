"""Calls that take long, shared with processes beside this one, as many as there are cores.

What comes out is the same whatever their number: a call depends on its arguments alone. Nothing is
started for work that ends in a moment, and where no process can be started all is done here.

Decisions:

- New processes are spawned on every system: a fork would copy the solver's threads half.
- Nobody holds more than the call it makes: who is free takes the next, so none waits behind a long
  one. While this process waits for a call that is made elsewhere, it makes the next itself.
- A process beside this one ends with it, however it ends, and leaves an interrupt to it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from math import isfinite
from multiprocessing.process import BaseProcess
from types import TracebackType
from typing import Any, Generic, TypeVar

PATIENCE = 0.4
"""Seconds of work that are done here alone; a process needs as long to start."""

T = TypeVar("T")


class Call(Generic[T]):
    """A call that somebody makes: this process or one beside it."""

    def __init__(self, shared: SideBySide, function: Callable[..., T], *args: Any) -> None:
        self._shared, self.function, self.args = shared, function, args
        self.future: Future[T] | None = None

    def result(self) -> T:
        """Return what it comes to, made here unless another process has begun it."""
        self._shared.take(self)
        if self.future is None:
            self.make()
        assert self.future is not None
        while not self.future.done() and (other := self._shared.take_next()):
            other.make()
        try:
            return self.future.result()
        except BrokenProcessPool:
            return self.function(*self.args)

    def make(self) -> None:
        """Make it here; what it raises is raised where its result is asked for."""
        self.future = Future()
        try:
            self.future.set_result(self.function(*self.args))
        except Exception as error:
            self.future.set_exception(error)


class SideBySide:
    """Takes calls and shares them out, once they take longer than a moment.

    Functions and arguments must be such as `pickle` takes.
    """

    def __init__(self) -> None:
        self._lock = threading.RLock()
        self._waiting: list[Call[Any]] = []
        self._pool: ProcessPoolExecutor | None = None
        self._processes: set[BaseProcess] = set()
        self._others, self._busy = count_cores() - 1, 0
        self._began = time.monotonic()
        self._timer = threading.Timer(PATIENCE, self._share_late)  # while a long call is made here
        self._timer.daemon = True

    def __enter__(self) -> SideBySide:
        if self._others and isfinite(PATIENCE):
            self._timer.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self._timer.cancel()
        with self._lock:
            self._others = 0
        if self._pool is None:
            return
        if kind is not None:
            for process in self._processes:
                process.terminate()
        self._pool.shutdown(cancel_futures=True)

    def call(self, function: Callable[..., T], *args: Any) -> Call[T]:
        """Take a call, to be made when its result is asked for, or before."""
        taken = Call(self, function, *args)
        with self._lock:
            self._waiting.append(taken)
        return taken

    def take(self, wanted: Call[Any]) -> None:
        """Keep a call for this process, unless it was given away; the others may be, later on."""
        with self._lock:
            if wanted in self._waiting:
                self._waiting.remove(wanted)
            if time.monotonic() >= self._began + PATIENCE:
                self._share_out()

    def take_next(self) -> Call[Any] | None:
        """Keep the next call that waits for this process, if any does."""
        with self._lock:
            return self._waiting.pop(0) if self._waiting else None

    def _share_late(self) -> None:
        with self._lock:
            self._share_out()

    def _share_out(self) -> None:
        """Give the next calls that wait to the other processes, one to each that is free."""
        if not self._waiting or self._busy >= self._others:
            return
        before = set(multiprocessing.active_children())
        try:
            pool = self._pool = self._pool or self._make_pool()
            while self._waiting and self._busy < self._others:
                call = self._waiting.pop(0)
                call.future = pool.submit(call.function, *call.args)
                self._busy += 1
                call.future.add_done_callback(self._go_on)
        except (OSError, ImportError, NotImplementedError, BrokenProcessPool):
            self._others = 0
        self._processes |= set(multiprocessing.active_children()) - before

    def _go_on(self, made: Future[Any]) -> None:
        """Give the next call to the process that is free now, unless it has ended."""
        if made.cancelled() or isinstance(made.exception(), BrokenProcessPool):
            self._others = 0
            return
        with self._lock:
            self._busy -= 1
            self._share_out()

    def _make_pool(self) -> ProcessPoolExecutor:
        spawn = multiprocessing.get_context("spawn")
        return ProcessPoolExecutor(self._others, spawn, _follow_parent)


def count_cores() -> int:
    """Count the cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _follow_parent() -> None:
    """Leave an interrupt to the process that started this one, and end when that one ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    if (parent := multiprocessing.parent_process()) is not None:
        parent.join()
        os._exit(1)
