"""Boards, sheets, parts and projects for the checks, in inches and with the fewest words."""

from fractions import Fraction
from typing import Any

from inventory.length import INCH, Length
from inventory.stock import Board, Sheet
from nester.model import Part, Project, Shop, System
from nester.shop_defaults import default_shop


def inches(size: str | int | Fraction) -> Length:
    """Return "23 3/8" as a length."""
    if isinstance(size, str):
        size = sum((Fraction(word) for word in size.split()), Fraction(0))
    return int(size * INCH)


def board(name: str, length: Any = 96, width: Any = 8, thickness: Any = 1, **more: Any) -> Board:
    """Return a parallel walnut board, square and straight unless said otherwise."""
    from inventory.stock import Edges, Ends

    wide, thick = inches(width), inches(thickness)
    more.setdefault("ends", Ends.SQUARE)
    more.setdefault("edges", Edges.STRAIGHT)
    for key in ("bow", "crook", "cup", "twist", "sold_as"):
        if key in more:
            more[key] = inches(more[key])
    sold = more.pop("sold_as", thick)
    species = more.pop("species", "walnut")
    return Board(name, species, inches(length), wide, wide, thick, sold, **more)


def sheet(
    name: str, length: Any = 96, width: Any = 48, thickness: Any = "3/4", **more: Any
) -> Sheet:
    """Return a sheet of birch plywood."""
    thick = inches(thickness)
    material = more.pop("material", "birch plywood")
    nominal = more.pop("nominal", thick)
    return Sheet(name, material, inches(length), inches(width), thick, nominal, **more)


def part(name: str, length: Any, width: Any, thickness: Any = "3/4", **more: Any) -> Part:
    """Return a walnut part."""
    materials = more.pop("materials", ("walnut",))
    for key in ("extra_length", "extra_width", "blank_extra_length", "plane_off"):
        if key in more:
            more[key] = inches(more[key])
    return Part(name, inches(length), inches(width), inches(thickness), materials, **more)


def project(*parts: Part, shop: Shop | None = None) -> Project:
    """Return a project in the inch shop."""
    return Project("Bench", System.INCH, shop or default_shop(System.INCH), parts)
