"""Flaws and the margins round them: a fit and a just-not-fit of each."""

from typing import Any

import pytest

from inventory.stock import FlawKind
from tests.nester.maker import blanks, board, fits, part, planned, sheet, shop

FULL = part(length="40", width="4 1/2")
"""A part that takes the whole of the board below, so that every flaw lies in it."""


def flawed(*flaws: dict[str, Any], **keys: Any) -> str:
    """Return a board of 40 x 4 1/2 with flaws."""
    return board(**{"length": "40", "width": "4 1/2", **keys}, flaws=list(flaws))


def flaw(kind: str, face: str = "both", sound: bool | None = None, **keys: str) -> dict[str, Any]:
    """Return a flaw of 1 x 1/2 near the middle of the board."""
    place: dict[str, Any] = {"x": "20", "y": "2", "length": "1", "width": "1/2"}
    said = {} if sound is None else {"sound": sound}
    return {"kind": kind, **place, "face": face, **said, **keys}


def full(**keys: Any) -> str:
    """Return the full part with more keys."""
    return part(length="40", width="4 1/2", **keys)


UNSOUND = ("clear", "clear face", "sound")
MAY_HOLD: dict[str, tuple[str, ...]] = {
    # The qualities that may hold the flaw, seen on both faces.
    "sound knot": ("sound", "hidden"),
    "knot": ("hidden",),
    "bark pocket": ("hidden",),
    "worm hole": ("hidden",),
    "sapwood": ("sound", "hidden"),
    "stain": ("sound", "hidden"),
    "check": (),
    "split": (),
    "shake": (),
    "wane": (),
    "pith": (),
    "rot": (),
    "metal": (),
    "void": (),
    "other": (),
}


@pytest.mark.parametrize("quality", ["clear", "clear face", "sound", "hidden"])
@pytest.mark.parametrize("name", MAY_HOLD)
def test_what_a_quality_may_hold(name: str, quality: str) -> None:
    """A flaw through the wood, small as it is, is held by these qualities and by no other."""
    sound = True if name.startswith("sound") else None
    stock = flawed(flaw(name.removeprefix("sound "), sound=sound))
    assert fits(stock, full(quality=quality)) is (quality in MAY_HOLD[name])


@pytest.mark.parametrize(
    ("flaws", "fit", "flipped"),
    [
        ([], True, False),
        ([flaw("stain", "b")], True, False),
        ([flaw("stain", "a")], True, True),
        ([flaw("stain", "both")], False, None),
        ([flaw("stain", "a"), flaw("stain", "b", x="5")], False, None),
        ([flaw("knot", "b")], False, None),
        ([flaw("knot", "b", sound=True)], True, False),
        ([flaw("knot", "a", sound=True)], True, True),
        ([flaw("stain", "a"), flaw("knot", "a", sound=True, x="5")], True, True),
    ],
)
def test_clear_face(flaws: list[dict[str, Any]], fit: bool, flipped: bool | None) -> None:
    """One face without any flaw shows; the other may hold sound ones and no others."""
    plan = planned(flawed(*flaws), FULL)
    assert (not plan.missing) is fit
    assert [use.flipped for _, use in blanks(plan)] == ([flipped] if fit else [])


def test_the_show_face_is_preferred() -> None:
    """Where both faces would do, the one that the board names shows; where not, the other."""
    ((_, use),) = blanks(planned(flawed(show_face="b"), FULL))
    assert use.flipped
    ((_, use),) = blanks(planned(flawed(show_face="a"), FULL))
    assert not use.flipped
    ((_, use),) = blanks(planned(flawed(flaw("stain", "b"), show_face="b"), FULL))
    assert not use.flipped


@pytest.mark.parametrize("kind", ["knot", "bark pocket", "worm hole"])
def test_hidden_up_to_a_third(kind: str) -> None:
    """A hidden part 4 1/2 wide may hold a loose knot 1 1/2 wide, across it, and none wider."""
    assert fits(flawed(flaw(kind, width="1 1/2", length="3")), full(quality="hidden"))
    assert not fits(flawed(flaw(kind, width="1 9/16", length="1")), full(quality="hidden"))


def test_a_third_of_the_needed_width() -> None:
    """The blank's needed width counts, allowance and all, and not the board's."""
    stock = flawed(flaw("knot", width="1 1/2"), surface="S2S")
    habits = shop(blank_extra_width="1/4")
    assert fits(stock, part(length="40", width="4 1/4", quality="hidden"), habits)
    # A narrower part lies clear of it: 2 in and a margin on the near side.
    narrow = part(length="40", width="2", quality="hidden")
    assert not fits(flawed(flaw("knot", width="1 1/2", y="1 1/2")), narrow)


@pytest.mark.parametrize(
    ("kinds", "allow", "fit"),
    [
        (["sapwood"], ["sapwood"], True),
        (["sapwood"], ["stain"], False),
        (["sapwood", "stain"], ["stain"], False),
        (["sapwood", "stain"], ["stain", "sapwood"], True),
        (["knot"], ["knot"], True),
        (["check"], ["check"], True),
        (["metal"], ["metal"], False),
        (["void"], ["void"], False),
    ],
)
def test_allow(kinds: list[str], allow: list[str], fit: bool) -> None:
    """A part may hold kinds that it allows all the same, but never metal nor missing wood."""
    stock = flawed(*(flaw(kind, x=str(4 + 6 * i)) for i, kind in enumerate(kinds)))
    assert fits(stock, full(quality="clear", allow=allow)) is fit


def test_allow_takes_the_margin_away_too() -> None:
    """Beside a knot that it allows a part needs no margin."""
    beside = flawed(flaw("knot", y="2", width="2 1/2"))
    near = {"length": "40", "width": "2"}
    assert not fits(beside, part(**near))
    assert fits(beside, part(**near, allow=["knot"]))


@pytest.mark.parametrize(
    ("kind", "good", "bad"),
    [
        # Everything is to the left of 20, where the flaw begins, and longer than what is right.
        ("knot", "19 3/4", "19 13/16"),
        ("bark pocket", "19 3/4", "19 13/16"),
        ("pith", "19 3/4", "19 13/16"),
        ("rot", "19 3/4", "19 13/16"),
        ("other", "19 3/4", "19 13/16"),
        ("check", "19", "19 1/16"),
        ("split", "19", "19 1/16"),
        ("shake", "19", "19 1/16"),
        ("wane", "20", "20 1/16"),
        ("void", "20", "20 1/16"),
        ("sapwood", "20", "20 1/16"),
        ("stain", "20", "20 1/16"),
    ],
)
def test_margin_along(kind: str, good: str, bad: str) -> None:
    """Along the grain a blank keeps clear of a flaw by its margin, and may reach just to there."""
    stock = flawed(flaw(kind, length="18"))
    assert fits(stock, part(length=good, width="4 1/2", quality="clear"))
    assert not fits(stock, part(length=bad, width="4 1/2", quality="clear"))


@pytest.mark.parametrize(
    ("kind", "good", "bad"),
    [
        # The flaw lies from 2 1/2 in to the far edge; beside it is room on the near side.
        ("knot", "2 1/4", "2 5/16"),
        ("rot", "2 1/4", "2 5/16"),
        ("check", "2 1/2", "2 9/16"),
        ("split", "2 1/2", "2 9/16"),
        ("wane", "2 1/2", "2 9/16"),
        ("void", "2 1/2", "2 9/16"),
        ("stain", "2 1/2", "2 9/16"),
    ],
)
def test_margin_across(kind: str, good: str, bad: str) -> None:
    """Across the grain splits need no margin: they run on along it."""
    stock = flawed(flaw(kind, y="2 1/2", width="2"))
    assert fits(stock, part(length="40", width=good, quality="clear"))
    assert not fits(stock, part(length="40", width=bad, quality="clear"))


@pytest.mark.parametrize(
    ("grain", "good", "bad"),
    [
        ("length", ("19", "24"), ("19 1/16", "24")),
        # The split runs across a sheet whose grain does: from 10 in less 1 in.
        ("width", ("48", "9"), ("48", "9 1/16")),
    ],
)
def test_splits_of_a_sheet(grain: str, good: tuple[str, str], bad: tuple[str, str]) -> None:
    """A split in a sheet runs on with its face grain."""
    split = {"kind": "split", "x": "20", "y": "10", "length": "27", "width": "13"}
    stock = sheet(grain=grain, flaws=[split])
    for size, fit in ((good, True), (bad, False)):
        one = part(material="plywood", length=size[0], width=size[1], grain=grain)
        if grain == "width":
            one = part(material="plywood", length=size[1], width=size[0], grain="length")
        assert fits(stock, one) is fit


def test_a_split_in_a_sheet_without_grain() -> None:
    """Such a sheet may split on either way, so the margin is kept on all sides."""
    split = {"kind": "split", "x": "20", "y": "10", "length": "27", "width": "13"}
    stock = sheet(grain="none", flaws=[split])
    for length, width, fit in (
        ("19", "24", True),
        ("19 1/16", "24", False),
        ("48", "9", True),
        ("48", "9 1/16", False),
    ):
        assert fits(stock, part(material="plywood", length=length, width=width)) is fit


@pytest.mark.parametrize(
    ("x", "good", "bad"),
    [
        ("20 1/32", "19 3/4", "19 13/16"),  # 19 25/32 goes down to the grid
        ("20 1/16", "19 13/16", "19 7/8"),
        ("19 31/32", "19 11/16", "19 3/4"),
    ],
)
def test_margin_first_then_the_grid(x: str, good: str, bad: str) -> None:
    """A flaw off the grid is grown by its margin before it is rounded outward."""
    stock = flawed(flaw("knot", x=x, length="18"))
    assert fits(stock, part(length=good, width="4 1/2"))
    assert not fits(stock, part(length=bad, width="4 1/2"))


def test_the_shops_margins() -> None:
    """A shop may keep more clear, or nothing at all."""
    knot = flawed(flaw("knot", length="18"))
    assert fits(knot, part(length="19", width="4 1/2"), shop(flaw_margin=1))
    assert not fits(knot, part(length="19 1/16", width="4 1/2"), shop(flaw_margin=1))
    assert fits(knot, part(length="20", width="4 1/2"), shop(flaw_margin=0))
    split = flawed(flaw("split", length="18"))
    assert fits(split, part(length="17", width="4 1/2"), shop(split_margin=3))
    assert not fits(split, part(length="17 1/16", width="4 1/2"), shop(split_margin=3))


def test_a_wedge_of_wane() -> None:
    """Wane with an outline is avoided by its true shape: half way along, half as wide."""
    wedge = {"kind": "wane", "outline": [["0", "4 1/2"], ["40", "4 1/2"], ["40", "2 1/2"]]}
    stock = flawed(wedge)
    assert fits(stock, part(length="20", width="3 1/2"))
    assert not fits(stock, part(length="20", width="3 9/16"))
    assert fits(stock, part(length="40", width="2 1/2"))
    assert not fits(stock, part(length="40", width="2 9/16"))


def test_an_outline_with_a_bay() -> None:
    """A part may lie in the bay of a flaw that its bounding box would forbid."""
    horseshoe = {
        "kind": "void",
        "outline": [
            ["0", "0"],
            ["40", "0"],
            ["40", "1"],
            ["2", "1"],
            ["2", "3 1/2"],
            ["40", "3 1/2"],
            ["40", "4 1/2"],
            ["0", "4 1/2"],
        ],
    }
    assert fits(flawed(horseshoe), part(length="38", width="2 1/2"))
    assert not fits(flawed(horseshoe), part(length="38", width="2 9/16"))
    assert not fits(flawed(horseshoe), part(length="38 1/16", width="2 1/2"))


@pytest.mark.parametrize(
    ("good", "bad"),
    [
        # Nail from 20 to 20 1/8. Left of it the cut, kerf and all, ends an inch before it.
        ("18 7/8", "18 15/16"),
    ],
)
def test_no_cut_near_metal(good: str, bad: str) -> None:
    """A crosscut keeps the shop's distance from a nail, its kerf included."""
    stock = flawed(flaw("metal", x="20", y="2", length="1/8", width="1/8"), length="38")
    assert fits(stock, part(length=good, width="4 1/2", quality="sound"))
    assert not fits(stock, part(length=bad, width="4 1/2", quality="sound"))


def test_no_rip_near_metal() -> None:
    """A rip keeps away from a nail too: 4 in up is a nail, so the rip ends at 3 in."""
    stock = board(
        length="40",
        width="7",
        flaws=[flaw("metal", x="20", y="4", length="1/8", width="1/8")],
    )
    assert fits(stock, part(length="40", width="2 7/8", quality="sound"))
    assert not fits(stock, part(length="40", width="2 15/16", quality="sound"))


def test_end_trims_near_metal() -> None:
    """A nail in the way of an end trim spoils the board: nothing is planned rather than sawn at."""
    nail = flaw("metal", x="1", y="2", length="1/8", width="1/8")
    plan = planned(flawed(nail, ends="rough"), part(length="10", width="1"))
    assert plan.missing
    assert not plan.layouts


@pytest.mark.parametrize(
    ("x", "y", "trim", "fit"),
    [
        ("4", "0", "1/2", False),  # the trim along the near edge would pass the nail
        ("4", "23", "1/2", False),  # and the one along the far edge
        ("0", "12", "1/2", False),
        ("20", "0", 0, True),
        ("20", "12", "1/2", True),
    ],
)
def test_sheet_trims_near_metal(x: str, y: str, trim: str | int, fit: bool) -> None:
    """A sheet that cannot be trimmed for a nail gives nothing; where nothing is trimmed it does."""
    nail = {"kind": "metal", "x": x, "y": y, "length": "1/8", "width": "1/8"}
    text = part(material="plywood", length="10", width="4")
    assert fits(sheet(flaws=[nail]), text, shop(sheet_trim=trim)) is fit


def test_every_kind_is_tried() -> None:
    """The table above names every kind of flaw."""
    names = {name.removeprefix("sound ") for name in MAY_HOLD}
    assert names == {kind.value for kind in FlawKind}
