"""The file of results: a section a set, each with its date, machine, versions and command."""

import os
import platform
import re
import resource
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from nester import __version__
from tests.bench.records import BenchSet, Measure, Outcome
from tests.bench.report import measures_table, outcomes_table, table
from tests.bench.run import complaints

TITLE = """# Results of the benchmark

Written by `python -m tests.bench --out` (`python -m tests.bench --help`). Every plan counted was
written as a document and passed `nester.verify`. A section is replaced when its set is run again,
so sections may be of different days; each says which, on what, and by which command.
"""
MEASURES = ("set", "measure", "found", "asked", "")
PACKAGES = ("numpy", "numba", "highspy", "PuLP", "rectpack", "ortools")
_SECTION = re.compile(r"^## ", re.MULTILINE)
_PLACES = {"--data": "DATA", "--out": "FILE"}
_SUMMARY = "What is asked, and what was found"


@dataclass(frozen=True, slots=True)
class Ran:
    """What one set came to."""

    bench: BenchSet
    outcomes: Sequence[Outcome]
    measures: Sequence[Measure]
    seconds: float
    """Wall time of the whole set."""


def renewed(path: Path, ran: Sequence[Ran], order: Sequence[str], command: str) -> str:
    """Return the text of the file with the sections of the sets that ran put in place.

    ``order`` is that of the sections.
    """
    sections = _sections(path.read_text(encoding="utf-8")) if path.exists() else {}
    for one in ran:
        sections[one.bench.name] = _section(one, command)
    kept = [sections[name] for name in order if name in sections]
    rows = [row for text in kept for row in _measure_rows(text)]
    return "\n".join([TITLE, f"## {_SUMMARY}\n", _summary(rows), "", *kept])


def write(path: Path, text: str) -> None:
    """Write a file whole or not at all."""
    half = path.with_name(path.name + ".new")
    half.write_text(text, encoding="utf-8")
    os.replace(half, path)


def command_line(arguments: Sequence[str]) -> str:
    """Return the command that was given, folder and file named by their purpose."""
    words, last = ["python -m tests.bench"], ""
    for word in arguments:
        option, equals, _ = word.partition("=")
        if last in _PLACES:
            words.append(_PLACES[last])
        elif option in _PLACES and equals:
            words.append(f"{option}={_PLACES[option]}")
        else:
            words.append(word)
        last = word
    return " ".join(words)


def _section(ran: Ran, command: str) -> str:
    faults = [fault for outcome in ran.outcomes for fault in complaints(outcome)]
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    lines = [
        f"## {ran.bench.name}\n",
        f"{ran.bench.title}. {len(ran.outcomes)} instances, {ran.seconds:.0f} s in all.\n",
        f"- {datetime.now(UTC):%Y-%m-%d}, nester {__version__}{_revision()}, `{command}`",
        f"- {machine()}",
        f"- {versions()}",
        f"- memory of the whole process up to here: {peak} MB at most\n",
        measures_table(ran.bench, ran.measures),
        "",
        outcomes_table(ran.outcomes),
        "",
    ]
    if faults:
        lines += ["Failed:\n", *(f"- {fault}" for fault in faults), ""]
    return "\n".join(lines)


def machine() -> str:
    """Return the processor, how many of them, and the system."""
    name = platform.processor() or platform.machine()
    info = Path("/proc/cpuinfo")
    if info.exists():
        found = re.search(r"^model name\s*:\s*(.+)$", info.read_text(), re.MULTILINE)
        name = found.group(1) if found else name
    return f"{os.cpu_count()} x {name}, {platform.system()} {platform.machine()}"


def versions() -> str:
    """Return the versions of Python and of what the solver stands on."""
    words = [f"Python {platform.python_version()}"]
    for package in PACKAGES:
        try:
            words.append(f"{package} {version(package)}")
        except PackageNotFoundError:
            continue
    return ", ".join(words)


def _revision() -> str:
    try:
        done = subprocess.run(
            ["git", "rev-parse", "--short", "HEAD"],
            cwd=Path(__file__).parent,
            capture_output=True,
            text=True,
            check=True,
        )
    except (OSError, subprocess.CalledProcessError):
        return ""
    return f" at {done.stdout.strip()}"


def _sections(text: str) -> dict[str, str]:
    parts = _SECTION.split(text)[1:]
    return {
        part.split("\n", 1)[0].strip(): f"## {part.rstrip()}\n"
        for part in parts
        if not part.startswith(_SUMMARY)
    }


def _measure_rows(section: str) -> list[list[str]]:
    lines = section.splitlines()
    heading = table(MEASURES, ()).splitlines()[0]
    if heading not in lines:
        print(f"a section without figures: {lines[0]}", file=sys.stderr)
        return []
    rows = []
    for line in lines[lines.index(heading) + 2 :]:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def _summary(rows: Sequence[Sequence[str]]) -> str:
    asked = [row for row in rows if row[3]]
    return table(MEASURES, asked)
