"""The most valuable three-stage layout of a piece without flaws, copies unlimited.

The programme of ``kernels.sections`` where nothing depends on where it lies: a section is worth the
same wherever it begins, so each length is filled once (Gilmore and Gomory 1965).
"""

import numpy as np

from nester.solve.kernels.jit import kernel, wide
from nester.solve.kernels.sections import (
    Bytes,
    Ints,
    Longs,
    fill_section,
    fill_strip,
    gains_across,
)


@kernel
def plain_sections(
    nu: int,
    nv: int,
    row_kind: Ints,
    strip_step: Ints,
    kind_first: Ints,
    member: Ints,
    starts: Bytes,
    news: Bytes,
    step_u: Ints,
    value: Longs,
    first_v: Ints,
    credit: int,
    off_u: int,
    off_v: int,
    least_u: int,
    fine_u: int,
    fine_v: int,
    kerf_u: int,
    sums: Ints,
    low_u: Ints,
    high_u: Ints,
    low_v: Ints,
    high_v: Ints,
    earned: Ints,
    keeps_whole: bool,
    whole: Ints,
) -> tuple[Longs, Ints, int]:
    """Return the best value up to each u, the section start chosen there, and work.

    The arguments and what is returned are those of ``sections.best_sections``.
    """
    n_kind = kind_first.shape[0] - 1
    plain = np.zeros((n_kind, nu + 1), np.int64)
    kept = np.zeros((n_kind, nu + 1), np.int64)
    now = np.zeros(n_kind, np.int64)
    now_kept = np.zeros(n_kind, np.int64)
    across = np.zeros((3, nv + 1), np.int64)
    gains = np.zeros((2, nv + 1), np.int64)
    changed = np.zeros(nu + 1, np.uint8)
    inside = np.zeros(nu + 1, np.int64)
    work = 0
    for k in range(n_kind):
        fill_strip(
            k,
            0,
            nu,
            plain[k],
            kept[k],
            kind_first,
            member,
            starts,
            news,
            step_u,
            value,
            credit,
            earned[0, k],
            earned[1, k],
            off_u,
            changed,
        )
        work += 2 * nu * (kind_first[k + 1] - kind_first[k])
    for length in range(1, nu + 1):
        inside[length] = inside[length - 1]
        # With an offcut in it a section may be worth more for being longer.
        if changed[length] == 0 and (credit == 0 or length < off_u):
            continue
        for k in range(n_kind):
            now[k], now_kept[k] = plain[k, length], kept[k, length]
        if credit > 0 and length >= off_u:
            gains_across(sums, wide(low_u[0]), wide(high_u[length]), low_v, high_v, credit, gains)
        worth = fill_section(
            length,
            nv,
            row_kind,
            strip_step,
            off_v,
            now,
            now_kept,
            wide(first_v[length]),
            credit,
            off_u,
            off_v,
            least_u,
            fine_u,
            fine_v,
            kerf_u,
            gains,
            across,
        )
        inside[length] = max(inside[length], worth)
        work += 2 * nv * strip_step.shape[0]
    reached = np.zeros(nu + 1, np.int64)
    came = np.full(nu + 1, -1, np.int32)
    for ue in range(1, nu + 1):
        reached[ue] = reached[ue - 1]
        for us in range(ue):
            if reached[us] + inside[ue - us] > reached[ue]:
                reached[ue], came[ue] = reached[us] + inside[ue - us], us
            if keeps_whole and ue - us >= off_u:
                kept_whole = reached[us] + credit * wide(whole[1, ue] - whole[0, us])
                if kept_whole > reached[ue]:
                    reached[ue], came[ue] = kept_whole, -2 - us
    return reached, came, work
