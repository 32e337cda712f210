"""Getting the kernels ready before the clock starts."""

import os
import subprocess
from typing import Any

import pytest

from nester import readiness


def test_bounds_are_compiled_by_a_process_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where kernels must be compiled, a second process works, ends well and is waited for.

    A third compiles what is needed late, and nobody waits for it.
    """
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")  # the process must run, not compile
    monkeypatch.setattr(readiness, "is_compiled", lambda: False)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    started: list[subprocess.Popen[bytes]] = []
    popen = subprocess.Popen

    def start(*args: Any, **more: Any) -> "subprocess.Popen[bytes]":
        started.append(popen(*args, **more))
        return started[-1]

    monkeypatch.setattr(subprocess, "Popen", start)
    monkeypatch.setattr(readiness, "_LATER", [])
    readiness.get_ready.__wrapped__()
    beside, later = started
    assert beside.returncode == 0
    assert later.wait() == 0


def test_one_core_compiles_in_one_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """On one core a second process would win nothing, so none is started."""
    monkeypatch.setattr(readiness, "is_compiled", lambda: False)
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    monkeypatch.setattr(subprocess, "Popen", None)
    readiness.get_ready.__wrapped__()


def test_a_process_that_cannot_be_started_is_done_without(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where no process may be started, everything is compiled in this one."""
    refused = []

    def start(*_: Any, **__: Any) -> None:
        refused.append(True)
        raise OSError("no more processes")

    monkeypatch.setattr(readiness, "is_compiled", lambda: False)
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.setattr(subprocess, "Popen", start)
    readiness.get_ready.__wrapped__()
    assert refused == [True]
