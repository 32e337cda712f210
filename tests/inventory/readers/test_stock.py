"""Stock files, good ones and every kind of bad one."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import openpyxl
import pytest

from inventory.issue import Severity
from inventory.length import INCH, MM
from inventory.readers.stock import read_stock
from inventory.stock import (
    Board,
    Edges,
    Ends,
    Face,
    Flaw,
    FlawKind,
    Per,
    Sawn,
    Sheet,
    SheetGrain,
    Stock,
    Surface,
)

GOOD = """
units = "in"

[[board]]
id = "W-07"                    # unique; chalked on the board
species = "walnut"
length = "110"
width = ["8 1/4", "7 1/2"]
thickness = "1 1/16"
sold_as = "4/4"
surface = "rough"
ends = "square"
edges = "straight"
sawn = "flat"
count = 1
bow = "1/8"
crook = "1/4"
cup = "1/16"
twist = 0
price = 11.50
per = "board foot"
lot = "log 2"
show_face = "a"
hollow_face = "b"
hollow_edge = "far"
moisture = 8.5
shelf = "left wall"
note = ""
flaws = [
  {kind = "knot", x = "31", y = "2", length = "1 1/2", width = "1 1/4", face = "both"},
  {kind = "split", x = 0, y = "3", length = "4", width = "1/4"},
  {kind = "wane",  outline = [["60", "7 3/4"], ["110", "6 3/4"], ["110", "7 1/2"],
                              ["60", "7 13/16"]]},
  {kind = "sapwood", x = 0, y = 0, length = "110", width = "1/2", face = "b", note = "pale"},
]

[[sheet]]
id = "BP18"
material = "birch plywood"
length = "96"
width = "48"
thickness = "18 mm"
nominal = "3/4"
grain = "length"
count = 3
price = 84
per = "piece"
flaws = []
"""


def inches(text: str) -> int:
    """Return inches such as "7 13/16" as a length."""
    return int(sum((Fraction(part) for part in text.split()), Fraction(0)) * INCH)


WALNUT = Board(
    "W-07",
    "walnut",
    inches("110"),
    inches("8 1/4"),
    inches("7 1/2"),
    inches("1 1/16"),
    inches("1"),
    Surface.ROUGH,
    Ends.SQUARE,
    Edges.STRAIGHT,
    Sawn.FLAT,
    1,
    inches("1/8"),
    inches("1/4"),
    inches("1/16"),
    0,
    Fraction(23, 2),
    Per.BOARD_FOOT,
    "log 2",
    Face.A,
    Face.B,
    "far",
    Fraction(17, 2),
    "left wall",
    "",
    (
        Flaw(FlawKind.KNOT, inches("31"), inches("2"), inches("1 1/2"), inches("1 1/4")),
        Flaw(FlawKind.SPLIT, 0, inches("3"), inches("4"), inches("1/4")),
        Flaw(
            FlawKind.WANE,
            inches("60"),
            inches("6 3/4"),
            inches("50"),
            inches("1 1/16"),
            outline=tuple(
                (inches(x), inches(y))
                for x, y in (("60", "7 3/4"), ("110", "6 3/4"), ("110", "7 1/2"), ("60", "7 13/16"))
            ),
        ),
        Flaw(FlawKind.SAPWOOD, 0, 0, inches("110"), inches("1/2"), Face.B, True, None, "pale"),
    ),
)
PLY = Sheet(
    "BP18",
    "birch plywood",
    inches("96"),
    inches("48"),
    18 * MM,
    inches("3/4"),
    SheetGrain.LENGTH,
    3,
    Fraction(84),
    Per.PIECE,
)


def read(folder: Path, text: str, name: str = "stock.toml") -> tuple[list[Stock], list[str]]:
    """Return the stock in a file of that text, and its issues as lines without the folder."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    stocks, issues = read_stock(path)
    return stocks, [issue.line().replace(f"{folder}/", "") for issue in issues]


def test_every_key_of_a_stock_file(tmp_path: Path) -> None:
    """The file that the manual shows is read to the last value."""
    stocks, issues = read(tmp_path, GOOD)
    assert issues == []
    assert stocks == [WALNUT, PLY]
    assert str(stocks[0].source) == f"{tmp_path}/stock.toml:4"
    assert str(stocks[0].flaws[1].source) == f"{tmp_path}/stock.toml:31"


MINIMAL = """
[[sheet]]
id = "S"
material = "ply"
length = 96
width = 48
thickness = "3/4"

[[board]]
id = "B"
material = "oak"
length = 96
width = 6
thickness = 1
flaws = [{kind = "stain", x = 1, y = 1, length = 1, width = 1}]
"""


def test_what_may_be_left_out(tmp_path: Path) -> None:
    """Five values are needed; the others have their defaults, and the order is the file's."""
    stocks, issues = read(tmp_path, MINIMAL)
    assert issues == []
    sheet, board = stocks
    assert sheet == Sheet("S", "ply", 96 * INCH, 48 * INCH, 3 * INCH // 4, 3 * INCH // 4)
    stain = Flaw(FlawKind.STAIN, INCH, INCH, INCH, INCH, Face.BOTH, sound=True)
    assert board == Board("B", "oak", 96 * INCH, 6 * INCH, 6 * INCH, INCH, INCH, flaws=(stain,))


def test_inches_and_millimetres_agree(tmp_path: Path) -> None:
    """The same board in both systems is the same record."""
    inch, _ = read(tmp_path, MINIMAL)
    metric, issues = read(
        tmp_path,
        """
        units = "mm"
        [[sheet]]
        id = "S"
        material = "ply"
        length = 2438.4
        width = "121.92 cm"
        thickness = 19.05
        [[board]]
        id = "B"
        species = "oak"
        length = "2.4384 m"
        width = ["152.4", 152.4]
        thickness = 25.4
        sold_as = "4/4"
        flaws = [{kind = "stain", x = 25.4, y = "1 in", length = "2.54 cm", width = 25.4}]
        """,
    )
    assert issues == []
    assert metric == inch


BOARD = """
[[board]]
id = "W-07"
species = "walnut"
length = 110
width = 8
thickness = "1 1/16"
"""
LENGTH = """a length such as 23 3/8, 23.375, 1' 11 3/8", 594 mm, 59.4 cm or 0.594 m"""


def test_all_faults_at_once(tmp_path: Path) -> None:
    """Nothing stops at the first mistake; good pieces are still read."""
    text = GOOD.replace('"8 1/4"', '"8 1/x"').replace('"split", x = 0', '"split", x = "-1"')
    text = text.replace('width = "48"', "width = 0").replace("count = 3", "cuont = 3")
    stocks, issues = read(tmp_path, text + BOARD.replace("W-07", "W-08"))
    assert [issue.split(":")[1] for issue in issues] == ["8", "31", "41", "45"]
    assert [stock.id for stock in stocks] == ["W-08"]


def test_a_flaw_may_touch_the_edges_and_stick_into_a_taper(tmp_path: Path) -> None:
    """Touching is inside; a rectangle across the sloping edge is; one wholly past it is not."""
    board = BOARD.replace("width = 8", "width = [8, 6]")
    knot = 'flaws = [{{kind = "knot", x = {}, y = {}, length = 2, width = 1}}]'
    for x, y in ((0, 0), (108, 5), (0, 7), (54, "6.9")):
        stocks, issues = read(tmp_path, board + knot.format(x, y))
        assert (len(stocks), issues) == (1, [])
    _, (issue,) = read(tmp_path, board + knot.format(100, 7))
    assert issue == (
        'stock.toml:8: "W-07": flaw 1 y: the flaw lies past the tapering far edge (found "7"); '
        "accepted: less than 6 11/64"
    )


@pytest.mark.parametrize(
    ("key", "good", "bad", "message"),
    [
        ("bow", "55", "55 1/16", "more than half the length"),
        ("crook", "55", "60", "more than half the length"),
        ("cup", "4", "4 1/64", "more than half the width"),
        ("twist", "8", "20", "more than the width"),
    ],
)
def test_no_board_is_bent_beyond_half_a_circle(
    tmp_path: Path, key: str, good: str, bad: str, message: str
) -> None:
    """A board of 110 x 8 warps by at most half its length, half its width, or its width."""
    assert len(read(tmp_path, f'{BOARD}{key} = "{good}"\n')[0]) == 1
    stocks, (issue,) = read(tmp_path, f'{BOARD}{key} = "{bad}"\n')
    assert stocks == []
    assert f'"W-07": {key}: a board cannot be warped by {message} (found "{bad}")' in issue
    assert issue.endswith(f"; accepted: at most {good}")


def test_a_date_is_no_length(tmp_path: Path) -> None:
    """TOML knows dates; one in the place of a length is told as such, not as a spreadsheet's."""
    _, (issue,) = read(tmp_path, BOARD.replace("length = 110", "length = 2026-01-02"))
    assert 'length: this is a date, not a length; write it in quotes (found "2026-01-02")' in issue


def cautions(tmp_path: Path, text: str) -> list[str]:
    """Return the cautions of a file that is read all the same."""
    path = tmp_path / "stock.toml"
    path.write_text(text)
    stocks, issues = read_stock(path)
    assert stocks
    assert all(issue.severity is Severity.CAUTION for issue in issues)
    return [f"{issue.code}: {issue.message}" for issue in issues]


def test_cautions(tmp_path: Path) -> None:
    """What is likely a slip but may be meant is told and read."""
    assert cautions(tmp_path, BOARD.replace('"1 1/16"', '"4/4"')) == [
        "thickness-by-name: thickness: a name is not a measure: measure it, and give the name as "
        "sold_as or nominal"
    ]
    assert cautions(tmp_path, BOARD.replace("width = 8", "width = 120")) == [
        "odd-shape: width: wider than long; length runs along the grain"
    ]
    assert cautions(tmp_path, BOARD.replace('"1 1/16"', "9")) == [
        "odd-shape: thickness: thicker than wide"
    ]
    metric = 'units = "mm"\n' + BOARD.replace("110", "2400").replace("= 8", "= 150")
    assert cautions(tmp_path, metric) == [
        "bare-fraction: thickness: a fraction without a unit is read as millimetres"
    ]


CSV = """\
kind,id,species,material,length,width,thickness,Sold as,price,sawn,hollow edge,units
board,W-07,walnut,,110,8 1/4; 7 1/2,1 1/16,4/4,11.50,flat,far,in
sheet,BP18,,birch plywood,2440,1220,18,,84,,,mm
"""
CSV_FLAWS = """\
stock,kind,x,y,length,width,outline,face,sound
W-07,knot,31,2,1 1/2,1 1/4,,,
W-07,wane,,,,,60; 7 3/4 | 110; 6 3/4 | 110; 7 1/2,b,
BP18,stain,0,0,100,50,,A,no
"""
FROM_TABLE = [
    Board(
        "W-07",
        "walnut",
        *(inches(text) for text in ("110", "8 1/4", "7 1/2", "1 1/16", "1")),
        sawn=Sawn.FLAT,
        price=Fraction(23, 2),
        hollow_edge="far",
        flaws=(
            replace(WALNUT.flaws[0]),
            Flaw(
                FlawKind.WANE,
                *(inches(text) for text in ("60", "6 3/4", "50", "1")),
                Face.B,
                outline=tuple(
                    (inches(x), inches(y))
                    for x, y in (("60", "7 3/4"), ("110", "6 3/4"), ("110", "7 1/2"))
                ),
            ),
        ),
    ),
    Sheet(
        "BP18",
        "birch plywood",
        *(2440 * MM, 1220 * MM, 18 * MM, 18 * MM),
        price=Fraction(84),
        flaws=(Flaw(FlawKind.STAIN, 0, 0, 100 * MM, 50 * MM, Face.A),),
    ),
]


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_csv_with_its_flaws(tmp_path: Path, delimiter: str) -> None:
    """The same keys as columns, flaws in a file beside; each row may have units of its own."""
    quoted = [
        text.replace("8 1/4; 7 1/2", '"8 1/4; 7 1/2"').replace(
            "60; 7 3/4 | 110; 6 3/4 | 110; 7 1/2", '"60; 7 3/4 | 110; 6 3/4 | 110; 7 1/2"'
        )
        for text in (CSV, CSV_FLAWS)
    ]
    main, flaws = (text.replace(",", delimiter) for text in quoted)
    (tmp_path / "rack.flaws.csv").write_text(flaws)
    stocks, issues = read(tmp_path, main, "rack.csv")
    assert issues == []
    assert stocks == FROM_TABLE
    assert str(stocks[0].flaws[0].source) == f"{tmp_path}/rack.flaws.csv:2"


def test_decimal_commas_where_semicolons_part_the_cells(tmp_path: Path) -> None:
    """As a spreadsheet set to such a country writes it."""
    text = (
        "\ufeffkind;id;material;length;width;thickness;price;units\r\n"
        "board;1;oak;2438,4;203,2;25,4;11,50;mm\r\n"
    )
    stocks, issues = read(tmp_path, text, "rack.csv")
    assert issues == []
    assert stocks == [
        Board("1", "oak", 96 * INCH, 8 * INCH, 8 * INCH, INCH, INCH, price=Fraction(23, 2))
    ]


def test_mistakes_in_csv(tmp_path: Path) -> None:
    """Rows have their lines, a column that is missing or unknown is told once."""
    (tmp_path / "rack.flaws.csv").write_text("stock,kind,x,y,length,width\nW-7,knot,1,1,1,1\n")
    text = (
        "kind,id,species,lenght,width,thickness,count\n"
        "board,W-07,walnut,110,8,1,1\n"
        "plank,W-08,walnut,110,eight,1,many\n"
        ",W-07,walnut,110,8,1,1\n"
    )
    stocks, issues = read(tmp_path, text, "rack.csv")
    assert stocks == []
    assert issues == [
        'rack.csv:1: unknown column (found "lenght"); accepted: "length" is the nearest known key',
        'rack.csv:1: there is no column "length" (found "kind, id, species, lenght, width, '
        'thickness, count"); accepted: a column "length"',
        'rack.csv:3: kind: not one of the words known here (found "plank"); accepted: "board", '
        '"sheet"',
        f'rack.csv:3: "W-08": width: not a length (found "eight"); accepted: {LENGTH}',
        'rack.csv:3: "W-08": count: not a whole number (found "many"); accepted: a whole number '
        "from 1 to 10,000",
        'rack.csv:4: kind: it is missing; accepted: "board", "sheet"',
        'rack.csv:4: "W-07": id: used already at rack.csv:2 (found "W-07"); accepted: an id of its '
        "own for each piece",
        'rack.flaws.csv:2: "W-7": stock: there is no such piece (found "W-7"); accepted: "W-07" is '
        "the nearest id",
    ]


def test_a_column_for_the_other_kind(tmp_path: Path) -> None:
    """A sheet has no bow; a value in that column of its row is a mistake, a blank is none."""
    head = "kind,id,material,length,width,thickness,bow\n"
    stocks, issues = read(tmp_path, head + "sheet,1,ply,96,48,1,\n", "a.csv")
    assert (len(stocks), issues) == (1, [])
    _, (issue,) = read(tmp_path, head + "sheet,1,ply,96,48,1,1/8\n", "a.csv")
    assert issue.startswith('a.csv:2: "1": unknown key (found "bow"); accepted: ')


def test_no_material_at_all(tmp_path: Path) -> None:
    """One line for the table, not one for each row."""
    text = "kind,id,length,width,thickness\nboard,1,96,8,1\nboard,2,96,8,1\n"
    _, issues = read(tmp_path, text, "a.csv")
    assert issues == [
        'a.csv:1: there is no column "species" or "material" (found "kind, id, length, width, '
        'thickness"); accepted: a column "species"'
    ]


def test_xlsx_with_numbers_fractions_and_dates(tmp_path: Path) -> None:
    """Numbers come as numbers, fractions as text; one that became a date is told with its cell."""
    import datetime

    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "Rack"
    sheet.append(["kind", "id", "species", "length", "width", "thickness", "count", "price"])
    sheet.append(["board", 7, "oak", 96, "8 1/4", 1.0625, 2.0, 11.5])
    path = tmp_path / "rack.xlsx"
    book.save(path)
    stocks, issues = read_stock(path)
    assert issues == []
    width = inches("8 1/4")
    sizes = (96 * INCH, width, width, inches("1 1/16"), inches("1 1/16"))
    assert stocks == [Board("7", "oak", *sizes, count=2, price=Fraction(23, 2))]
    sheet.append(["board", "W-08", "oak", datetime.datetime(2026, 3, 8), "=1/4", None, 1, 1])
    book.save(path)
    _, issues = read_stock(path)
    lines = [issue.line().replace(f"{tmp_path}/", "") for issue in issues]
    assert lines == [
        'rack.xlsx:Rack!D3: "W-08": length: the spreadsheet took this for a date; format its cells '
        f'as text (found "2026-03-08 00:00:00"); accepted: {LENGTH}',
        f'rack.xlsx:Rack!E3: "W-08": width: not a length (found "=1/4"); accepted: {LENGTH}',
        f'rack.xlsx:Rack!A3: "W-08": thickness: it is missing; accepted: {LENGTH}',
    ]


def test_a_format_that_is_not_known(tmp_path: Path) -> None:
    """The ending tells the format."""
    _, (issue,) = read(tmp_path, GOOD, "stock.ods")
    # A long path is cut short as the value found.
    assert issue.startswith(
        "stock.ods: the ending of the file's name does not tell its format (found \"stock."
    )
    assert issue.endswith('"); accepted: .toml, .csv, .tsv, .xlsx')


@pytest.mark.parametrize("name", ["stock.toml", "stock.csv", "stock.xlsx"])
def test_files_that_are_not_there_or_nothing(tmp_path: Path, name: str) -> None:
    """Missing, a directory and empty, in every format."""
    path = tmp_path / name
    assert [issue.code for issue in read_stock(path)[1]] == ["missing-file"]
    path.write_bytes(b"")
    assert [issue.code for issue in read_stock(path)[1]] == ["empty-file"]
    path.unlink()
    path.mkdir()
    assert [issue.code for issue in read_stock(path)[1]] == ["directory"]
