"""A project written and read again is the same project."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from inventory.length import INCH, LONGEST, MM
from inventory.stock import FlawKind, Sawn
from nester.model import (
    Arch,
    Edging,
    FirstCut,
    GlueUp,
    Grain,
    Held,
    How,
    Kerfs,
    Laminate,
    Match,
    Outline,
    Part,
    PlaneOff,
    Project,
    Quality,
    Shop,
    System,
)
from nester.readers.project import read_project
from nester.shop_defaults import default_shop
from nester.writers.project import project_toml

ROOT = Path(__file__).resolve().parents[3]

lengths = st.integers(0, LONGEST // 4)
sizes = st.integers(64, LONGEST // 4)
numbers = st.fractions(0, 1000, max_denominator=1000)
letters = st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Cn", "Co", "Zl", "Zp"])
texts = st.text(st.one_of(letters, st.sampled_from("'\"\\⅜")), max_size=30)
plain_texts = texts.map(lambda text: text.strip("\u202a\u202b\u202c\u202d\u202e"))
names = (
    st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=30)
    .map(str.strip)
    .filter(bool)
)
ids = st.lists(names, max_size=3, unique=True).map(tuple)


@st.composite
def parts(draw: st.DrawFn, name: str) -> Part:
    """Draw a part that the reader takes, with any of its keys set."""
    length, width = draw(st.integers(100 * MM, LONGEST)), draw(st.integers(40 * MM, LONGEST))
    narrow = draw(st.integers(1, 10_000))
    stock = draw(ids)
    arch = Arch(draw(st.sampled_from(["near", "far"])), draw(st.integers(0, MM)), 20 * MM, 10 * MM)
    outline = Outline(((0, 0), (draw(st.integers(1, length)), 0), (0, draw(st.integers(1, width)))))
    return Part(
        name=name,
        length=length,
        width=width,
        thickness=draw(sizes),
        materials=tuple(draw(st.lists(names, min_size=1, max_size=3))),
        count=draw(st.integers(1, 9)),
        spare=draw(st.integers(0, 9)),
        grain=draw(st.sampled_from(Grain)),
        quality=draw(st.sampled_from(Quality)),
        allow=draw(st.frozensets(st.sampled_from(FlawKind))),
        from_stock=stock,
        not_from=tuple(name for name in draw(ids) if name not in stock),
        sawn=draw(st.none() | st.sampled_from(Sawn)),
        extra_length=draw(lengths),
        extra_width=draw(lengths),
        blank_extra_length=draw(st.none() | lengths),
        blank_extra_width=draw(st.none() | lengths),
        plane_off=draw(st.none() | lengths),
        pulled_flat=draw(st.booleans()),
        held=draw(st.sampled_from(Held)),
        glue_up=draw(
            st.none()
            | st.builds(
                GlueUp,
                st.just(narrow),
                st.integers(narrow, 20_000),
                st.integers(0, narrow - 1),
                st.integers(2, 50),
            )
        ),
        laminate=draw(st.none() | st.builds(Laminate, st.integers(2, 20), lengths)),
        edging=draw(
            st.none()
            | st.builds(
                Edging,
                st.integers(1, 19 * MM),
                st.lists(
                    st.sampled_from(["near", "far", "start", "end"]), min_size=1, unique=True
                ).map(tuple),
                lengths,
            )
        ),
        resaw=draw(st.booleans()),
        cutaways=tuple(draw(st.lists(st.sampled_from([arch, outline]), max_size=2))),
        note=draw(plain_texts).strip(),
    )


@st.composite
def shops(draw: st.DrawFn, system: System) -> Shop:
    """Draw a shop that the reader takes, any key set."""
    usual = default_shop(system)
    return Shop(
        system=system,
        tape=draw(sizes),
        grid=draw(st.integers(MM // 5, INCH)),
        kerf=draw(st.just(usual.kerf) | st.builds(Kerfs, *[lengths] * 5)),
        blank_extra_length=draw(lengths),
        blank_extra_width=draw(lengths),
        plane_off=draw(st.just(usual.plane_off) | st.builds(PlaneOff, *[lengths] * 4)),
        panel_off=draw(lengths),
        end_trim=draw(st.just(usual.end_trim) | lengths),
        edge_trim=draw(st.just(usual.edge_trim) | lengths),
        sheet_trim=draw(lengths),
        flaw_margin=draw(lengths),
        split_margin=draw(lengths),
        metal_clear=draw(lengths),
        offcut_min=(draw(lengths), draw(lengths)),
        sheet_offcut_min=(draw(lengths), draw(lengths)),
        offcut_credit=draw(st.fractions(0, 1, max_denominator=1000)),
        shortest_milled=draw(lengths),
        shortest_rip=draw(lengths),
        jointer_width=draw(lengths),
        planer_width=draw(lengths),
        rip_capacity=draw(lengths),
        resaw_height=draw(lengths),
        thick_spare=draw(lengths),
        first_cut=draw(st.sampled_from(FirstCut)),
        stages=draw(st.none() | st.integers(1, 20)),
        sheet_stages=draw(st.none() | st.integers(1, 20)),
        corner_penalty=draw(st.none() | numbers),
        use_cutaways=draw(st.booleans()),
    )


@st.composite
def projects(draw: st.DrawFn) -> Project:
    """Draw a project that the reader takes."""
    system = draw(st.sampled_from(System))
    called = draw(st.lists(names, min_size=1, max_size=3, unique=True))
    made = tuple(draw(parts(name)) for name in called)
    matches = []
    if made[0].count >= 2:
        how = draw(st.sampled_from(How))
        matches.append(
            Match(
                name=draw(names),
                how=how,
                parts=(made[0].name,) * 2,
                miter=draw(st.fractions(0, 89, max_denominator=100)) if how is How.WRAP else 45,
                joint_trim=draw(lengths),
                required=draw(st.booleans()),
            )
        )
    return Project(draw(names), system, draw(shops(system)), made, tuple(matches))


def again(text: str) -> Project:
    """Read the project in a text."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "project.toml"
        path.write_text(text, encoding="utf-8")
        read, issues = read_project(path)
    assert read is not None, [issue.line() for issue in issues]
    return read


def bare(project: Project) -> Project:
    """Return a project without what tells of its file rather than of the work."""
    parts = tuple(replace(part, thickness_as_written="") for part in project.parts)
    return replace(project, sha256="", parts=parts)


@settings(max_examples=150, deadline=None)
@given(projects())
def test_written_and_read_is_the_same(project: Project) -> None:
    """Whatever a project holds, in either system, comes back exactly; and so does its text."""
    text = project_toml(project)
    read = again(text)
    assert bare(read) == bare(project)
    assert project_toml(read) == text


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("*/project.toml")), ids=str)
def test_examples_come_back(path: Path) -> None:
    """The projects of the examples survive being written and read."""
    project, _ = read_project(path)
    assert bare(again(project_toml(project))) == bare(project)


def test_text_is_what_a_maker_would_write() -> None:
    """Fractions in inches, defaults left out."""
    part = Part("side", 23 * INCH + 3 * INCH // 8, 14 * INCH, 3 * INCH // 4, ("walnut",), count=2)
    shop = default_shop(System.INCH)
    shop = replace(shop, stages=None, offcut_credit=Fraction(1, 3), kerf=replace(shop.kerf, rip=0))
    assert project_toml(Project("Case", System.INCH, shop, (part,))) == (
        '[project]\nname = "Case"\nunits = "in"\n\n'
        '[shop]\nkerf = {rip = "0"}\noffcut_credit = "1/3"\nstages = "any"\n\n'
        '[[part]]\nname = "side"\ncount = 2\nlength = "23 3/8"\nwidth = "14"\n'
        'thickness = "3/4"\nmaterial = "walnut"\n'
    )
