"""Where the wood goes: parts, offcuts, kerf and waste, together all the stock that is cut."""

from collections.abc import Iterator
from fractions import Fraction

from inventory.length import MM
from nester.verify.fault import Fault
from nester.verify.laid import Laid
from nester.verify.number import decimal
from nester.verify.outline import area_in, wood_area
from nester.verify.records import Plan

_ROUNDING = Fraction(1, 2)
_NAMES = {"blank": "parts", "strip": "parts", "offcut": "offcuts", "waste": "waste"}


def areas(laids: list[Laid]) -> dict[str, Fraction]:
    """Return the areas of the yield [mm²].

    ``stock`` is the wood within the outlines, ``parts`` the rectangles of blanks and strips,
    ``offcuts`` and ``waste`` the wood in them (what lies past a taper is none), ``kerf`` the rest.
    Flaws are wood here. What is cut from the leaf of a resawn piece counts half.
    """
    sums = dict.fromkeys(("stock", "parts", "offcuts", "waste"), Fraction(0))
    for laid in laids:
        sums["stock"] += wood_area(laid.stock)
        for node in laid.leaves("blank", "strip", "offcut", "waste"):
            if node.use is not None:
                share = 1 if laid.depths[node.index] == (0, laid.stock.thickness) else 2
                sums[_NAMES[node.use.kind]] += area_in(laid.stock, node) / share
    sums["kerf"] = sums["stock"] - sums["parts"] - sums["offcuts"] - sums["waste"]
    return {name: area / MM**2 for name, area in sums.items()}


def check_yield(plan: Plan, laids: list[Laid]) -> Iterator[Fault]:
    """The document's yield is what its layouts come to, to the nearest square millimetre."""
    if not plan.whole or len(laids) != len(plan.layouts):
        return
    for name, area in areas(laids).items():
        if abs(plan.yields[name] - area) > _ROUNDING:
            message = f'the area of "{name}" must be {decimal(area, 3)} mm²'
            yield Fault("yield", message, "yield", decimal(plan.yields[name], 6))
