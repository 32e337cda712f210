"""Where each blank may lie on a flawed stock item, on coarse steps: what section pricing reads."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nester.solve.arrays import Arrays
from nester.solve.bound.clear import Clear
from nester.solve.kernels import columns as k


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """The tables of ``kernels.sections`` for one class (item and direction) at given steps."""

    nu: int
    nv: int
    row_kind: NDArray[np.int32]
    strip_width: NDArray[np.int32]
    strip_step: NDArray[np.int32]
    kind_first: NDArray[np.int32]
    kind_class: NDArray[np.int32]
    member: NDArray[np.int32]
    starts: NDArray[np.uint8]
    news: NDArray[np.uint8]
    step_u: NDArray[np.int32]
    owner: NDArray[np.int32]
    first_v: NDArray[np.int32]
    fine_u: int
    fine_v: int


def places(found: Arrays, cls: int, fine_u: int, fine_v: int, far: int | None = None) -> Places:
    """Return the tables of a class; a step is ``fine_u`` by ``fine_v`` cells.

    Where ``far`` is given, blanks may lie anywhere that far across: flaws are not looked at.
    """
    table = found.classes[cls]
    u1, u2, v2 = int(table[k.C_U1]), int(table[k.C_U2]), int(table[k.C_V2])
    ku, kv = int(table[k.C_KU]), int(table[k.C_KV])
    rows = option_rows(found, cls)
    lengths, widths = rows[:, 1], rows[:, 2]
    nu = (u2 + ku - u1) // fine_u
    near = found.near[table[k.C_NEAR] :]
    low = int(near[: u2 - u1 + 1].min())
    nv = (v2 + kv - low) // fine_v
    step_u = ((lengths + ku) // fine_u).astype(np.int32)
    distinct = np.unique(widths)
    strip_step = ((distinct + kv) // fine_v).astype(np.int32)
    first_v = np.zeros(nu + 1, np.int32)
    for length in range(nu + 1):
        cells = min(max(0, (length - 1) * fine_u + 1 - ku), u2 - u1)
        first_v[length] = (int(near[cells]) - low) // fine_v
    member: list[NDArray[np.int32]] = []
    starts: list[NDArray[np.uint8]] = []
    kind_class: list[int] = []
    row_kind = np.full((nv + 1, len(distinct)), -1, np.int32)
    clear = Clear(found, cls, rows, nu, fine_u)
    inside = list(_inside(found, rows))
    joints: list[list[tuple[int, ...]]] = []  # by width and row: patterns, none where it has none
    for w, width in enumerate(distinct.tolist()):
        if far is not None:
            fits = low + fine_v * np.arange(nv + 1) + width <= far
            row_kind[fits & (np.arange(nv + 1) + strip_step[w] <= nv), w] = w
            member.append(inside[w])
            starts.append(np.ones((len(inside[w]), nu), np.uint8))
            kind_class.append(w)
            continue
        patterns = clear.numbered(low, v2 - width + 1, width)
        every = max(0, nv + 1 - int(strip_step[w]))
        joints.append(_joined(patterns, fine_v, every))
    for w, by_row in enumerate(joints):
        sets = [joint for joint in dict.fromkeys(by_row) if joint]
        kinds: dict[bytes, int] = {}
        of_joint: dict[tuple[int, ...], int] = {(): -1}
        for joint, free in zip(sets, clear.free(sets, inside[w]), strict=True):
            known = free.tobytes()
            if known not in kinds:
                kinds[known] = len(kind_class)
                some = free.any(axis=1)
                member.append(inside[w][some])
                starts.append(free[some])
                kind_class.append(w)
            of_joint[joint] = kinds[known]
        row_kind[: len(by_row), w] = [of_joint[joint] for joint in by_row]
    first = np.cumsum([0, *map(len, member)]).astype(np.int32)
    free = np.concatenate([*starts, np.zeros((0, nu), np.uint8)])
    fresh = free.astype(bool)
    fresh[:, 1:] &= ~fresh[:, :-1]
    free[fresh] = 2
    news = [fresh[a:b].any(axis=0) for a, b in pairwise(first)]
    return Places(
        nu=nu,
        nv=nv,
        row_kind=row_kind,
        strip_width=distinct.astype(np.int32),
        strip_step=strip_step,
        kind_first=first,
        kind_class=np.array(kind_class, np.int32),
        member=np.concatenate([*member, np.zeros(0, np.int32)]),
        starts=np.ascontiguousarray(free.T),
        news=np.array(news, np.uint8).reshape(len(news), nu).T.copy(),
        step_u=step_u,
        owner=rows[:, 0].astype(np.int32),
        first_v=first_v,
        fine_u=fine_u,
        fine_v=fine_v,
    )


def row_news(row_kind: NDArray[np.int32]) -> NDArray[np.uint8]:
    """Return at which rows (steps across) a kind may start that could not a row before."""
    before = np.concatenate([np.full_like(row_kind[:1], -1), row_kind[:-1]])
    news: NDArray[np.uint8] = ((row_kind >= 0) & (row_kind != before)).any(axis=1).astype(np.uint8)
    return news


def _joined(patterns: NDArray[np.int64], fine: int, steps: int) -> list[tuple[int, ...]]:
    """Return which patterns each of the first steps of ``fine`` rows has, ascending."""
    if fine == 1:
        each = [(number,) for number in patterns[:steps].tolist()]
        return each + [()] * (steps - len(each))
    numbers = patterns.tolist()
    return [tuple(sorted(set(numbers[v * fine : (v + 1) * fine]))) for v in range(steps)]


def _inside(found: Arrays, rows: NDArray[np.int32]) -> Iterator[NDArray[np.int32]]:
    """Yield for each width of a strip, ascending, the options that are worth a place in it.

    Where a wider blank of a chain is as long and keeps clear of the same, a narrower one is not.
    """
    chain_of = {int(kind): n for n, chain in enumerate(found.chains) for kind in chain}
    others: list[int] = []
    widest: dict[tuple[int, ...], int] = {}
    order = np.argsort(rows[:, 2], kind="stable").tolist()
    for i, row in enumerate(order):
        kind, length, width, *lists = rows[row].tolist()
        if kind in chain_of:
            widest[(chain_of[kind], length, *lists)] = row
        else:
            others.append(row)
        if i + 1 == len(order) or rows[order[i + 1], 2] != width:
            yield np.array(sorted([*others, *widest.values()]), np.int32)


def rising(prices: NDArray[np.int64], found: Arrays) -> NDArray[np.int64]:
    """Return prices raised so that no blank of a chain is worth less than a narrower one."""
    raised = prices.copy()
    for chain in found.chains:
        raised[chain] = np.maximum.accumulate(raised[chain])
    return raised


def option_rows(found: Arrays, cls: int) -> NDArray[np.int32]:
    """Return the option rows of a class, in order of demand."""
    first = int(found.classes[cls, k.C_OPTIONS])
    spans = found.option_index[first : first + found.demands]
    return found.options[int(spans[0, 0]) : int(spans[-1, 1])]
