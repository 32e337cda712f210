"""The shop that is taken where a maker says nothing, in inches and in millimetres.

Saw kerfs, milling allowances and machine sizes are common practice, no source; both columns are the
usual round figures of their own system, not translations of each other.
"""

from fractions import Fraction

from inventory.length import INCH, MM
from nester.model import FirstCut, Kerfs, PlaneOff, Shop, System

PER_STRIP = {System.INCH: INCH // 8, System.METRIC: 3 * MM}
"""Width lost on each strip of a glue-up where the part does not say."""

MAX_STRIPS = 8
"""Most strips in a glued-up part where the part does not say."""

WRAP_TRIM = {System.INCH: INCH // 16, System.METRIC: 3 * MM // 2}
"""Length lost at each joint of a wrap, beyond the saw; sequences and stacks lose none."""

INCH_SHOP = Shop(
    system=System.INCH,
    tape=INCH // 16,
    grid=INCH // 16,
    kerf=Kerfs(
        crosscut=INCH // 8,
        rip=INCH // 8,
        rough_rip=INCH // 16,
        sheet=INCH // 8,
        resaw=INCH // 16,
    ),
    blank_extra_length=INCH,
    blank_extra_width=INCH // 4,
    plane_off=PlaneOff(rough=INCH // 8, skip_planed=INCH // 16, s2s=0, s4s=0),
    panel_off=INCH // 16,
    end_trim=INCH,
    edge_trim=INCH // 8,
    sheet_trim=0,
    flaw_margin=INCH // 4,
    split_margin=INCH,
    metal_clear=INCH,
    offcut_min=(12 * INCH, 3 * INCH),
    sheet_offcut_min=(24 * INCH, 8 * INCH),
    offcut_credit=Fraction(1, 2),
    shortest_milled=12 * INCH,
    shortest_rip=12 * INCH,
    jointer_width=8 * INCH,
    planer_width=13 * INCH,
    rip_capacity=30 * INCH,
    resaw_height=6 * INCH,
    thick_spare=3 * INCH // 4,
    first_cut=FirstCut.CROSSCUT,
    stages=3,
    sheet_stages=4,
    corner_penalty=None,
    use_cutaways=False,
)

METRIC_SHOP = Shop(
    system=System.METRIC,
    tape=MM,
    grid=MM // 2,
    kerf=Kerfs(
        crosscut=16 * MM // 5,
        rip=16 * MM // 5,
        rough_rip=8 * MM // 5,
        sheet=16 * MM // 5,
        resaw=8 * MM // 5,
    ),
    blank_extra_length=25 * MM,
    blank_extra_width=6 * MM,
    plane_off=PlaneOff(rough=3 * MM, skip_planed=3 * MM // 2, s2s=0, s4s=0),
    panel_off=3 * MM // 2,
    end_trim=25 * MM,
    edge_trim=3 * MM,
    sheet_trim=0,
    flaw_margin=6 * MM,
    split_margin=25 * MM,
    metal_clear=25 * MM,
    offcut_min=(300 * MM, 75 * MM),
    sheet_offcut_min=(600 * MM, 200 * MM),
    offcut_credit=Fraction(1, 2),
    shortest_milled=300 * MM,
    shortest_rip=300 * MM,
    jointer_width=200 * MM,
    planer_width=330 * MM,
    rip_capacity=760 * MM,
    resaw_height=150 * MM,
    thick_spare=19 * MM,
    first_cut=FirstCut.CROSSCUT,
    stages=3,
    sheet_stages=4,
    corner_penalty=None,
    use_cutaways=False,
)


def default_shop(system: System) -> Shop:
    """Return the shop of a maker who works in ``system`` and says nothing more."""
    return INCH_SHOP if system is System.INCH else METRIC_SHOP
