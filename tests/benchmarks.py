"""Where the published instances lie, for the tests that read them.

They are not part of the project: ``NESTER_BENCHMARKS`` names their folder, or they stand beside the
checkout in ``../shared/benchmarks``. Tests that need them are skipped where they are not there.
"""

import os
from pathlib import Path

import pytest

BESIDE = Path(__file__).resolve().parent.parent.parent / "shared" / "benchmarks"


def published(name: str) -> Path:
    """Return a file or folder of the published instances; skips the test where there is none."""
    path = Path(os.environ.get("NESTER_BENCHMARKS", BESIDE)) / name
    if not path.exists():
        pytest.skip(f"published instances not found: {name}; NESTER_BENCHMARKS names their folder")
    return path


def numbers(path: Path) -> list[int]:
    """Return all whole numbers in a text file."""
    return [int(word) for word in path.read_text(encoding="ascii", errors="ignore").split()]
