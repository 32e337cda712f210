"""Mistakes in matches, glue-ups and cutaways: one clear line each."""

from pathlib import Path

import pytest

from inventory.issue import Issue, Severity
from nester.readers.project import read_with_faults

PART = """\
[[part]]
name = "{name}"
length = "20"
width = "3"
thickness = "3/4"
material = "oak"
"""
PAIR = PART.format(name="left") + PART.format(name="right")


def told(folder: Path, text: str) -> list[Issue]:
    """Return what is said of a project file."""
    path = folder / "project.toml"
    path.write_text(text, encoding="utf-8")
    return read_with_faults(path).issues


def match(name: str, how: str, parts: str, more: str = "") -> str:
    """Return a match as it stands in a project."""
    return f'[[match]]\nname = "{name}"\nhow = "{how}"\nparts = {parts}\n{more}'


LOOPS = {
    "itself": match("bank", "stack", '["bank", "left"]'),
    "a sequence in a sequence": match("row", "sequence", '["left", "right"]')
    + match("bank", "sequence", '["row", "left"]'),
    "a stack in a stack": match("row", "stack", '["left", "right"]')
    + match("bank", "stack", '["row", "left"]'),
    "one in the other and back": match("row", "stack", '["bank", "left"]')
    + match("bank", "stack", '["row", "right"]'),
}


@pytest.mark.parametrize("text", LOOPS.values(), ids=LOOPS)
def test_a_match_that_names_a_match(tmp_path: Path, text: str) -> None:
    """Only a stack names other matches, and these are sequences: nothing goes round in a ring."""
    issues = [issue for issue in told(tmp_path, PAIR + text) if issue.code == "unknown-part"]
    assert issues
    for issue in issues:
        assert issue.value in ("row", "bank")
        assert "that is a match, not a part" in issue.message
        assert issue.accepted == "the names of parts; a stack may name sequences as well"


WRONG = [
    (match("m", "wrap", '["left", "rigth"]'), 16, "rigth", '"right" is the nearest part'),
    (match("m", "wrap", '["left"]'), 16, "[left]", "the names of 2 to 100 parts"),
    (match("m", "book", '["left", "right", "left"]'), 16, "[left, right, left]", "two names"),
    (match("m", "wrap", '["left", "left"]'), 16, "left", "a count of 2 or more"),
    (match("m", "wrap", '["left", "right"]', "miter = 90\n"), 17, "90", "from 0 to 89"),
    (match("m", "wrap", '["left", "right"]', "miter = nan\n"), 17, "nan", "a number"),
    (match("m", "wrap", '["left", "right"]', "sets = 1001\n"), 17, "1001", "from 1 to 1,000"),
    (match("m", "wrap", '["left", "right"]', "joint_trim = -1\n"), 17, "-1", "a length such as"),
    ('glue_up = {strips = ["6", "2"]}\n', 13, "[6, 2]", "[least, most]"),
    ('glue_up = {strips = ["2"]}\n', 13, "[2]", "2 values"),
    ("glue_up = {strips = [2, 6], max_strips = 1}\n", 13, "1", "a whole number from 2 to 50"),
    ("glue_up = {strips = [2, 6], per_strip = 2}\n", 13, "2", "less than 2"),
    ('glue_up = {strips = ["1/8", 6]}\n', 13, "1/8", "less than 1/8"),
    ('cutaway = [{arch = {edge = "top", start = 1, span = 4, rise = 1}}]\n', 13, "top", "near"),
    ('cutaway = [{arch = {edge = "near", start = 1, span = 4, rise = -1}}]\n', 13, "-1", "length"),
    ('cutaway = [{arch = {edge = "near", start = 1, span = 20, rise = 1}}]\n', 13, "20", "(20)"),
    ("cutaway = [{outline = [[0, 0], [4, 2], [4, 0], [0, 2]]}]\n", 13, "[[0, 0]", "corners"),
    ("cutaway = [{outline = [[0, 0], [4, 0], [4, 9]]}]\n", 13, "[[0, 0]", "finished size"),
]


@pytest.mark.parametrize(("text", "line", "value", "accepted"), WRONG)
def test_one_line_for_each(tmp_path: Path, text: str, line: int, value: str, accepted: str) -> None:
    """The line names the place, the value in double quotes and what would be accepted."""
    (issue,) = told(tmp_path, PAIR + text)
    assert issue.severity is Severity.ERROR
    assert issue.source is not None
    assert issue.source.line == line
    assert str(issue.value).startswith(value)
    assert accepted in str(issue.accepted)
    assert f'(found "{issue.value}"); accepted: ' in issue.line()
    assert "\n" not in issue.line()


@pytest.mark.parametrize(
    ("near", "far", "meets"),
    [
        ((4, 8, "1 1/2"), (4, 8, "1 1/2"), True),
        ((4, 8, "1 1/2"), (4, 8, "1 3/8"), False),
        ((0, 8, 2), (12, 8, 2), False),
        ((4, 6, 2), (4, 10, "1 1/2"), True),
    ],
)
def test_arches_on_both_edges(
    tmp_path: Path, near: tuple[int, int, str], far: tuple[int, int, str], meets: bool
) -> None:
    """Arches that meet cut the part in two; with an eighth between them they do not."""
    arches = [
        f'{{arch = {{edge = "{edge}", start = {a}, span = {b}, rise = "{c}"}}}}'
        for edge, (a, b, c) in (("near", near), ("far", far))
    ]
    issues = told(tmp_path, PAIR + f"cutaway = [{', '.join(arches)}]\n")
    assert [issue.code for issue in issues] == (["outside-part"] if meets else [])
    assert all("cut the part in two" in issue.message for issue in issues)


@pytest.mark.parametrize(
    ("glue_up", "cautioned"),
    [
        ("{strips = [1, 2], max_strips = 2}", False),
        ('{strips = [1, "1 5/8"], max_strips = 2}', False),
        ('{strips = [1, "1 9/16"], max_strips = 2}', True),
    ],
)
def test_strips_that_never_make_the_width(tmp_path: Path, glue_up: str, cautioned: bool) -> None:
    """3 wide from two strips that lose 1/8 each: 1 5/8 just does, 1 9/16 does not; a caution."""
    issues = told(tmp_path, PAIR + f"glue_up = {glue_up}\n")
    assert [issue.code for issue in issues] == (["strips-too-few"] if cautioned else [])
    for issue in issues:
        assert issue.severity is Severity.CAUTION
        assert "2 strips come to 2 7/8 wide at most, and 3 is needed" in issue.message
