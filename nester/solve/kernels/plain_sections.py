"""The most valuable three-stage layout of a piece without flaws, copies unlimited.

The programme of ``kernels.sections`` where nothing depends on where it lies: a section is worth the
same wherever it begins, so each length is filled once (Gilmore and Gomory 1965).
"""

import numpy as np

from nester.solve.kernels.jit import kernel, wide
from nester.solve.kernels.section_tables import Ints, SectionTables
from nester.solve.kernels.sections import Longs, fill_section, fill_strips, gains_across, slopes


@kernel
def plain_sections(t: SectionTables, value: Longs) -> tuple[Longs, Ints, Longs, int]:
    """Return the best value up to each u, the section start chosen there, sections, and work.

    ``value`` and what is returned are told in ``sections.best_sections``; sections are by length.
    """
    n_kind = t.kind_first.shape[0] - 1
    plain = np.zeros((n_kind, t.nu + 1), np.int64)
    kept = np.zeros((n_kind, t.nu + 1), np.int64)
    broad = np.zeros((n_kind, t.nu + 1), np.int64)
    now = np.zeros(n_kind, np.int64)
    now_kept = np.zeros(n_kind, np.int64)
    widths = t.strip_step.shape[0]
    done = np.zeros(t.nv + 1, np.int64)
    above = np.zeros((t.nv + 1, widths), np.int64)
    slope = np.zeros(widths, np.int64)
    since = np.zeros(widths, np.int64)
    gains = np.zeros((2, t.nv + 1), np.int64)
    changed = np.zeros(t.nu + 1, np.uint8)
    inside = np.zeros(t.nu + 1, np.int64)
    work = 0
    fill_strips(t, 0, t.nu, plain, kept, broad, value, changed)
    work += 2 * t.nu * t.member.shape[0]
    for length in range(1, t.nu + 1):
        inside[length] = inside[length - 1]
        # With an offcut in it a section may be worth more for being longer.
        if changed[length] == 0 and (t.credit == 0 or length < t.off_u):
            continue
        for k in range(n_kind):
            now[k], now_kept[k] = plain[k, length], kept[k, length]
        leaves = False
        if t.credit > 0 and length >= t.off_u:
            gains_across(t, 0, length, gains)
            leaves = slopes(t, length, now, now_kept, broad[:, length], slope)
        worth = fill_section(t, length, now, now_kept, slope, leaves, gains, done, above, since)
        inside[length] = max(inside[length], worth)
        work += 2 * t.nv * widths
    reached = np.zeros(t.nu + 1, np.int64)
    came = np.full(t.nu + 1, -1, np.int32)
    for ue in range(1, t.nu + 1):
        reached[ue] = reached[ue - 1]
        for us in range(ue):
            if reached[us] + inside[ue - us] > reached[ue]:
                reached[ue], came[ue] = reached[us] + inside[ue - us], us
            if t.keeps_whole and ue - us >= t.off_u:
                kept_whole = reached[us] + t.credit * wide(t.whole[1, ue] - t.whole[0, us])
                if kept_whole > reached[ue]:
                    reached[ue], came[ue] = kept_whole, -2 - us
    return reached, came, inside, work
