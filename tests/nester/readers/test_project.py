"""Project files: what is read, and one clear line for every mistake."""

from fractions import Fraction
from pathlib import Path

import pytest

from inventory.issue import Issue, Severity
from inventory.length import INCH, MM
from inventory.stock import FlawKind, Sawn
from nester.model import (
    Arch,
    Edging,
    GlueUp,
    Grain,
    Held,
    How,
    Laminate,
    Outline,
    Project,
    Quality,
    System,
)
from nester.readers.match import MATCH_KEYS
from nester.readers.part import PART_KEYS
from nester.readers.project import TOP_KEYS, read_project, read_with_faults
from nester.readers.shop import SHOP_KEYS

SMALL = """\
[project]
name = "Plinth"
units = "in"

[[part]]
name = "plinth front"
length = "38"
width = "3 1/2"
thickness = "3/4"
material = "maple"
"""


def written(folder: Path, text: str, name: str = "project.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def good(folder: Path, text: str, name: str = "project.toml") -> Project:
    project, issues = read_project(written(folder, text, name))
    assert project is not None, [issue.line() for issue in issues]
    return project


def faults(folder: Path, text: str, name: str = "project.toml") -> list[Issue]:
    project, issues = read_project(written(folder, text, name))
    assert project is None
    return [issue for issue in issues if issue.severity is Severity.ERROR]


def test_smallest_project_takes_every_default(tmp_path: Path) -> None:
    """Five keys make a part; all the rest has its documented default."""
    project = good(tmp_path, SMALL)
    (part,) = project.parts
    assert (project.name, project.units) == ("Plinth", System.INCH)
    assert (part.length, part.width, part.thickness) == (38 * INCH, 7 * INCH // 2, 3 * INCH // 4)
    assert part.materials == ("maple",)
    assert (part.count, part.spare, part.copies) == (1, 0, 1)
    assert (part.grain, part.quality) == (Grain.LENGTH, Quality.CLEAR_FACE)
    assert (part.allow, part.from_stock, part.not_from, part.sawn) == (frozenset(), (), (), None)
    assert (part.extra_length, part.extra_width) == (0, 0)
    assert (part.blank_extra_length, part.blank_extra_width, part.plane_off) == (None, None, None)
    assert (part.pulled_flat, part.held, part.resaw) == (False, Held.FREE, False)
    assert (part.glue_up, part.laminate, part.edging, part.cutaways) == (None, None, None, ())
    assert (part.thickness_as_written, part.note) == ("3/4", "")
    assert part.source is not None
    assert part.source.line == 5


def test_every_key_of_a_part(tmp_path: Path) -> None:
    """Every key of the part table is read, in its own unit where it has one."""
    project = good(
        tmp_path,
        SMALL
        + """
[[part]]
name = "case top"
count = 2
length = "1 m"
width = 14
thickness = "4/4"
material = ["walnut", "Black  Walnut"]
grain = "width"
quality = "hidden"
allow = ["sapwood", "worm hole"]
from = ["W-1"]
not_from = ["W-2", "W-3"]
sawn = "quarter"
extra_length = "1 1/2"
extra_width = "3/8"
blank_extra_length = 2
blank_extra_width = 0
plane_off = "1/16"
spare = 3
pulled_flat = true
held = "one edge"
glue_up = {strips = ["2 1/2", "6"]}
laminate = {plies = 2, per_face = "1/16"}
edging = {thickness = "1/4", edges = ["near", "end"], over = "1/16"}
resaw = true
cutaway = [{arch = {edge = "far", start = 5, span = 28, rise = "1 3/4"}},
           {outline = [["0", "3"], ["1", "3 1/2"], ["0", "3 1/2"]]}]
note = "second line ⅜"
""",
    )
    part = project.parts[1]
    assert (part.length, part.width, part.thickness) == (1000 * MM, 14 * INCH, INCH)
    assert part.thickness_as_written == "4/4"
    assert part.materials == ("walnut", "Black Walnut")
    assert (part.grain, part.quality) == (Grain.WIDTH, Quality.HIDDEN)
    assert part.allow == {FlawKind.SAPWOOD, FlawKind.WORM_HOLE}
    assert (part.from_stock, part.not_from) == (("W-1",), ("W-2", "W-3"))
    assert part.sawn is Sawn.QUARTER
    assert (part.extra_length, part.extra_width) == (3 * INCH // 2, 3 * INCH // 8)
    assert (part.blank_extra_length, part.blank_extra_width) == (2 * INCH, 0)
    assert (part.plane_off, part.copies) == (INCH // 16, 5)
    assert (part.pulled_flat, part.held, part.resaw) == (True, Held.ONE_EDGE, True)
    assert part.glue_up == GlueUp(5 * INCH // 2, 6 * INCH, INCH // 8, 8)
    assert part.laminate == Laminate(2, INCH // 16)
    assert part.edging == Edging(INCH // 4, ("near", "end"), INCH // 16)
    assert part.cutaways == (
        Arch("far", 5 * INCH, 28 * INCH, 7 * INCH // 4),
        Outline(((0, 3 * INCH), (INCH, 7 * INCH // 2), (0, 7 * INCH // 2))),
    )
    assert part.note == "second line ⅜"


def test_decimals_between_two_units_round_up(tmp_path: Path) -> None:
    """0.1 in is 812.8 units of 1/320 mm: a part gets 813."""
    project = good(tmp_path, SMALL.replace('"3/4"', "0.1"))
    assert project.parts[0].thickness == 813


def test_inch_and_millimetre_entry_agree(tmp_path: Path) -> None:
    """The same sizes written in millimetres are the same part."""
    metric = (
        SMALL.replace('units = "in"', 'units = "mm"')
        .replace('"38"', "965.2")
        .replace('"3 1/2"', '"8.89 cm"')
        .replace('"3/4"', '"3/4 in"')
    )
    inch, mm = good(tmp_path, SMALL).parts[0], good(tmp_path, metric).parts[0]
    assert (mm.length, mm.width, mm.thickness) == (inch.length, inch.width, inch.thickness)


def test_matches_are_read(tmp_path: Path) -> None:
    """A match has its parts in order, and defaults by its kind."""
    project = good(
        tmp_path,
        SMALL.replace('length = "38"', 'length = "38"\ncount = 4')
        + """
[[match]]
name = "case"
how = "wrap"
parts = ["plinth front", "plinth front"]
miter = 22.5

[[match]]
name = "row"
how = "same board"
parts = ["plinth front", "plinth front"]
required = true
joint_trim = "1/8"
""",
    )
    case, row = project.matches
    assert (case.how, case.miter, case.joint_trim) == (How.WRAP, Fraction(45, 2), INCH // 16)
    assert (case.parts, case.required, case.sets) == (("plinth front",) * 2, False, 1)
    assert (row.how, row.required, row.joint_trim) == (How.SAME_BOARD, True, INCH // 8)


def test_name_and_digest_of_the_file(tmp_path: Path) -> None:
    """Without a name the project is called like its file; the digest is of the file's bytes."""
    import hashlib

    text = SMALL.replace('name = "Plinth"\n', "")
    project = good(tmp_path, text, "hall seat.toml")
    assert project.name == "hall seat"
    assert project.sha256 == hashlib.sha256(text.encode()).hexdigest()


def changed(old: str, new: str) -> str:
    assert old in SMALL
    return SMALL.replace(old, new)


BAD_LINES = [
    # text of the file, code, line, value found, part of what is accepted, part of the message
    (changed('"in"', '"inches"'), "unknown-choice", 3, "inches", '"in", "mm"', "units"),
    (changed('"38"', '"38 furlong"'), "unknown-unit", 7, "38 furlong", "mm, cm, m, in, ft", "unit"),
    (changed('"38"', "-38"), "negative", 7, "-38", "a length", "negative"),
    (changed('"38"', "0"), "zero", 7, "0", "more than zero", "zero"),
    (changed('"38"', "nan"), "not-finite", 7, "nan", "a length", "finite"),
    (changed('"38"', "inf"), "not-finite", 7, "inf", "a length", "finite"),
    (changed('"38"', '"31 m"'), "too-long", 7, "31 m", "at most 30 m", "30 m"),
    (changed('"38"', '"38 1/0"'), "over-zero", 7, "38 1/0", "a length", "over zero"),
    (changed('"38"', '""'), "empty", 7, "", "a length", "empty"),
    (changed('"38"', "true"), "wrong-type", 7, "true", "a length", "not a length"),
    (changed('"38"', "[38]"), "wrong-type", 7, "[38]", "a length", "not a length"),
    (changed("length", "lenght"), "unknown-key", 7, "lenght", '"length"', "unknown key"),
    (changed("[project]", "[projet]"), "unknown-key", 1, "projet", '"project"', "unknown key"),
    (changed("[[part]]", "[[parts]]"), "unknown-key", 5, "parts", '"part"', "unknown key"),
    (changed("[[part]]", "[part]"), "wrong-type", 5, "a table", "[[part]]", "list of tables"),
    (changed('"Plinth"', "7"), "wrong-type", 2, "7", "text in quotes", "not a text"),
    (changed('"maple"', "[]"), "empty", 10, "[]", "a species", "empty"),
    (changed('"maple"', "[1]"), "wrong-type", 10, "1", "text in quotes", "not a text"),
    (changed('"plinth front"', '""'), "empty", 6, "", "1 to 200 characters", "empty"),
    (SMALL + "count = 100_000_000\n", "out-of-range", 11, "100000000", "20,000", "limit of 20,000"),
    (SMALL + "count = 0\n", "out-of-range", 11, "0", "from 1", "less than 1"),
    (SMALL + 'count = "2"\n', "wrong-type", 11, "2", "a whole number", "whole number"),
    (SMALL + "spare = 1.5\n", "wrong-type", 11, "1.5", "a whole number", "whole number"),
    (SMALL + 'quality = "claer"\n', "unknown-choice", 11, "claer", '"clear face"', "clear"),
    (SMALL + 'grain = "up"\n', "unknown-choice", 11, "up", '"length", "width", "any"', "grain"),
    (SMALL + 'allow = ["knott"]\n', "unknown-choice", 11, "knott", '"knot"', "allow"),
    (SMALL + 'held = "no"\n', "unknown-choice", 11, "no", '"all round"', "held"),
    (SMALL + "pulled_flat = 1\n", "wrong-type", 11, "1", "true or false", "pulled_flat"),
    (SMALL + 'sawn = "plain"\n', "unknown-choice", 11, "plain", '"quarter"', "sawn"),
    (SMALL + 'from = ["a"]\nnot_from = ["a"]\n', "from-and-not-from", 12, "a", "one list", "asked"),
    (SMALL + "note = 3\n", "wrong-type", 11, "3", "text in quotes", "note"),
    (SMALL + "glue_up = {}\n", "missing-key", 11, None, "a length", "glue_up strips"),
    (
        SMALL + 'glue_up = {strips = ["6", "2"]}\n',
        "strips-order",
        11,
        "[6, 2]",
        "[least, most]",
        "narrowest",
    ),
    (
        SMALL + "glue_up = {strips = [2, 6], strip = 1}\n",
        "unknown-key",
        11,
        "strip",
        '"strips"',
        "glue_up",
    ),
    (SMALL + "laminate = {plies = 1, per_face = 0}\n", "out-of-range", 11, "1", "2 to 20", "plies"),
    (SMALL + "laminate = {per_face = 0}\n", "missing-key", 11, None, "2 to 20", "laminate plies"),
    (
        SMALL + 'edging = {thickness = 2, edges = ["near", "far"]}\n',
        "edging-too-thick",
        11,
        "2",
        "thinner",
        "nothing of the panel",
    ),
    (
        SMALL + 'edging = {thickness = "1/4", edges = ["top"]}\n',
        "unknown-choice",
        11,
        "top",
        '"near", "far", "start", "end"',
        "edges",
    ),
    (SMALL + 'edging = {thickness = "1/4"}\n', "missing-key", 11, None, '"near"', "edges"),
    (SMALL + "cutaway = [{}]\n", "wrong-type", 11, None, "{arch =", "cutaway 1"),
    (SMALL + "cutaway = [3]\n", "wrong-type", 11, "3", "{key = value}", "cutaway 1"),
    (
        SMALL + "cutaway = [{outline = [[0, 0], [1, 1]]}]\n",
        "bad-outline",
        11,
        "[[0, 0], [1, 1]]",
        "3 corners",
        "3",
    ),
    (
        SMALL + "cutaway = [{outline = [[0, 0], [2, 2], [2, 0], [0, 2]]}]\n",
        "bad-outline",
        11,
        "[[0, 0], [2, 2], [2, 0], [0, 2]]",
        "in order round",
        "crosses itself",
    ),
    (
        SMALL + "cutaway = [{outline = [[0, 0], [2, 0], [0, 4]]}]\n",
        "outside-part",
        11,
        "[[0, 0], [2, 0], [0, 4]]",
        "inside the finished size",
        "outside the part",
    ),
    (
        SMALL + '[[match]]\nname = "m"\nparts = ["plinth front", "plinth front"]\n',
        "missing-key",
        11,
        None,
        '"wrap"',
        "how",
    ),
    (
        SMALL + '[[match]]\nname = "m"\nhow = "wrap"\nparts = ["plinth front", "plinth frnt"]\n',
        "unknown-part",
        14,
        "plinth frnt",
        '"plinth front" is the nearest part',
        "no such part",
    ),
    (
        SMALL + '[[match]]\nname = "m"\nhow = "stack"\nparts = ["plinth front", "plinth front"]\n',
        "too-few-copies",
        14,
        "plinth front",
        "a count of 2",
        "there are 1",
    ),
    (
        SMALL + '[[match]]\nname = "m"\nhow = "wrapp"\nparts = ["plinth front"]\n',
        "unknown-choice",
        13,
        "wrapp",
        '"same board"',
        "how",
    ),
    (SMALL + "[climate]\nshop = 45\n", "not-planned-yet", 11, None, "without", "movement check"),
    (SMALL + "[shop]\nkerf = 1\n", "wrong-type", 12, "1", "{key = value}", "kerf"),
    (SMALL + "[shop]\nkerf = {rpi = 1}\n", "unknown-key", 12, "rpi", '"rip"', "kerf"),
    (SMALL + "[shop]\ntappe = 1\n", "unknown-key", 12, "tappe", '"tape"', "unknown key"),
    (SMALL + "[shop]\ngrid = 0\n", "zero", 12, "0", "more than zero", "grid"),
    (SMALL + '[shop]\ngrid = "0.1 mm"\n', "too-fine", 12, "0.1 mm", "0.2 mm", "too fine"),
    (SMALL + "[shop]\nstages = 2.5\n", "out-of-range", 12, "2.5", '"any"', "stages"),
    (SMALL + "[shop]\nsheet_stages = 0\n", "out-of-range", 12, "0", '"any"', "sheet_stages"),
    (SMALL + "[shop]\noffcut_credit = 1.5\n", "out-of-range", 12, "1.5", "0 to 1", "offcut"),
    (SMALL + "[shop]\noffcut_min = 12\n", "wrong-number", 12, "12", "2 values", "offcut_min"),
    (SMALL + '[shop]\nfirst_cut = "x"\n', "unknown-choice", 12, "x", '"crosscut"', "first_cut"),
    (SMALL + "[shop]\nplane_off = {s2s = 0}\n", "unknown-key", 12, "s2s", '"S2S"', "plane_off"),
    (SMALL + "[shop]\nuse_cutaways = 1\n", "wrong-type", 12, "1", "true or false", "use_cutaways"),
    ("[project\n", "toml-syntax", 1, "[project", "[[table]]", "not TOML"),
    (SMALL + "name = 1\n", "toml-syntax", 11, "name = 1", "key =", "not TOML"),
    ('[project]\nname = "x"\n', "no-parts", None, None, "[[part]]", "no part"),
    ("part = []\n", "no-parts", None, None, "[[part]]", "no part"),
]


@pytest.mark.parametrize(("text", "code", "line", "value", "accepted", "message"), BAD_LINES)
def test_each_mistake_gives_one_clear_line(
    tmp_path: Path,
    text: str,
    code: str,
    line: int | None,
    value: str | None,
    accepted: str,
    message: str,
) -> None:
    """A mistake is named with file, line, the value in double quotes and what would be accepted."""
    issues = faults(tmp_path, text)
    (issue,) = [issue for issue in issues if issue.code == code]
    assert issue.source is not None
    assert issue.source.file.endswith("project.toml")
    assert (issue.source.line, issue.value) == (line, value)
    assert accepted in (issue.accepted or "")
    assert message in issue.message
    said = issue.line()
    assert said.startswith(str(issue.source) + ": ")
    assert value is None or f'(found "{value}")' in said
    assert f"; accepted: {issue.accepted}" in said
    assert "\n" not in said


@pytest.mark.parametrize(
    ("arch", "code", "message"),
    [
        ({"start": 5, "span": 28, "rise": "1 3/4"}, None, ""),
        ({"start": 0, "span": 4, "rise": 2}, None, ""),  # half a circle is still an arc
        ({"start": 0, "span": 4, "rise": "2 1/16"}, "arch-too-high", "more than half its span"),
        ({"start": 0, "span": 38, "rise": "3 7/16"}, None, ""),
        ({"start": 0, "span": 38, "rise": "3 1/2"}, "outside-part", "cuts the part in two"),
        ({"start": "10 1/16", "span": 28, "rise": 1}, "outside-part", "past the end"),
        ({"start": 10, "span": 28, "rise": 1}, None, ""),
        ({"start": 5, "span": 28, "rise": 0}, "zero", "zero"),
        ({"start": 5, "span": 0, "rise": 1}, "zero", "zero"),
    ],
)
def test_arches_stay_on_their_edge(tmp_path: Path, arch: dict, code: str | None, message: str):
    """An arch lies inside the part and rises by at most half its span: a fit and a just-not-fit."""
    keys = ", ".join(f'{key} = "{value}"' for key, value in arch.items())
    text = SMALL + f'cutaway = [{{arch = {{edge = "near", {keys}}}}}]\n'
    if code is None:
        assert len(good(tmp_path, text).parts[0].cutaways) == 1
    else:
        (issue,) = faults(tmp_path, text)
        assert issue.code == code
        assert message in issue.message


def test_all_faults_of_a_file_at_once(tmp_path: Path) -> None:
    """Nothing hides behind the first mistake: parts, shop and matches are all read to the end."""
    issues = faults(
        tmp_path,
        """\
[project]
units = "cm"
colour = "brown"

[shop]
kerf = {rip = -1}

[[part]]
name = "side"
length = "nought"
width = 0
thickness = "3/4"

[[part]]
name = "side"
length = 10
width = 2
thickness = "3/4"
material = "oak"
qaulity = "clear"

[[match]]
name = "m"
how = "stack"
parts = ["side", "lid"]
""",
    )
    found = {(issue.code, issue.source.line if issue.source else None) for issue in issues}
    assert found == {
        ("unknown-choice", 2),
        ("unknown-key", 3),
        ("negative", 6),
        ("not-a-length", 10),
        ("zero", 11),
        ("missing-key", 8),
        ("duplicate-name", 15),
        ("unknown-key", 20),
        ("unknown-part", 25),
    }


def test_duplicate_name_says_where_the_first_is(tmp_path: Path) -> None:
    """Two parts of one name: the second is named, with the place of the first."""
    text = SMALL + SMALL[SMALL.index("[[part]]") :]
    (issue,) = faults(tmp_path, text)
    assert (issue.code, issue.value, issue.source.line) == ("duplicate-name", "plinth front", 12)
    assert issue.accepted.endswith("project.toml:6")


def test_too_many_blanks_is_said_as_a_limit(tmp_path: Path) -> None:
    """20,000 blanks are read, one more is not, spares counted; the part too much is named."""
    text = SMALL + "count = 19_999\nspare = 1\n"
    assert good(tmp_path, text).parts[0].copies == 20_000
    more = SMALL[SMALL.index("[[part]]") :].replace("plinth front", "plinth back")
    (issue,) = faults(tmp_path, text + more)
    assert (issue.code, issue.value, issue.subject) == ("too-many-blanks", "20,001", "plinth back")
    assert "a limit of 20,000" in issue.accepted


@pytest.mark.parametrize(
    "name",
    [
        'the "best" one',
        "<script>alert(1)</script>",
        "../../etc/passwd",
        "C:\\side",
        "رف علوي",
        "棚板",
        "e\u0301tage",
        "x" * 200,
        "a\u200dz",
    ],
)
def test_a_name_is_any_printable_text(tmp_path: Path, name: str) -> None:
    """Quotes, markup, path separators, right-to-left text and 200 letters are good names."""
    escaped = name.replace("\\", "\\\\").replace('"', '\\"')
    project = good(tmp_path, SMALL.replace("plinth front", escaped))
    assert project.parts[0].name == name


@pytest.mark.parametrize(
    ("name", "code", "accepted"),
    [
        ("x" * 10_000, "too-long", "at most 200 characters"),
        ("a\\u0007b", "bad-character", "printable characters"),
        ("a\\nb", "bad-character", "printable characters"),
        ("a\\u202eb", "bad-character", "printable characters"),
    ],
)
def test_names_that_cannot_be_printed(tmp_path: Path, name: str, code: str, accepted: str) -> None:
    """10,000 letters, control characters and turned text are refused in one short line."""
    (issue,) = faults(tmp_path, SMALL.replace("plinth front", name))
    assert (issue.code, issue.source.line) == (code, 6)
    assert issue.accepted == accepted
    assert len(issue.line()) < 400


ODD_VALUES = (
    "0",
    "-1",
    "1e999",
    "nan",
    "true",
    '""',
    '"1/0"',
    '"\\u0000"',
    "1979-05-27",
    "[]",
    "[[[]]]",
    "[{}, 1]",
    "{}",
    '{edge = 1, arch = [], rip = {}, outline = "x", strips = [1], "skip planed" = []}',
    "[{arch = 1}, {outline = [[1]]}, {outline = {}}]",
)


@pytest.mark.parametrize("value", ODD_VALUES)
def test_no_value_breaks_the_reader(tmp_path: Path, value: str) -> None:
    """Whatever stands under a key of a part, a match or the shop, reading gives issues at most."""
    reset = [line for line in SMALL.splitlines() if line]
    for key in PART_KEYS:
        kept = [line for line in reset if not line.startswith(f"{key} =")]
        reading = read_with_faults(written(tmp_path, "\n".join([*kept, f"{key} = {value}"])))
        assert all(issue.line() for issue in reading.issues)
    for table, keys in (("[shop]", SHOP_KEYS), ("[[match]]", MATCH_KEYS)):
        for key in keys:
            text = f"{SMALL}\n{table}\n{key} = {value}\n"
            assert all(issue.line() for issue in read_with_faults(written(tmp_path, text)).issues)
    for key in TOP_KEYS:
        reading = read_with_faults(written(tmp_path, f"{key} = {value}\n"))
        assert reading.faulty


def test_cautions_let_the_work_go_on(tmp_path: Path) -> None:
    """Allowing metal, and a fraction without a unit in a millimetre file, are cautions."""
    text = SMALL.replace('"in"', '"mm"').replace('"38"', "380") + 'allow = ["metal"]\n'
    project, issues = read_project(written(tmp_path, text))
    assert project is not None
    assert {(i.code, i.severity) for i in issues} == {
        ("bare-fraction", Severity.CAUTION),
        ("never-allowed", Severity.CAUTION),
    }


def test_faulty_file_still_gives_its_good_parts(tmp_path: Path) -> None:
    """A report can go on with what is good; the places of a part's keys are kept for it."""
    text = SMALL + 'from = ["W-1"]\n\n[[part]]\nname = "lid"\n'
    reading = read_with_faults(written(tmp_path, text))
    assert reading.faulty
    assert reading.project is not None
    assert [part.name for part in reading.project.parts] == ["plinth front"]
    assert reading.places["plinth front", "from"].line == 11


class TestFilesThatAreNoProject:
    """Whatever a path leads to, one line says what it is."""

    @pytest.mark.parametrize(
        ("name", "content", "code"),
        [
            ("empty.toml", b"", "empty-file"),
            ("blank.toml", b" \n", "empty-file"),
            ("binary.toml", b"\x00\x01\x02", "binary-file"),
            ("latin.toml", "name = 'Bügel'".encode("latin-1"), "not-utf8"),
            ("project.txt.gz", b"\x1f\x8b", "unknown-format"),
            ("project", b"[project]", "unknown-format"),
            ("damaged.xlsx", b"PK\x03\x04rubbish", "not-xlsx"),
            ("quotes.csv", b'name,length\n"a"b,1\n', "csv-syntax"),
        ],
    )
    def test_content(self, tmp_path: Path, name: str, content: bytes, code: str) -> None:
        """Empty, binary, in another encoding, of an unknown kind, damaged."""
        path = tmp_path / name
        path.write_bytes(content)
        project, (issue,) = read_project(path)
        assert project is None
        assert issue.code == code
        assert issue.source.file == str(path)
        assert issue.accepted

    @pytest.mark.parametrize("name", ["none.toml", "none.csv", "none.xlsx", "none"])
    def test_missing(self, tmp_path: Path, name: str) -> None:
        """A file that is not there."""
        project, (issue,) = read_project(tmp_path / name)
        assert (project, issue.code) == (None, "missing-file")

    @pytest.mark.parametrize("name", ["folder.toml", "folder"])
    def test_folder(self, tmp_path: Path, name: str) -> None:
        """A folder in place of a file."""
        (tmp_path / name).mkdir()
        project, (issue,) = read_project(tmp_path / name)
        assert (project, issue.code) == (None, "directory")


ROWS = (
    'count = 6\n[[match]]\nname = "row"\nhow = "sequence"\n'
    'parts = ["plinth front", "plinth front"]\nsets = 2\n'
    '[[match]]\nname = "bank"\nhow = "stack"\n'
)


def test_a_stack_may_name_sequences(tmp_path: Path) -> None:
    """The rows of a stack may be sequences, of which there must be enough sets."""
    project = good(tmp_path, SMALL + ROWS + 'parts = ["row", "row", "plinth front"]\n')
    assert project.matches[1].parts == ("row", "row", "plinth front")
    (issue,) = faults(tmp_path, SMALL + ROWS + 'parts = ["row", "row", "row"]\n')
    assert (issue.code, issue.value) == ("too-few-sets", "row")
    assert issue.accepted == "sets = 3 or more for that sequence"
