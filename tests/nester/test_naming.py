"""Copies of parts go out in order, and no two pieces of stock are called the same."""

from nester.model import System
from nester.naming import OffcutIds, PartNames, letters
from nester.problem import build
from nester.shop_defaults import default_shop
from tests.nester.check.things import board, part


def test_copies_in_the_order_of_the_part_list() -> None:
    """Parts of one size are one demand, whose copies go out part by part."""
    parts = [part("leg", 20, 2, count=2), part("post", 20, 2, count=1), part("rail", 30, 3)]
    problem = build(parts, [board("W-1")], default_shop(System.INCH))
    same = next(d for d, demand in enumerate(problem.demands) if len(demand.parts) == 2)
    names = PartNames(problem)
    found = [names(same) for _ in range(4)]
    assert found == [(("leg", 1),), (("leg", 2),), (("post", 1),), None]


def test_offcut_ids_pass_over_what_is_taken() -> None:
    """Copies of a stock item go on in its letters; an id of other stock is left out."""
    ids = OffcutIds([board("M-1"), board("M-1b"), board("M-2")])
    first, second, other = ids.maker("M-1"), ids.maker("M-1"), ids.maker("M-2")
    assert [first(), first(), second(), other()] == ["M-1a", "M-1c", "M-1d", "M-2a"]
    assert ids.maker("M-1b")() == "M-1ba"


def test_letters() -> None:
    """After z come two letters, after zz three."""
    found = [letters(number) for number in (0, 25, 26, 27, 51, 52, 701, 702)]
    assert found == ["a", "z", "aa", "ab", "az", "ba", "zz", "aaa"]
