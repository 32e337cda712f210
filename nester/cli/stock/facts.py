"""What there is to say of one board or sheet, line by line."""

from dataclasses import replace

from inventory.clear import (
    LEAST_LENGTH,
    LEAST_WIDTH,
    Clear,
    longest_clear,
    longest_on_one_face,
    widest_clear,
    widest_on_one_face,
)
from inventory.formatter import Formatter, board_feet, exact_number, money
from inventory.length import MM, Length
from inventory.measure import area, value_of, yard_tally
from inventory.measure import board_feet as true_board_feet
from inventory.stock import Board, Face, Sheet, Stock
from nester.cli.stock.common import sold_name


def facts(stock: Stock, formatter: Formatter) -> list[str]:
    """Return the sizes, the state and the worth of a piece."""
    copies = f", {stock.count} of them" if stock.count > 1 else ""
    lines = [f"{stock.id}: {stock.material}{copies}"]
    lines += _board(stock, formatter) if isinstance(stock, Board) else _sheet(stock, formatter)
    lines.append(f"price {money(stock.price)} a {stock.per.value}, worth {money(value_of(stock))}")
    more = [
        f"lot {stock.lot}" if stock.lot else "",
        f"better face {stock.show_face.value.upper()}" if stock.show_face else "",
        f"kept on {stock.shelf}" if stock.shelf else "",
        stock.note,
    ]
    return [*lines, *(word for word in more if word)]


def clear_pieces(stock: Stock, formatter: Formatter) -> list[tuple[str, Face, Clear | None]]:
    """Return the longest and the widest clear piece, on both faces and on the better one."""
    wide, long = least_sizes(formatter)
    longest = longest_on_one_face(stock, wide) or (None, Face.A)
    widest = widest_on_one_face(stock, long) or (None, Face.A)
    return [
        ("longest", Face.BOTH, longest_clear(stock, Face.BOTH, wide)),
        ("longest", longest[1], longest[0]),
        ("widest", Face.BOTH, widest_clear(stock, Face.BOTH, long)),
        ("widest", widest[1], widest[0]),
    ]


def least_sizes(formatter: Formatter) -> tuple[Length, Length]:
    """Return how wide the longest clear piece is at least, and how long the widest."""
    return (LEAST_WIDTH, LEAST_LENGTH) if formatter.units == "in" else (50 * MM, 300 * MM)


def clear_lines(stock: Stock, formatter: Formatter) -> list[str]:
    """Return the clear pieces in words, and what is meant by clear."""
    wide, long = (formatter.with_unit(size) for size in least_sizes(formatter))
    lines = ["clear of any flaw, before trims and margins:"]
    for word, face, clear in clear_pieces(stock, formatter):
        on = "on both faces" if face is Face.BOTH else f"on face {face.value.upper()}"
        least = f"at least {wide} wide" if word == "longest" else f"at least {long} long"
        lines.append(f"  {word} {on}: {_clear(clear, formatter, least)}")
    return lines


def _clear(clear: Clear | None, formatter: Formatter, least: str) -> str:
    if clear is None:
        return f"none {least}"
    x, y = formatter.length(clear.x), formatter.length(clear.y)
    size = f"{formatter.down(clear.length)} × {formatter.down(clear.width)}"
    return f"{size} ({least}), from {x} along and {y} across"


def _board(board: Board, formatter: Formatter) -> list[str]:
    width = f"{formatter.near(board.width_a)} wide"
    if board.width_a != board.width_b:
        ends = [formatter.near(end) for end in (board.width_a, board.width_b)]
        width = f"{ends[0]} wide at end A, {ends[1]} at end B"
    thick = f"{formatter.near(board.thickness)} thick, sold as {sold_name(board, formatter)}"
    state = [
        f"surface {board.surface.value}",
        f"ends {board.ends.value}",
        f"edges {board.edges.value}",
        f"{board.sawn.value} sawn" if board.sawn else "",
        f"moisture {exact_number(board.moisture)} %" if board.moisture is not None else "",
    ]
    yard = board_feet(yard_tally([replace(board, count=1)]))
    return [
        f"{formatter.near(board.length)} long, {width}, {thick}",
        ", ".join(word for word in state if word),
        _warp(board, formatter),
        f"{board_feet(true_board_feet(board))} true, {yard} by the yard's tally",
    ]


def _warp(board: Board, formatter: Formatter) -> str:
    words = []
    for name in ("bow", "crook", "cup", "twist"):
        if size := getattr(board, name):
            words.append(f"{name} {formatter.near(size)}")
    hollow = [
        f"hollow on face {board.hollow_face.value.upper()}" if board.hollow_face else "",
        f"hollow on the {board.hollow_edge} edge" if board.hollow_edge else "",
    ]
    return ", ".join([*words, *(word for word in hollow if word)]) or "flat and straight"


def _sheet(sheet: Sheet, formatter: Formatter) -> list[str]:
    size = f"{formatter.near(sheet.length)} long, {formatter.near(sheet.width)} wide"
    thick = f"{formatter.near(sheet.thickness)} thick, called {sold_name(sheet, formatter)}"
    grain = sheet.grain.value
    along = "no grain" if grain == "none" else f"grain along the {grain}"
    return [f"{size}, {thick}", f"{along}; {formatter.area(area(sheet))}"]
