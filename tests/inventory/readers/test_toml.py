"""TOML with lines."""

import hashlib
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inventory.issue import Issue
from inventory.readers.toml import KeyPath, TomlDocument, load_toml, parse_toml

STOCK = '''units = "in"   # the whole file

[[board]]
id = "W-07"
"odd key".deeper = 1
width = ["8 1/4",
         "7 1/2"]   # at end A, at end B
note = """
first # no comment
  = [ { second \\""" third"""
price = 11.50
flaws = [
  {kind = "knot", x = 31, at = {a = 1}},   # a = 1
  # {kind = "check"},
  {kind = 'it''s', y = 2},
]

[[board]]
id = 'W-08\\'
made = 1979-05-27 07:32:00
[[board.flaws]]
kind = "pith"
[[board.flaws]]
kind = "rot"

[shop.kerf]
rip = 0.125
[shop]
tape = 1
'''.replace("'it''s'", "'split'")


def document(text: str) -> TomlDocument:
    """Return the parsed text, which must be valid."""
    parsed = parse_toml(text, "stock.toml")
    assert isinstance(parsed, TomlDocument)
    return parsed


@pytest.mark.parametrize(
    ("path", "starts"),
    [
        (("units",), "units"),
        (("board",), "[[board]]"),
        (("board", 0, "id"), 'id = "W-07"'),
        (("board", 0, "odd key"), '"odd key"'),
        (("board", 0, "odd key", "deeper"), '"odd key"'),
        (("board", 0, "width", 0), "width"),
        (("board", 0, "width", 1), '         "7 1/2"]'),
        (("board", 0, "note"), "note"),
        (("board", 0, "price"), "price"),
        (("board", 0, "flaws", 0, "at", "a"), '  {kind = "knot"'),
        (("board", 0, "flaws", 1), "  {kind = 'split'"),
        (("board", 0, "flaws", 1, "y"), "  {kind = 'split'"),
        (("board", 1, "id"), "id = 'W-08"),
        (("board", 1, "made"), "made"),
        (("board", 1, "flaws", 0, "kind"), 'kind = "pith"'),
        (("board", 1, "flaws", 1, "kind"), 'kind = "rot"'),
        (("shop", "kerf", "rip"), "rip"),
        (("shop", "tape"), "tape"),
    ],
)
def test_every_key_has_its_line(path: KeyPath, starts: str) -> None:
    """Tables, arrays, inline tables, dotted keys and long texts do not lead the count astray."""
    line = document(STOCK).line(path)
    assert line is not None
    assert STOCK.splitlines()[line - 1].startswith(starts)


def test_a_key_that_is_not_there_has_the_line_of_its_table() -> None:
    """A missing key is told at the head of the table that lacks it."""
    assert document(STOCK).line(("board", 1, "length")) == 18
    assert document(STOCK).line(("nothing",)) is None
    assert document(STOCK).source(("board", 0, "id")).line == 4


def test_line_ends_do_not_matter() -> None:
    """A file from another system gives the same lines."""
    assert document(STOCK.replace("\n", "\r\n")).lines == document(STOCK).lines


def test_decimals_stay_exact() -> None:
    """0.1 is a tenth, not the float beside it."""
    assert document("x = 0.1").data == {"x": Decimal("0.1")}


@pytest.mark.parametrize(
    ("text", "line", "found", "words"),
    [
        ('[[board]]\nid = "W-07\nlength = 3\n', 2, 'id = "W-07', "not TOML: illegal character"),
        ("units = \n", 1, "units =", "not TOML: invalid value"),
        ("a = 1\na = 2\n", 2, "a = 2", "not TOML: cannot overwrite a value"),
        ("[a.b]\n[a.b]\n", 2, "[a.b]", 'not TOML: cannot declare "a.b" twice'),
        ("x = [1,", 1, "x = [1,", "not TOML: "),
        ("a = 1\nx = " + "[" * 5000, 2, None, "nested too deeply"),
        ("a = 1\nx = " + "1" * 5000, 2, None, "a number has too many digits"),
        ("x = 1e99999999999999999999", 1, None, "a number has too many digits"),
    ],
)
def test_what_is_no_toml(text: str, line: int, found: str | None, words: str) -> None:
    """One issue with the line, the text of that line, and what would be accepted."""
    issue = parse_toml(text, "stock.toml")
    assert isinstance(issue, Issue)
    assert issue.code == "toml-syntax"
    assert issue.message.startswith(words)
    assert issue.source is not None
    assert issue.source.line == line
    assert issue.value == found


def test_a_file_of_too_many_tables(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file takes as many tables in its lists as a spreadsheet rows; the first beyond is named."""
    monkeypatch.setattr("inventory.readers.toml.MOST_ROWS", 3)
    text = 'units = "in"\n[[board]]\nid = 1\n[[sheet]]\nid = 2\n[[board]]\nid = 3\n'
    assert isinstance(parse_toml(text, "stock.toml"), TomlDocument)
    told = parse_toml(text + "\n[[sheet]]\nid = 4\n", "stock.toml")
    assert isinstance(told, Issue)
    assert told.code == "too-large"
    assert told.line() == (
        'stock.toml:9: too many [[sheet]] (found "4"); accepted: at most 3 in a file'
    )


def test_a_file_has_its_hash(tmp_path: Path) -> None:
    """The document carries the SHA-256 of the bytes it was read from."""
    path = tmp_path / "project.toml"
    path.write_bytes(b"units = 'in'\n")
    loaded, issues = load_toml(path)
    assert issues == []
    assert loaded is not None
    assert loaded.sha256 == hashlib.sha256(b"units = 'in'\n").hexdigest()


values = st.recursive(
    st.one_of(
        st.text(max_size=8), st.integers(-9, 9), st.booleans(), st.sampled_from(["#", "]}", '"""'])
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=4), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(st.dictionaries(st.text(max_size=6), values, max_size=4))
def test_every_path_of_any_document_is_found(data: dict[str, object]) -> None:
    """Whatever a writer of TOML makes of any data, each key and element has a line."""
    import tomlkit

    parsed = document(tomlkit.dumps(data))

    def walk(value: object, path: KeyPath) -> None:
        if path:
            assert path in parsed.lines
        if isinstance(value, dict):
            for key, inner in value.items():
                walk(inner, (*path, key))
        elif isinstance(value, list):
            for number, inner in enumerate(value):
                walk(inner, (*path, number))

    walk(parsed.data, ())
