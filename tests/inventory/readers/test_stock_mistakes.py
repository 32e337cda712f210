# ruff: noqa: E501
"""Every kind of mistake in a stock file: one line each, with file, line, value and what is accepted."""

from pathlib import Path

import pytest

from tests.inventory.readers.test_stock import BOARD, LENGTH, MINIMAL, read


@pytest.mark.parametrize(
    ("change", "line"),
    [
        ("length = -3", f'8: "W-07": length: a length cannot be negative (found "-3"); accepted: {LENGTH}'),
        ("length = 0", f'8: "W-07": length: a size cannot be zero (found "0"); accepted: more than zero: {LENGTH}'),
        ("length = nan", f'8: "W-07": length: not a finite number (found "nan"); accepted: {LENGTH}'),
        ("length = inf", f'8: "W-07": length: not a finite number (found "inf"); accepted: {LENGTH}'),
        ('length = "31 m"', '8: "W-07": length: longer than 30 m (found "31 m"); accepted: at most 30 m (98 ft)'),
        ('length = "3 1/0"', f'8: "W-07": length: the fraction is over zero (found "3 1/0"); accepted: {LENGTH}'),
        ('length = "9 furlong"', '8: "W-07": length: unknown unit "furlong" (found "9 furlong"); accepted: mm, cm, m, in, ft'),
        ('length = ""', f'8: "W-07": length: the length is empty (found ""); accepted: {LENGTH}'),
        ("length = true", f'8: "W-07": length: not a length (found "true"); accepted: {LENGTH}'),
        ("length = [1, 2]", f'8: "W-07": length: not a length (found "[1, 2]"); accepted: {LENGTH}'),
        ("width = [8, 7, 6]", '8: "W-07": width: it holds 3 values (found "[8, 7, 6]"); accepted: 1 to 2 values'),
        ('width = [8, "x"]', f'8: "W-07": width: not a length (found "x"); accepted: {LENGTH}'),
        ("width = []", '8: "W-07": width: it holds 0 values (found "[]"); accepted: 1 to 2 values'),
        ("lenght = 3", '8: "W-07": unknown key (found "lenght"); accepted: "length" is the nearest known key'),
        ("count = 0", '8: "W-07": count: less than 1 (found "0"); accepted: a whole number from 1 to 10,000'),
        ("count = 100000000", '8: "W-07": count: over the limit of 10,000 (found "100000000"); accepted: a whole number from 1 to 10,000'),
        ("count = 1.5", '8: "W-07": count: not a whole number (found "1.5"); accepted: a whole number from 1 to 10,000'),
        ('price = "cheap"', '8: "W-07": price: not a number (found "cheap"); accepted: a number such as 11.50'),
        ("price = -1", '8: "W-07": price: less than 0 (found "-1"); accepted: a number from 0 to 1,000,000,000'),
        ("lot = 3", '8: "W-07": lot: not a text (found "3"); accepted: text in quotes'),
        ('surface = "S3S"', '8: "W-07": surface: not one of the words known here; did you mean "S4S"? (found "S3S"); accepted: "rough", "skip planed", "S2S", "S4S"'),
        ('hollow_edge = "left"', '8: "W-07": hollow_edge: not one of the words known here (found "left"); accepted: "near", "far"'),
        ('show_face = "both"', '8: "W-07": show_face: not one of the words known here (found "both"); accepted: "a", "b"'),
        ('material = "oak"', '8: "W-07": material: the same as "species" (found "oak"); accepted: "species"'),
        ("flaws = 3", '8: "W-07": flaws: not a list of tables (found "3"); accepted: [[flaws]] or flaws = [{…}, {…}]'),
        ("flaws = [3]", '8: "W-07": flaw 1 is not a table (found "3"); accepted: {key = value}'),
        ("flaws = [{x = 1, y = 1, length = 1, width = 1}]", '8: "W-07": flaw 1 kind: it is missing; accepted: "knot", "check", "split", "shake", "wane", "pith", "bark pocket", "sapwood", "stain", "worm hole", "rot", "metal", "void", "other"'),
        ('flaws = [{kind = "knott", x = 1, y = 1, length = 1, width = 1}]', '8: "W-07": flaw 1 kind: not one of the words known here; did you mean "knot"? (found "knott"); accepted: "knot", "check", "split", "shake", "wane", "pith", "bark pocket", "sapwood", "stain", "worm hole", "rot", "metal", "void", "other"'),
        ('flaws = [{kind = "split", x = 1, y = 1, length = 1, width = 1, sound = true}]', '8: "W-07": flaw 1 sound: a split cannot be sound (found "true"); accepted: false'),
        ('flaws = [{kind = "knot", x = 108, y = 1, length = 3, width = 1}]', '8: "W-07": flaw 1 x: the flaw reaches past end B of the stock (found "108 + 3"); accepted: x + length at most 110'),
        ('flaws = [{kind = "knot", x = 1, y = "7 1/2", length = 3, width = 1}]', '8: "W-07": flaw 1 y: the flaw reaches past the far edge of the stock (found "7 1/2 + 1"); accepted: y + width at most 8'),
        ('flaws = [{kind = "wane", outline = [[0, 7], [9, 8], [0, 9]]}]', '8: "W-07": flaw 1 outline: the flaw reaches past the far edge of the stock (found "9"); accepted: y at most 8'),
        ('flaws = [{kind = "wane", outline = [[0, 7], [9, 8]]}]', '8: "W-07": flaw 1 outline: an outline needs 3 points or more (found "[[0, 7], [9, 8]]"); accepted: points in order round the flaw, such as [[1, 2], [3, 2], [3, 4]]'),
        ('flaws = [{kind = "wane", outline = [[0, 7], [9, -8], [0, 8]]}]', f'8: "W-07": flaw 1 outline: a length cannot be negative (found "-8"); accepted: {LENGTH}'),
        ('flaws = [{kind = "wane", x = 1, outline = [[0, 7], [9, 7], [0, 8]]}]', '8: "W-07": flaw 1 x: an outline stands for it (found "1"); accepted: one of the two'),
        ('flaws = [{kind = "knot", x = 1, y = 1, length = 0, width = 1}]', f'8: "W-07": flaw 1 length: a size cannot be zero (found "0"); accepted: more than zero: {LENGTH}'),
        ('flaws = [{kind = "knot", x = 1, y = 1, lenght = 1, width = 1}]', '8: "W-07": flaw 1: unknown key (found "lenght"); accepted: "length" is the nearest known key'),
    ],
)  # fmt: skip
def test_one_mistake_is_one_line(tmp_path: Path, change: str, line: str) -> None:
    """File, line, piece, value in double quotes, and what would be accepted."""
    key = change.partition(" ")[0]
    kept = [row for row in BOARD.splitlines() if not row.startswith(f"{key} =")]
    kept += ["# filled up"] * (7 - len(kept)) + [change]
    stocks, issues = read(tmp_path, "\n".join(kept))
    assert f"stock.toml:{line}" in issues
    assert stocks == []
    if key != "lenght" and "lenght" not in change:
        assert len(issues) == 1


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ('units = "furlong"\n' + BOARD, ['stock.toml:1: units: not one of the words known here (found "furlong"); accepted: "in", "mm"']),
        ("[[bord]]\nid = 1\n", ['stock.toml:1: unknown key (found "bord"); accepted: "board" is the nearest known key']),
        ("[board]\nid = 1\n", ['stock.toml:1: board: not a list of tables (found "a table"); accepted: [[board]] or board = [{…}, {…}]']),
        ('[[board]]\nid = "W-07\n', ['stock.toml:2: not TOML: illegal character \'\\n\' (found "id = "W-07"); accepted: lines such as key = "text", key = 3 or [[table]]']),
        ("units = 'in'\n", ["stock.toml: caution: there is no board and no sheet in it"]),
        (BOARD + BOARD, ['stock.toml:10: "W-07": id: used already at stock.toml:2 (found "W-07"); accepted: an id of its own for each piece']),
        (BOARD.replace('"W-07"', '""'), ['stock.toml:3: id: it is empty (found ""); accepted: 1 to 60 characters']),
        (BOARD.replace('"W-07"', f'"{"x" * 10_000}"'), [f'stock.toml:3: id: 10,000 characters long (found "{"x" * 79}…"); accepted: at most 60 characters']),
        (BOARD.replace('"W-07"', '"a\\u0007b"'), ['stock.toml:3: id: holds U+0007 (found "a\\x07b"); accepted: printable characters']),
        (BOARD.replace("species", "# species"), ['stock.toml:2: "W-07": species: it is missing; accepted: a name']),
    ],
)  # fmt: skip
def test_mistakes_of_the_whole_file(tmp_path: Path, text: str, lines: list[str]) -> None:
    """Units, headings, syntax, ids: each one line."""
    _, issues = read(tmp_path, text)
    assert [issue.replace(f"{tmp_path}/", "") for issue in issues] == lines


def test_an_id_used_by_a_board_and_a_sheet(tmp_path: Path) -> None:
    """Ids are unique over the whole rack."""
    text = MINIMAL.replace('"S"', '"B"')
    stocks, (issue,) = read(tmp_path, text)
    assert issue.startswith('stock.toml:3: "B": id: used already at')
    assert len(stocks) == 1
