"""Published sizes of lumber and panels, in inches as printed, with the source above each table.

They say what a name stands for. None of them replaces a measurement: the plan goes by what was
measured, and ``size_cautions`` says where name and measure part.
"""

from fractions import Fraction
from typing import NamedTuple

from inventory.formatter import exact_text
from inventory.issue import Issue, Severity
from inventory.length import INCH, MM, Length
from inventory.stock import Board, Sheet, Stock, Surface

# NHLA, Rules for the Measurement & Inspection of Hardwood & Cypress: standard rough thicknesses, in
# quarters of an inch, and the thickness surfaced two sides by which they are graded (10/4 from
# memory).
HARDWOOD_S2S: dict[int, Fraction] = {
    4: Fraction(13, 16),
    5: 1 + Fraction(1, 16),
    6: 1 + Fraction(5, 16),
    7: 1 + Fraction(1, 2),
    8: 1 + Fraction(3, 4),
    10: 2 + Fraction(1, 4),
    12: 2 + Fraction(3, 4),
    14: 3 + Fraction(1, 4),
    16: 3 + Fraction(3, 4),
}

# The same table under an inch, where the rough thickness is named in inches.
HARDWOOD_THIN_S2S: dict[Fraction, Fraction] = {
    Fraction(3, 8): Fraction(3, 16),
    Fraction(1, 2): Fraction(5, 16),
    Fraction(5, 8): Fraction(7, 16),
    Fraction(3, 4): Fraction(9, 16),
}


class Dressed(NamedTuple):
    """Dressed sizes of softwood [in]: dry (19 % moisture or less) and green."""

    dry: Fraction
    green: Fraction


def _row(dry: str, green: str) -> Dressed:
    return Dressed(_inches(dry), _inches(green))


def _inches(text: str) -> Fraction:
    return sum((Fraction(part) for part in text.split()), Fraction(0))


# PS 20-20, American Softwood Lumber Standard, minimum dressed thickness by nominal thickness [in].
# (The green size of 1 in, and 1 1/4 and 1 1/2 in whole, from memory.)
SOFTWOOD_THICKNESS: dict[Fraction, Dressed] = {
    _inches("1"): _row("3/4", "25/32"),
    _inches("1 1/4"): _row("1", "1 1/32"),
    _inches("1 1/2"): _row("1 1/4", "1 9/32"),
    _inches("2"): _row("1 1/2", "1 9/16"),
    _inches("2 1/2"): _row("2", "2 1/16"),
    _inches("3"): _row("2 1/2", "2 9/16"),
    _inches("3 1/2"): _row("3", "3 1/16"),
    _inches("4"): _row("3 1/2", "3 9/16"),
}

# PS 20-20, minimum dressed width by nominal width [in].
SOFTWOOD_WIDTH: dict[Fraction, Dressed] = {
    _inches("2"): _row("1 1/2", "1 9/16"),
    _inches("3"): _row("2 1/2", "2 9/16"),
    _inches("4"): _row("3 1/2", "3 9/16"),
    _inches("5"): _row("4 1/2", "4 5/8"),
    _inches("6"): _row("5 1/2", "5 5/8"),
    _inches("8"): _row("7 1/4", "7 1/2"),
    _inches("10"): _row("9 1/4", "9 1/2"),
    _inches("12"): _row("11 1/4", "11 1/2"),
}


class PanelClass(NamedTuple):
    """A thickness class of structural plywood [in]: least, most, and the label printed on it."""

    least: Fraction
    most: Fraction
    label: Fraction


def _panel(least: str, most: str, label: str) -> PanelClass:
    return PanelClass(Fraction(least), Fraction(most), Fraction(label))


# PS 1-19, Structural Plywood, thickness of unsanded panels by class [in].
PANEL_THICKNESS: dict[Fraction, PanelClass] = {
    Fraction(1, 4): _panel("0.219", "0.281", "0.225"),
    Fraction(11, 32): _panel("0.313", "0.375", "0.322"),
    Fraction(3, 8): _panel("0.344", "0.406", "0.354"),
    Fraction(15, 32): _panel("0.438", "0.500", "0.451"),
    Fraction(1, 2): _panel("0.469", "0.531", "0.483"),
    Fraction(19, 32): _panel("0.563", "0.625", "0.578"),
    Fraction(5, 8): _panel("0.594", "0.656", "0.609"),
    Fraction(23, 32): _panel("0.688", "0.750", "0.703"),
    Fraction(3, 4): _panel("0.719", "0.781", "0.734"),
    Fraction(1): _panel("0.950", "1.050", "0.970"),
}

# PS 1-19: a panel is 48 x 96 in, in length and width not over and at most 1/16 in under.
PANEL_SIZE: tuple[Fraction, Fraction] = (Fraction(96), Fraction(48))
PANEL_SIZE_UNDER = Fraction(1, 16)

_NAME_HOLDS = MM // 2  # a sheet answers to its name within half a millimetre


def quarters(thickness: Length) -> int | None:
    """Return how many quarters of an inch ``thickness`` is, None where it is no whole number."""
    number, rest = divmod(4 * thickness, INCH)
    return None if rest else number


def hardwood_s2s(sold_as: Length) -> Fraction | None:
    """Return the thickness [in] surfaced two sides of hardwood sold as ``sold_as``, if listed."""
    number = quarters(sold_as)
    if number in HARDWOOD_S2S:
        return HARDWOOD_S2S[number]
    return HARDWOOD_THIN_S2S.get(Fraction(sold_as, INCH))


def dressed_softwood(thickness: int | Fraction, width: int | Fraction) -> tuple[Fraction, Fraction]:
    """Return the dry dressed thickness and width [in] of softwood by its nominal size ("2 x 4").

    Raises
    ------
    KeyError
        Where the standard has no such nominal size.
    """
    return SOFTWOOD_THICKNESS[Fraction(thickness)].dry, SOFTWOOD_WIDTH[Fraction(width)].dry


def panel_class(nominal: Length) -> PanelClass | None:
    """Return the thickness class of a panel called ``nominal``, None where there is none."""
    return PANEL_THICKNESS.get(Fraction(nominal, INCH))


def size_cautions(stock: Stock) -> list[Issue]:
    """Return the cautions where a piece's measured thickness parts from what it is called."""
    if isinstance(stock, Sheet):
        return _sheet_cautions(stock)
    return _board_cautions(stock)


def _sheet_cautions(sheet: Sheet) -> list[Issue]:
    if abs(sheet.thickness - sheet.nominal) <= _NAME_HOLDS:
        return []
    message = (
        f"called {_in_words(sheet.nominal)} but measures {_in_words(sheet.thickness)}; "
        "cut grooves and housings to the sheet, not to its name"
    )
    listed = panel_class(sheet.nominal)
    accepted = None
    if listed is not None:
        accepted = (
            f"{float(listed.least):.3f} to {float(listed.most):.3f} in under that name (PS 1)"
        )
    return [_caution("thickness-not-as-called", message, sheet, accepted)]


def _board_cautions(board: Board) -> list[Issue]:
    listed = hardwood_s2s(board.sold_as)
    if listed is None or board.thickness >= listed * INCH:
        return []
    if board.surface is Surface.S4S:  # dressed all round: softwood, or worked further
        return []
    message = (
        f"sold as {_in_words(board.sold_as)} but measures only {_in_words(board.thickness)}; "
        "measure it again"
    )
    accepted = f"{_in_words(int(listed * INCH))} or more, as surfaced two sides (NHLA)"
    return [_caution("thickness-not-as-sold", message, board, accepted)]


def _caution(code: str, message: str, stock: Stock, accepted: str | None) -> Issue:
    found = _in_words(stock.thickness)
    severity = Severity.CAUTION
    return Issue(code, message, found, accepted, stock.id, stock.source, severity)


def _in_words(length: Length) -> str:
    """Return a length in the system in which it is round."""
    if length % (INCH // 64) == 0:
        return f"{exact_text(length, 'in')} in"
    return f"{exact_text(length, 'mm')} mm"
