"""The shop: its defaults by system, the profile under the project, key by key."""

from dataclasses import fields
from fractions import Fraction
from pathlib import Path

import pytest

from inventory.length import INCH, MM
from nester.model import FirstCut, Shop, System
from nester.readers.project import read_project
from nester.readers.shop import SHOP_KEYS
from nester.shop_defaults import default_shop

PART = """
[[part]]
name = "shelf"
length = 30
width = 8
thickness = "3/4 in"
material = "oak"
"""


def shop_of(folder: Path, text: str, profile: str | None = None) -> Shop:
    path, mine = folder / "project.toml", None
    path.write_text(text + PART, encoding="utf-8")
    if profile is not None:
        mine = folder / "shop.toml"
        mine.write_text(profile, encoding="utf-8")
    project, issues = read_project(path, mine)
    assert project is not None, [issue.line() for issue in issues]
    return project.shop


def inches(text: str) -> int:
    return int(sum(Fraction(word) for word in text.split()) * INCH)


def mm(number: str) -> int:
    return int(Fraction(number) * MM)


# The two columns of the table of defaults, typed out again from the published file formats.
TABLE = [
    ("tape", inches("1/16"), mm("1")),
    ("grid", inches("1/16"), mm("0.5")),
    ("kerf.crosscut", inches("1/8"), mm("3.2")),
    ("kerf.rip", inches("1/8"), mm("3.2")),
    ("kerf.rough_rip", inches("1/16"), mm("1.6")),
    ("kerf.sheet", inches("1/8"), mm("3.2")),
    ("kerf.resaw", inches("1/16"), mm("1.6")),
    ("blank_extra_length", inches("1"), mm("25")),
    ("blank_extra_width", inches("1/4"), mm("6")),
    ("plane_off.rough", inches("1/8"), mm("3")),
    ("plane_off.skip_planed", inches("1/16"), mm("1.5")),
    ("plane_off.s2s", 0, 0),
    ("plane_off.s4s", 0, 0),
    ("panel_off", inches("1/16"), mm("1.5")),
    ("end_trim", inches("1"), mm("25")),
    ("edge_trim", inches("1/8"), mm("3")),
    ("sheet_trim", 0, 0),
    ("flaw_margin", inches("1/4"), mm("6")),
    ("split_margin", inches("1"), mm("25")),
    ("metal_clear", inches("1"), mm("25")),
    ("offcut_min", (inches("12"), inches("3")), (mm("300"), mm("75"))),
    ("sheet_offcut_min", (inches("24"), inches("8")), (mm("600"), mm("200"))),
    ("offcut_credit", Fraction(1, 2), Fraction(1, 2)),
    ("shortest_milled", inches("12"), mm("300")),
    ("shortest_rip", inches("12"), mm("300")),
    ("jointer_width", inches("8"), mm("200")),
    ("planer_width", inches("13"), mm("330")),
    ("rip_capacity", inches("30"), mm("760")),
    ("resaw_height", inches("6"), mm("150")),
    ("thick_spare", inches("3/4"), mm("19")),
    ("first_cut", FirstCut.CROSSCUT, FirstCut.CROSSCUT),
    ("stages", 3, 3),
    ("sheet_stages", 4, 4),
    ("corner_penalty", None, None),
    ("use_cutaways", False, False),
]


def value(shop: Shop, path: str) -> object:
    found: object = shop
    for name in path.split("."):
        found = getattr(found, name)
    return found


@pytest.mark.parametrize(("key", "inch", "metric"), TABLE)
def test_defaults_by_system(key: str, inch: object, metric: object) -> None:
    """Each default is the documented one of its system."""
    assert value(default_shop(System.INCH), key) == inch
    assert value(default_shop(System.METRIC), key) == metric


def test_table_of_defaults_is_whole() -> None:
    """No value of the shop is without a documented default, and every one can be set."""
    named = {key.split(".")[0] for key, _, _ in TABLE}
    assert named == {field.name for field in fields(Shop)} - {"system"}
    assert named == set(SHOP_KEYS)


def test_project_units_choose_the_defaults(tmp_path: Path) -> None:
    """A millimetre project is made in the metric shop."""
    assert shop_of(tmp_path, '[project]\nunits = "mm"\n') == default_shop(System.METRIC)
    assert shop_of(tmp_path, "") == default_shop(System.INCH)


def test_partial_tables_keep_the_other_defaults(tmp_path: Path) -> None:
    """One kerf or one planing allowance can be set alone."""
    shop = shop_of(tmp_path, '[shop]\nkerf = {rip = "3/32"}\nplane_off = {"skip planed" = 0}\n')
    inch = default_shop(System.INCH)
    assert shop.kerf.rip == inches("3/32")
    assert shop.kerf.crosscut == inch.kerf.crosscut
    assert shop.plane_off.skip_planed == 0
    assert shop.plane_off.rough == inch.plane_off.rough


def test_every_key_can_be_set(tmp_path: Path) -> None:
    """Every key of the table is read, with any, none and both ways of giving a kerf table."""
    shop = shop_of(
        tmp_path,
        """
[shop]
tape = "1/32"
grid = "1/32"
blank_extra_length = 2
blank_extra_width = "1/2"
panel_off = 0
end_trim = 2
edge_trim = 0
sheet_trim = "1/4"
flaw_margin = 0
split_margin = 2
metal_clear = 3
offcut_min = [10, "2 1/2"]
sheet_offcut_min = ["500 mm", 6]
offcut_credit = 0.25
shortest_milled = 0
shortest_rip = 0
jointer_width = 6
planer_width = "12 1/2"
rip_capacity = 50
resaw_height = 12
thick_spare = 2
first_cut = "either"
stages = "any"
sheet_stages = 2
corner_penalty = 7.5
use_cutaways = true

[shop.kerf]
crosscut = 0
sheet = "2.2 mm"

[shop.plane_off]
rough = "3/16"
S2S = "1/32"
S4S = "1/64"
""",
    )
    assert (shop.tape, shop.grid) == (inches("1/32"), inches("1/32"))
    assert shop.offcut_min == (inches("10"), inches("2 1/2"))
    assert shop.sheet_offcut_min == (mm("500"), inches("6"))
    assert (shop.offcut_credit, shop.corner_penalty) == (Fraction(1, 4), Fraction(15, 2))
    assert (shop.first_cut, shop.stages, shop.sheet_stages) == (FirstCut.EITHER, None, 2)
    assert (shop.kerf.crosscut, shop.kerf.sheet) == (0, mm("2.2"))
    assert (shop.plane_off.s2s, shop.plane_off.s4s) == (inches("1/32"), inches("1/64"))
    assert (shop.shortest_milled, shop.shortest_rip, shop.use_cutaways) == (0, 0, True)
    inch = default_shop(System.INCH)
    same = [f.name for f in fields(Shop) if getattr(shop, f.name) == getattr(inch, f.name)]
    assert same == ["system"]


def test_project_over_profile_over_defaults(tmp_path: Path) -> None:
    """The profile is in its own units; the project overrides it key by key, inside tables too."""
    shop = shop_of(
        tmp_path,
        '[shop]\nkerf = {rip = "3/32"}\nend_trim = 2\n',
        'units = "mm"\n[shop]\nkerf = {rip = 2, sheet = 2.2}\nend_trim = 40\nplaner_width = 410\n',
    )
    assert (shop.kerf.rip, shop.kerf.sheet) == (inches("3/32"), mm("2.2"))
    assert (shop.end_trim, shop.planer_width) == (inches("2"), mm("410"))
    assert shop.edge_trim == default_shop(System.INCH).edge_trim


@pytest.mark.parametrize(
    ("profile", "code", "line", "accepted"),
    [
        ("[shop]\nkref = {}\n", "unknown-key", 2, '"kerf"'),
        ("[project]\n", "unknown-key", 1, "units, shop"),
        ('units = "cm"\n', "unknown-choice", 1, '"in", "mm"'),
        ("shop = 3\n", "wrong-type", 1, "{key = value}"),
        ("[shop\n", "toml-syntax", 1, "[[table]]"),
        (None, "missing-file", None, "a file that exists"),
    ],
)
def test_faults_of_the_profile_are_named(
    tmp_path: Path, profile: str | None, code: str, line: int | None, accepted: str
) -> None:
    """A mistake in the profile keeps the project from being read, under the profile's own name."""
    path, mine = tmp_path / "project.toml", tmp_path / "shop.toml"
    path.write_text(PART)
    if profile is not None:
        mine.write_text(profile)
    project, (issue,) = read_project(path, mine)
    assert project is None
    assert (issue.code, issue.source.file, issue.source.line) == (code, str(mine), line)
    assert accepted in issue.accepted
