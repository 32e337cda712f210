"""Reading the folder of published instances."""

import csv
from collections.abc import Iterator
from pathlib import Path

from tests.bench.plates import Item, Plate


def rows(path: Path) -> list[dict[str, str]]:
    """Return the rows of a CSV file under its headings."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def text_of(path: Path) -> str:
    """Return a text file, the end-of-file byte of old systems left out."""
    return path.read_bytes().replace(b"\x1a", b"").decode("ascii", "replace")


def whole_numbers(text: str) -> Iterator[int]:
    """Yield the numbers of a text, in order."""
    return (int(word) for word in text.split())


def number_or_none(text: str) -> int | None:
    """Return a cell of a table as a number, None where it is empty."""
    return int(text) if text.strip() else None


def bin_file(path: Path) -> tuple[Plate, list[Item]]:
    """Return a file of ``binpacking_class``: n, the bin, then index, width, height."""
    numbers = whole_numbers(text_of(path))
    count = next(numbers)
    plate = Plate(next(numbers), next(numbers))
    items = []
    for _ in range(count):
        next(numbers)
        items.append(Item(next(numbers), next(numbers)))
    return plate, items


def variable_file(path: Path) -> tuple[list[Plate], list[Item]]:
    """Return a file of ``variable_bins``: n and the bin types with their prices, then the items."""
    numbers = whole_numbers(text_of(path))
    count, types, _ = (next(numbers) for _ in range(3))
    plates = []
    for _ in range(types):
        width, height, _, price = (next(numbers) for _ in range(4))
        plates.append(Plate(width, height, price))
    items = []
    for _ in range(count):
        _, width, height, copies = (next(numbers) for _ in range(4))
        items.append(Item(width, height, copies))
    return plates, items


def order_file(path: Path) -> tuple[Plate, list[Item]]:
    """Return a file of ``cuttingstock_furniture``: after two lines of asterisks, an order."""
    body = text_of(path).split("***")[-1].lstrip("*")
    numbers = whole_numbers(body)
    next(numbers)
    plate = Plate(next(numbers), next(numbers))
    return plate, [Item(next(numbers), next(numbers), next(numbers)) for _ in range(next(numbers))]


def valued_file(path: Path) -> tuple[Plate, list[tuple[Item, int]]]:
    """Return a file of ``fmt59_atp_vu``: the plate, n, then n lines of size, value and copies.

    Some files hold more lines than they say; those are not part of the instance.
    """
    numbers = whole_numbers(text_of(path))
    plate = Plate(next(numbers), next(numbers))
    found = []
    for _ in range(next(numbers)):
        length, width, value, copies = (next(numbers) for _ in range(4))
        found.append((Item(length, width, copies), value))
    return plate, found


def gcut_file(path: Path) -> tuple[Plate, list[tuple[Item, int]]]:
    """Return a file of ``orlib_gcut``: m, the plate, then sizes and values."""
    numbers = whole_numbers(text_of(path))
    count = next(numbers)
    plate = Plate(next(numbers), next(numbers))
    found = []
    for _ in range(count):
        length, width, value = (next(numbers) for _ in range(3))
        found.append((Item(length, width), value))
    return plate, found
