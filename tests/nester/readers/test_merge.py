"""Several projects as one."""

from dataclasses import replace
from fractions import Fraction

import pytest

from nester.model import How, Match, Part, Project, System
from nester.readers.merge import merge_projects
from nester.shop_defaults import default_shop

SHOP = default_shop(System.INCH)


def project(name: str, *parts: str, **more) -> Project:
    made = tuple(Part(part, 8128, 8128, 8128, ("oak",), count=2) for part in parts)
    return Project(name, System.INCH, SHOP, made, sha256=name * 8, **more)


def test_one_project_is_itself() -> None:
    """Nothing is changed where there is nothing to merge."""
    bench = project("bench", "leg")
    assert merge_projects([bench]) == (bench, [])
    with pytest.raises(ValueError, match="no project"):
        merge_projects([])


def test_names_that_clash_carry_their_project() -> None:
    """A part that two projects have is told apart by the project; others keep their names."""
    pair = Match("pair", How.SAME_BOARD, ("leg", "seat"), Fraction(45))
    merged, issues = merge_projects(
        [project("bench", "leg", "seat", matches=(pair,)), project("stool", "leg", "rung")]
    )
    assert issues == []
    assert merged is not None
    assert merged.name == "bench + stool"
    assert [part.name for part in merged.parts] == ["bench: leg", "seat", "stool: leg", "rung"]
    assert merged.matches[0].name == "pair"
    assert merged.matches[0].parts == ("bench: leg", "seat")
    assert len(merged.sha256) == 64


def test_rows_of_a_stack_keep_their_names() -> None:
    """A stack names its sequences as they are called once projects are put together."""
    row = Match("row", How.SEQUENCE, ("front", "front"), Fraction(45))
    bank = Match("bank", How.STACK, ("row", "front"), Fraction(45))
    chest = project("chest", "front", matches=(row, bank))
    merged, _ = merge_projects([chest, project("stool", "leg")])
    assert merged is not None
    assert merged.matches[1].parts == ("row", "front")
    merged, _ = merge_projects([chest, project("boat", "row")])
    assert merged is not None
    assert merged.matches[0].name == "chest: row"
    assert merged.matches[1].parts == ("chest: row", "front")


def test_projects_of_one_name_are_numbered() -> None:
    """The same file twice makes two of everything."""
    bench = project("bench", "leg")
    merged, _ = merge_projects([bench, bench])
    assert merged is not None
    assert [part.name for part in merged.parts] == ["bench 1: leg", "bench 2: leg"]


def test_other_shop_is_refused_and_the_keys_named() -> None:
    """One plan is made in one shop; what differs is named."""
    other = replace(project("stool", "rung"), shop=replace(SHOP, end_trim=0, planer_width=1))
    merged, (issue,) = merge_projects([project("bench", "leg"), other])
    assert merged is None
    assert (issue.code, issue.subject) == ("other-shop", "stool")
    assert "end_trim, planer_width" in issue.message


def test_too_many_blanks_together() -> None:
    """The limit on blanks holds for all projects of a plan together."""
    many = [
        replace(project(name), parts=(Part(name, 1, 1, 1, ("oak",), count=10_001),))
        for name in ("a", "b")
    ]
    merged, (issue,) = merge_projects(many)
    assert merged is None
    assert (issue.code, issue.value) == ("too-many-blanks", "20,002")
