"""Kernels are compiled once for a machine, and it is known beforehand whether they were."""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from nester.solve.kernels import cache

ROOT = Path(__file__).resolve().parents[4]

TINY = """
from nester.solve.kernels.jit import kernel

@kernel
def twice(number):
    return 2 * number
"""


def loaded(path: Path) -> ModuleType:
    """Return a module from its file, as a new process would load it."""
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """Return the file of a kernel that compiles in no time."""
    path = tmp_path / "tiny.py"
    path.write_text(TINY, encoding="utf-8")
    return path


def use(monkeypatch: pytest.MonkeyPatch, path: Path) -> ModuleType:
    """Put the kernel of a file in place of the search, as in a new process; return its module."""
    module = loaded(path)
    monkeypatch.setattr(cache, "beam", module.twice)
    return module


def test_compiled_once(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not before the first call; after it, in this process and in the next."""
    module = use(monkeypatch, tiny)
    assert not cache.is_compiled()
    assert not module.twice.signatures  # asking compiled nothing
    assert module.twice(4) == 8
    assert cache.is_compiled()
    again = use(monkeypatch, tiny)
    assert not again.twice.signatures
    assert cache.is_compiled()


def test_another_source_is_compiled_anew(tiny: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was kept of an older source does not count."""
    use(monkeypatch, tiny).twice(4)
    tiny.write_text(TINY.replace("2 *", "2.5 *"), encoding="utf-8")
    module = use(monkeypatch, tiny)
    assert not cache.is_compiled()
    assert module.twice(4) == 10


def test_another_processor_is_compiled_for_anew(
    tiny: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was kept for another processor does not count."""
    use(monkeypatch, tiny).twice(4)
    module = use(monkeypatch, tiny)
    codegen = type(module.twice.targetctx.codegen())
    monkeypatch.setattr(codegen, "magic_tuple", lambda self: ("another", "processor", ""))
    assert not cache.is_compiled()


def run(code: str, **env: str) -> str:
    """Return what a program prints that has the tiny kernel at hand."""
    kept = {name: value for name, value in os.environ.items() if name != "NUMBA_CACHE_DIR"}
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        env={**kept, "PYTHONPATH": str(ROOT), **env},
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip()


def test_the_search_itself_can_be_asked(tmp_path: Path) -> None:
    """In an empty cache the search is not compiled, and asking leaves the cache empty."""
    code = "from nester.solve.kernels.cache import is_compiled; print(is_compiled())"
    assert run(code, NUMBA_CACHE_DIR=str(tmp_path / "numba")) == "False"
    assert list((tmp_path / "numba").rglob("*.nb?")) == []


def test_nothing_to_compile() -> None:
    """Where numba is told not to compile, there is nothing to wait for."""
    code = "from nester.solve.kernels.cache import is_compiled; print(is_compiled())"
    assert run(code, NUMBA_DISABLE_JIT="1") == "True"


def test_an_install_that_cannot_be_written_to(tiny: Path) -> None:
    """What is compiled goes to the user's cache folder; where there is none, it still works."""
    beside = tiny.parent / "__pycache__"
    beside.write_text("in the way of the folder, even for an administrator", encoding="utf-8")
    home = tiny.parent / "home"
    code = (
        f"import sys; sys.path.insert(0, {str(tiny.parent)!r}); import tiny; print(tiny.twice(4))"
    )
    usual = {"HOME": str(home), "XDG_CACHE_HOME": str(home / "cache")}
    usual["LOCALAPPDATA"] = str(home / "cache")
    assert run(code, **usual) == "8"
    assert list(home.rglob("tiny.twice-*.nbi"))
    nowhere = dict.fromkeys(usual, str(beside / "nowhere"))
    assert run(code, **nowhere) == "8"
    asked = code.replace("print(tiny.twice(4))", "") + (
        "from nester.solve.kernels import cache; cache.beam = tiny.twice; "
        "print(cache.is_compiled(), tiny.twice(4), cache.is_compiled())"
    )
    assert run(asked, **nowhere) == "False 8 True"
