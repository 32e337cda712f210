"""One-dimensional: parts as wide as the board, fewest boards of one length.

Falkenauer (1996); Scholl, Klein and Jürgens (1997); Schwerin and Wäscher (1997); Wäscher and Gau
(1996); Schoenfield's 28 (Belov and Scheithauer 2006). The optima, all proven, are those listed by
Delorme, M.; Iori, M.; Martello, S. (2018), "BPPLIB: a library for bin packing and cutting stock
problems", Optimization Letters 12(2), 235-250.
"""

import io
import re
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from tests.bench.data import rows, text_of
from tests.bench.measure import proven, share_of
from tests.bench.plates import bars_job
from tests.bench.records import BenchSet, Case, Instance, Measure, Outcome
from tests.bench.run import job

FOLDER = "cuttingstock_1d"


@dataclass(frozen=True, slots=True)
class Bars:
    """Lengths (size, copies) to be cut from boards ``length`` long."""

    name: str
    family: str
    length: int
    items: tuple[tuple[int, int], ...]


def instances(data: Path) -> list[Instance]:
    """Return the 1,615 instances; raises ``ValueError`` where one has no published optimum."""
    optima: dict[str, int] = {}
    for row in rows(data / FOLDER / "optima.csv"):
        low, high = int(row["lower_bound"]), int(row["upper_bound"])
        if low != high:
            raise ValueError(f"{row['instance']}: the optimum is not proven")
        optima[row["instance"]] = low
    found = {bars.name: bars for bars in every_file(data / FOLDER, optima)}
    lost = sorted(optima.keys() ^ found.keys())
    if lost:
        raise ValueError(f"file or optimum missing: {', '.join(lost[:5])}")
    return [
        Instance(name, found[name].family, job(case, found[name], optimum))
        for name, optimum in optima.items()
    ]


def case(bars: Bars, optimum: int) -> Case:
    """Return one instance as a job."""
    project, stock = bars_job(bars.name, bars.length, bars.items)
    value = Fraction(optimum)
    return Case(project, stock, known=value, lower=value, whole=True, words=str(optimum))


def every_file(folder: Path, optima: dict[str, int]) -> Iterator[Bars]:
    """Yield the instances of all files under their names in the table of optima."""
    for path in sorted((folder / "falkenauer").glob("binpack[1-8].txt")):
        yield from _falkenauer(text_of(path))
    for path in sorted((folder / "scholl").glob("*.zip")):
        with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as archive:
            for name in sorted(archive.namelist()):
                text = archive.read(name).replace(b"\x1a", b"").decode("ascii")
                yield _scholl(Path(name).stem, text)
    for path in sorted((folder / "scholl" / "bin3data").glob("*.BPP")):
        yield _scholl(path.stem, text_of(path))
    for k in (1, 2):
        text = text_of(folder / "schwerin" / f"SCH_WAE{k}.BPP")
        yield from _listed(text, f"Schwerin{k}_", "Schwerin")
    yield from _listed(text_of(folder / "hard28" / "hard28.txt"), "Hard28_", "Hard28")
    for k in (1, 2):
        text = text_of(folder / "waescher" / f"WAE_GAU{k}.BPP")
        for bars in _listed(text, "Waescher_", "Wäscher"):
            yield bars if bars.name in optima else _of_two(bars, optima)


def _falkenauer(text: str) -> Iterator[Bars]:
    words = iter(text.split())
    for _ in range(int(next(words))):
        name = next(words)
        length, count, _ = (next(words) for _ in range(3))
        # The triplets are given to a tenth.
        sizes = [_tenths(next(words)) for _ in range(int(count))]
        yield Bars(
            f"Falkenauer_{name}",
            "Falkenauer",
            _tenths(length),
            tuple((size, 1) for size in sizes),
        )


def _tenths(word: str) -> int:
    value = Fraction(word) * 10
    if value.denominator != 1:
        raise ValueError(f"{word} is finer than a tenth")
    return value.numerator


def _scholl(name: str, text: str) -> Bars:
    count, length, *sizes = (int(word) for word in text.split())
    if len(sizes) != count:
        raise ValueError(f"{name}: {len(sizes)} sizes, {count} announced")
    return Bars(name, "Scholl", length, tuple((size, 1) for size in sizes))


def _listed(text: str, prefix: str, family: str) -> Iterator[Bars]:
    for title, body in re.findall(r"'([^']*)'([^']*)", text):
        count, length, *numbers = (int(word) for word in body.split())
        if len(numbers) != 2 * count:
            raise ValueError(f"{title}: {len(numbers) // 2} sizes, {count} announced")
        name = prefix + title.replace(" ", "")
        yield Bars(name, family, length, tuple(zip(numbers[::2], numbers[1::2], strict=True)))


def _of_two(bars: Bars, optima: dict[str, int]) -> Bars:
    """Two instances go by one name; A is the one that needs fewer boards."""
    area = Fraction(sum(size * copies for size, copies in bars.items), bars.length)
    fits = min(
        (f"{bars.name}{letter}" for letter in "AB"),
        key=lambda name: abs(optima[name] - area),
    )
    return Bars(fits, bars.family, bars.length, bars.items)


def measures(outcomes: Sequence[Outcome]) -> list[Measure]:
    """Return how many are optimal, and how many are off by more than one board."""
    good = sum(o.reached for o in outcomes)
    far = sum(o.cost is None or o.known is None or o.cost > o.known + 1 for o in outcomes)
    return [
        share_of("optimal", good, len(outcomes), 0.98),
        Measure("off by more than one", str(far), "0", far == 0),
        proven(outcomes),
    ]


SETS = (
    BenchSet(
        "one-dimensional",
        "Parts as wide as the board",
        instances,
        measures,
        ("onedim",),
    ),
)
