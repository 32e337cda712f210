"""Tables in plain text."""

from nester.table import columns_of, safe, table


def test_columns_line_up() -> None:
    """Names stand left and figures right, each under its head."""
    text = table(["part", "copies"], [["case top", "1"], ["leg", "12"]], right=[1])
    assert text.splitlines() == [
        "part      copies",
        "--------  ------",
        "case top       1",
        "leg           12",
    ]


def test_no_rows_is_no_table() -> None:
    """Heads over nothing are not printed."""
    assert table(["part"], []) == ""


def test_wide_and_combining_letters_keep_the_columns() -> None:
    """Letters of two columns, and marks of none, are counted as a terminal shows them."""
    assert (columns_of("桌子"), columns_of("e\u0301"), columns_of("⅜")) == (4, 1, 1)
    lines = table(["part", "n"], [["桌子", "1"], ["abcd", "2"]]).splitlines()
    assert lines[2:] == ["桌子  1", "abcd  2"]


def test_wild_names_stay_on_one_line() -> None:
    """Line breaks, overrides of direction and 10,000 letters cannot break a table."""
    wild = "a\nb\u202ec" + "x" * 10_000
    assert safe(wild).startswith("a\\nb\\u202ecxxx")
    text = table(["part", "n"], [[wild, "1"]])
    assert len(text.splitlines()) == 3
    assert max(map(len, text.splitlines())) < 60
