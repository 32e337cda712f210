"""One board, sheet or flaw out of the fields of a record."""

from fractions import Fraction

from inventory.formatter import exact_text
from inventory.length import INCH, MM, Length
from inventory.parse import is_quarters
from inventory.polygon import bounds, outline_fault
from inventory.readers.fields import Fields
from inventory.stock import (
    NEVER_SOUND,
    SOUND_BY_DEFAULT,
    Board,
    Edges,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Per,
    Point,
    Sawn,
    Sheet,
    SheetGrain,
    Stock,
    Surface,
)

_SHARED = ("id", "species", "material", "length", "width", "thickness")
_SHARED_LAST = ("count", "price", "per", "lot", "show_face", "shelf", "note")

BOARD_KEYS = (
    *_SHARED,
    *("sold_as", "surface", "ends", "edges", "sawn", "bow", "crook", "cup", "twist"),
    *_SHARED_LAST,
    *("hollow_face", "hollow_edge", "moisture"),
)
SHEET_KEYS = (*_SHARED, "nominal", "grain", *_SHARED_LAST)
FLAW_KEYS = ("kind", "x", "y", "length", "width", "outline", "face", "sound", "note")

MOST_COPIES = 10_000
MOST_MOISTURE = 300  # percent of the dry weight; green wood is over 100


def board_of(fields: Fields) -> Board | None:
    """Return the board in ``fields`` without its flaws, None where it is faulty."""
    name = _id(fields)
    length = fields.length("length", size=True)
    widths = fields.lengths("width", 1, 2, size=True)
    thickness = fields.length("thickness", size=True, thickness=True)
    _measured(fields)
    board = Board(
        name,
        _material(fields, "species", "material"),
        length,
        widths[0],
        widths[-1],
        thickness,
        fields.length_or("sold_as", thickness, size=True, thickness=True),
        fields.choice_or("surface", Surface, Surface.ROUGH),
        fields.choice_or("ends", Ends, Ends.ROUGH),
        fields.choice_or("edges", Edges, Edges.ROUGH),
        fields.choice_or("sawn", Sawn, None),
        fields.whole_or("count", 1, most=MOST_COPIES),
        fields.length_or("bow", 0),
        fields.length_or("crook", 0),
        fields.length_or("cup", 0),
        fields.length_or("twist", 0),
        fields.number_or("price", Fraction(0)),
        fields.choice_or("per", Per, Per.BOARD_FOOT),
        fields.text_or("lot", ""),
        _face(fields, "show_face"),
        _face(fields, "hollow_face"),
        fields.word_or("hollow_edge", ("near", "far"), ""),
        fields.number_or("moisture", None, most=MOST_MOISTURE),
        fields.text_or("shelf", ""),
        fields.text_or("note", ""),
        source=fields.source(),
    )
    if fields.faulty:
        return None
    _warp(fields, board)
    if fields.faulty:
        return None
    _odd_shape(fields, board.length, board.width, board.thickness)
    return board


def _warp(fields: Fields, board: Board) -> None:
    """Add a fault for each warp that no board can have: bent further than half a circle."""
    for key, warp, most, of in (
        ("bow", board.bow, board.length // 2, "half the length"),
        ("crook", board.crook, board.length // 2, "half the length"),
        ("cup", board.cup, board.width // 2, "half the width"),
        ("twist", board.twist, board.width, "the width"),
    ):
        if warp > most:
            message = f"a board cannot be warped by more than {of}"
            accepted = f"at most {exact_text(most, fields.units)}"
            fields.fault("warped-too-far", key, message, fields.values[key], accepted)


def sheet_of(fields: Fields) -> Sheet | None:
    """Return the sheet in ``fields`` without its flaws, None where it is faulty."""
    name = _id(fields)
    thickness = fields.length("thickness", size=True, thickness=True)
    _measured(fields)
    sheet = Sheet(
        name,
        _material(fields, "material", "species"),
        fields.length("length", size=True),
        fields.length("width", size=True),
        thickness,
        fields.length_or("nominal", thickness, size=True, thickness=True),
        fields.choice_or("grain", SheetGrain, SheetGrain.LENGTH),
        fields.whole_or("count", 1, most=MOST_COPIES),
        fields.number_or("price", Fraction(0)),
        fields.choice_or("per", Per, Per.PIECE),
        fields.text_or("lot", ""),
        _face(fields, "show_face"),
        fields.text_or("shelf", ""),
        fields.text_or("note", ""),
        source=fields.source(),
    )
    if fields.faulty:
        return None
    _odd_shape(fields, sheet.length, None, sheet.thickness)
    return sheet


def flaw_of(fields: Fields, stock: Stock | None) -> Flaw | None:
    """Return the flaw in ``fields``, None where it is faulty.

    It is held against the outline of ``stock``; with None, for a board that is faulty itself, only
    its own values are.
    """
    kind = fields.choice("kind", FlawKind)
    outline: tuple[Point, ...] | None = None
    if fields.has("outline"):
        outline = _outline(fields)
        x, y, length, width = bounds(outline or ((0, 0),))
    else:
        x, y = fields.length("x"), fields.length("y")
        length, width = fields.length("length", size=True), fields.length("width", size=True)
    flaw = Flaw(
        kind,
        x,
        y,
        length,
        width,
        fields.choice_or("face", Face, Face.BOTH),
        fields.flag_or("sound", kind in SOUND_BY_DEFAULT),
        outline,
        fields.text_or("note", ""),
        source=fields.source(),
    )
    if flaw.sound and kind in NEVER_SOUND and fields.has("kind"):
        fields.fault("never-sound", "sound", f"a {kind.value} cannot be sound", True, "false")
    if stock is not None and not fields.faulty:
        _inside(fields, flaw, stock)
    return None if fields.faulty else flaw


def _id(fields: Fields) -> str:
    name = fields.name("id")
    fields.subject = name or None
    return name


def _material(fields: Fields, key: str, other: str) -> str:
    """Return the species or material, whichever of the two keys is given."""
    if fields.has(key) and fields.has(other):
        fields.fault("given-twice", other, f'the same as "{key}"', fields.values[other], f'"{key}"')
    return fields.name(other if fields.has(other) and not fields.has(key) else key)


def _face(fields: Fields, key: str) -> Face | None:
    word = fields.word_or(key, ("a", "b"), None)
    return None if word is None else Face(word)


def _measured(fields: Fields) -> None:
    value = fields.values.get("thickness")
    if is_quarters(value):
        message = "a name is not a measure: measure it, and give the name as sold_as or nominal"
        fields.caution("thickness-by-name", "thickness", message, value, "a measured thickness")


def _odd_shape(fields: Fields, length: Length, width: Length | None, thickness: Length) -> None:
    if width is not None and width > length:
        fields.caution("odd-shape", "width", "wider than long; length runs along the grain")
    if thickness > (width or length):
        fields.caution("odd-shape", "thickness", "thicker than wide")


def _outline(fields: Fields) -> tuple[Point, ...] | None:
    for key in ("x", "y", "length", "width"):
        if fields.has(key):
            found = fields.values[key]
            fields.fault("given-twice", key, "an outline stands for it", found, "one of the two")
    outline = fields.points_or("outline", None)
    if outline is not None and (wrong := outline_fault(outline)):
        accepted = "points in order round the flaw, such as [[1, 2], [3, 2], [3, 4]]"
        fields.fault("bad-outline", "outline", wrong, fields.values["outline"], accepted)
    return outline


def _inside(fields: Fields, flaw: Flaw, stock: Stock) -> None:
    """Add a fault where the flaw leaves the stock's bounding box, or lies wholly past its taper."""
    sides = (
        ("x", "length", flaw.x, flaw.length, stock.length, "past end B of the stock"),
        ("y", "width", flaw.y, flaw.width, stock.width, "past the far edge of the stock"),
    )
    for key, extent, start, size, limit, where in sides:
        if start + size > limit:
            first, second, most = (
                exact_text(value, fields.units) for value in (start, size, limit)
            )
            if flaw.outline is None:
                found, accepted = f"{first} + {second}", f"{key} + {extent} at most {most}"
            else:
                key, found = "outline", exact_text(start + size, fields.units)
                accepted = f"{'xy'[extent == 'width']} at most {most}"
            fields.fault("flaw-outside", key, f"the flaw reaches {where}", found, accepted)
    if isinstance(stock, Board) and _past_taper(flaw, stock):
        found = exact_text(flaw.y, fields.units)
        message = "the flaw lies past the tapering far edge"
        accepted = "points on the board"
        if flaw.outline is None:
            at = flaw.x if stock.width_b < stock.width_a else flaw.x + flaw.length
            wide = stock.width_a + (stock.width_b - stock.width_a) * at // stock.length
            step = INCH // 64 if fields.units == "in" else MM // 10
            accepted = f"less than {exact_text(wide // step * step, fields.units)}"
        key = "outline" if flaw.outline else "y"
        fields.fault("flaw-outside", key, message, found, accepted)


def _past_taper(flaw: Flaw, board: Board) -> bool:
    """Return whether no part of the flaw lies on the near side of the far edge."""
    corners = flaw.outline or ((flaw.x, flaw.y), (flaw.x + flaw.length, flaw.y))
    slope = board.width_b - board.width_a
    return all((y - board.width_a) * board.length >= slope * x for x, y in corners)
