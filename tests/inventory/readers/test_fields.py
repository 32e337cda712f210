"""Typed values out of a record, every fault told with its place."""

from enum import Enum
from fractions import Fraction

from inventory.issue import Issue
from inventory.length import INCH, MM
from inventory.readers.csv_file import parse_csv
from inventory.readers.fields import Fields, check_columns, only
from inventory.readers.toml import TomlDocument, parse_toml


class Colour(Enum):
    """A choice."""

    DARK = "dark brown"
    PALE = "pale"


def of_toml(text: str, issues: list[Issue]) -> Fields:
    """Return the fields of a whole TOML document, in inches."""
    document = parse_toml(text, "a.toml")
    assert isinstance(document, TomlDocument)
    return Fields.of_toml(document, (), issues, units="in", round_up=True)


def test_good_values() -> None:
    """Each getter gives its type; a key that is not given has the default."""
    issues: list[Issue] = []
    fields = of_toml(
        """
        name = "top"
        length = "40 1/2"
        width = [8, "7 1/2"]
        thick = "5/4"
        count = 3
        price = 11.5
        flag = true
        colour = "Dark Brown"
        colours = ["pale", "dark brown"]
        names = "walnut"
        from = ["W-1", "W-2"]
        side = "NEAR"
        outline = [[0, 0], ["1 in", 0], [0, 1]]
        note = ""
        """,
        issues,
    )
    assert fields.name("name") == "top"
    assert fields.length("length", size=True) == 81 * INCH // 2
    assert fields.lengths("width", 1, 2) == [8 * INCH, 15 * INCH // 2]
    assert fields.length("thick", thickness=True) == 5 * INCH // 4
    assert fields.whole_or("count", 1, most=10) == 3
    assert fields.number_or("price", None) == Fraction(23, 2)
    assert fields.flag_or("flag", False) is True
    assert fields.choice("colour", Colour) is Colour.DARK
    assert fields.choices_or("colours", Colour, ()) == (Colour.PALE, Colour.DARK)
    assert fields.names_or("names", ()) == ("walnut",)
    assert fields.names_or("from", ()) == ("W-1", "W-2")
    assert fields.word("side", ("near", "far")) == "near"
    assert fields.points_or("outline", None) == ((0, 0), (INCH, 0), (0, INCH))
    assert fields.text_or("note", "x") == ""
    assert fields.length_or("bow", 7) == 7
    assert fields.choice_or("other", Colour, None) is None
    assert fields.table("none") is None
    assert fields.tables("none", "none") == []
    assert fields.has("note")
    assert not fields.has("bow")
    assert issues == []
    assert not fields.faulty


def test_faults_carry_place_subject_and_stand_in() -> None:
    """A wrong value gives a stand-in of its type, so that reading goes on."""
    issues: list[Issue] = []
    fields = of_toml('length = "x"\ncount = 0\ncolours = ["pale",\n  "blue"]\n', issues)
    fields.subject = "top"
    assert fields.length("length") == 0
    assert fields.whole_or("count", 1, most=10) == 1
    assert fields.choices_or("colours", Colour, ()) == ()
    assert fields.length("width") == 0
    assert fields.faulty
    assert [(str(i.source), i.subject, i.code, i.value) for i in issues] == [
        ("a.toml:1", "top", "not-a-length", "x"),
        ("a.toml:2", "top", "out-of-range", "0"),
        ("a.toml:4", "top", "unknown-choice", "blue"),
        ("a.toml", "top", "missing-key", None),
    ]


def test_tables_within() -> None:
    """A fault far inside marks the record that holds it, and names the way to it."""
    issues: list[Issue] = []
    fields = of_toml('glue = {strips = 3}\nflaws = [\n {x = 1},\n {x = "?", y = {}}]\n', issues)
    glue = fields.table("glue")
    assert glue is not None
    glue.known("per_strip")
    assert fields.faulty
    first, second = fields.tables("flaws", "flaw")
    assert first.length("x") == INCH
    assert second.length("x") == 0
    assert second.length_or("y", 5) == 5
    assert not first.faulty
    assert [i.line().split(" (found")[0] for i in issues] == [
        "a.toml:1: glue: unknown key",
        "a.toml:4: flaw 2 x: not a length",
        "a.toml:4: flaw 2 y: not a length",
    ]


def test_own_faults_and_cautions() -> None:
    """What a reader finds itself is told like the rest; a caution leaves the record good."""
    issues: list[Issue] = []
    fields = of_toml("length = 3\n", issues)
    fields.caution("odd", "length", "rather short", "3", "longer")
    assert not fields.faulty
    fields.fault("bad", None, "no good", accepted="better")
    assert fields.faulty
    assert [i.line() for i in issues] == [
        'a.toml:1: caution: length: rather short (found "3"); accepted: longer',
        "a.toml: no good; accepted: better",
    ]


def test_a_bare_fraction_in_millimetres_is_worth_a_word() -> None:
    """ "3/4" in a metric file is three quarters of a millimetre; 4/4 of a thickness is not."""
    issues: list[Issue] = []
    fields = of_toml('a = "3/4"\nb = "5/4"\nc = "3/4 in"\n', issues)
    fields.units = "mm"
    assert fields.length("a") == 240
    assert fields.length("b", thickness=True) == 5 * INCH // 4
    assert fields.length("c") == 3 * INCH // 4
    assert [(i.code, i.value, i.accepted) for i in issues] == [
        ("bare-fraction", "3/4", "3/4 in, where inches are meant")
    ]


def test_rows() -> None:
    """In a row numbers stand as text, lists and tables in a cell, decimal commas where due."""
    table, _ = parse_csv(
        "id;width;count;glue;outline;flag;price;odd\n"
        '7;"59,4; 60,5";3;"{strips = [""1,5 cm"", 2]}";"0;0 | 1;0 | 0;1";yes;1,5;x\n',
        "a.csv",
    )
    assert table is not None
    missing, issues = check_columns(
        table, ("id", "width", "count", "glue", "outline", "flag", "price"), ("id", "kind")
    )
    assert missing == {"kind"}
    assert [i.value for i in issues] == ["odd", ", ".join(table.columns)]
    issues = []
    row = only(table.rows[0], [name for name in table.columns if name != "odd"])
    fields = Fields.of_row(
        row, issues, units="mm", round_up=True, decimal_comma=True, reported=missing
    )
    assert fields.name("id") == "7"
    assert fields.lengths("width", 1, 2) == [594 * MM // 10, 605 * MM // 10]
    assert fields.whole_or("count", 1, most=10) == 3
    glue = fields.table("glue")
    assert glue is not None
    assert glue.lengths("strips", 2, 2) == [15 * MM, 2 * MM]
    assert fields.points_or("outline", None) == ((0, 0), (MM, 0), (0, MM))
    assert fields.flag_or("flag", False) is True
    assert fields.number_or("price", None) == Fraction(3, 2)
    assert not fields.faulty
    assert fields.word("kind", ("board", "sheet")) == "board"
    assert fields.faulty
    assert issues == []
