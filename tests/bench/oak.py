"""Measured boards of red oak with their flaws, from the table of the published data bank."""

import csv
from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from inventory.length import INCH, Length
from inventory.stock import SOUND_BY_DEFAULT, Board, Face, Flaw, FlawKind

FOLDER = "red_oak_1998"
UNIT: Length = INCH // 16

KINDS = {
    "BARK_POCKET": (FlawKind.BARK_POCKET, False),
    "DECAY": (FlawKind.ROT, False),
    "HOLE": (FlawKind.WORM_HOLE, False),
    "PITH": (FlawKind.PITH, False),
    "SOUND_KNOT": (FlawKind.KNOT, True),
    "SPLIT_OR_SHAKE": (FlawKind.SPLIT, False),
    "STAIN": (FlawKind.STAIN, FlawKind.STAIN in SOUND_BY_DEFAULT),
    "UNSOUND_KNOT": (FlawKind.KNOT, False),
    "VOID": (FlawKind.VOID, False),
    "WANE": (FlawKind.WANE, False),
}
"""The words of the data bank, as kinds of flaw, with whether they are sound."""

PRICES = {"FAS": "6.5", "F1F": "6.2", "SEL": "6.2", "1C": "4.4", "2AC": "3.1", "3AC": "2.2"}
"""Invented prices per board foot by grade; boards that have none are clear ones."""
CLEAR = "7"


def oak_boards(data: Path) -> list[Board]:
    """Return the boards of which every flaw's kind is recorded, as rough 4/4 lumber."""
    with (data / FOLDER / "defects.csv").open(encoding="utf-8", newline="") as file:
        seen: dict[str, dict[tuple[str, ...], set[str]]] = defaultdict(lambda: defaultdict(set))
        for row in csv.DictReader(file):
            key = (row["type"], row["x1"], row["y1"], row["x2"], row["y2"])
            seen[row["board"]][key].add(row["face"])
    with (data / FOLDER / "boards.csv").open(encoding="utf-8", newline="") as file:
        return [
            _board(row, seen[row["board"]])
            for row in csv.DictReader(file)
            if all(kind in KINDS for kind, *_ in seen[row["board"]])
        ]


def _board(row: dict[str, str], flaws: dict[tuple[str, ...], set[str]]) -> Board:
    width = int(row["width_16ths"]) * UNIT
    return Board(
        id=row["board"],
        species="red oak",
        length=int(row["length_16ths"]) * UNIT,
        width_a=width,
        width_b=width,
        thickness=INCH,
        sold_as=INCH,
        price=Fraction(PRICES.get(row["grade"], CLEAR)),
        flaws=tuple(_flaw(key, faces) for key, faces in flaws.items()),
    )


def _flaw(key: tuple[str, ...], faces: Iterable[str]) -> Flaw:
    kind, sound = KINDS[key[0]]
    x1, y1, x2, y2 = (int(word) * UNIT for word in key[1:])
    both = len(set(faces)) == 2 or kind is FlawKind.VOID
    face = Face.BOTH if both else Face.A if "front" in faces else Face.B
    return Flaw(kind, x1, y1, x2 - x1, y2 - y1, face=face, sound=sound)
