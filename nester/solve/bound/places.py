"""Where each blank may lie on a flawed stock item, on coarse steps: what section pricing reads."""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from nester.solve.arrays import Arrays
from nester.solve.bound.loose import Loose
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


def places(found: Arrays, cls: int, fine_u: int, fine_v: int) -> Places:
    """Return the tables of a class; a step is ``fine_u`` by ``fine_v`` cells."""
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
    kinds: dict[bytes, int] = {}
    member: list[NDArray[np.int32]] = []
    starts: list[NDArray[np.uint8]] = []
    kind_class: list[int] = []
    row_kind = np.full((nv + 1, len(distinct)), -1, np.int32)
    clear = _Clear(found, cls, rows, u1, u2, nu, fine_u)
    for w, width in enumerate(distinct):
        inside = np.flatnonzero(widths <= width).astype(np.int32)
        memo: dict[bytes, int] = {}
        for v in range(nv + 1):
            if v + strip_step[w] > nv:
                break
            fine = range(low + v * fine_v, min(low + (v + 1) * fine_v, v2 - int(width) + 1))
            keys = [clear.key(start, start + int(width)) for start in fine]
            if not keys:
                continue
            joint = b"|".join(sorted(set(keys)))
            if joint not in memo:
                free = np.zeros((len(inside), nu), np.uint8)
                for key in set(keys):
                    free |= clear.free(key, inside)
                full = int(w).to_bytes(4, "little") + free.tobytes()
                if full not in kinds:
                    kinds[full] = len(kinds)
                    some = free.any(axis=1)
                    member.append(inside[some])
                    starts.append(free[some])
                    kind_class.append(w)
                memo[joint] = kinds[full]
            row_kind[v, w] = memo[joint]
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


def option_rows(found: Arrays, cls: int) -> NDArray[np.int32]:
    """Return the option rows of a class, in order of demand."""
    first = int(found.classes[cls, k.C_OPTIONS])
    spans = found.option_index[first : first + found.demands]
    return found.options[int(spans[0, 0]) : int(spans[-1, 1])]


class _Clear:
    """Which starts are free in a range of rows, for each option."""

    def __init__(
        self,
        found: Arrays,
        cls: int,
        rows: NDArray[np.int32],
        u1: int,
        u2: int,
        nu: int,
        fine: int,
    ) -> None:
        self.rows, self.u1, self.u2, self.nu, self.fine = rows, u1, u2, nu, fine
        first = int(found.classes[cls, k.C_BLOCKS])
        used = sorted({int(i) for i in rows[:, 3:5].ravel() if i >= 0})
        self.blocks = {}
        for i in used:
            lo, hi = found.lists[first + i]
            self.blocks[i] = found.blocks[lo:hi]
        self.excuses = {
            i: {row: Loose(found.blocks, int(b[4])) for row, b in enumerate(blocks) if b[4] >= 0}
            for i, blocks in self.blocks.items()
        }
        self.masks: dict[bytes, dict[int, NDArray[np.bool_]]] = {}
        self.loose: dict[bytes, dict[int, set[int]]] = {}
        self.memo: dict[tuple[bytes, int], NDArray[np.uint8]] = {}

    def key(self, v1: int, v2: int) -> bytes:
        """Return a key that two ranges of rows share if the same blocks lie in them."""
        met = {i: (b[:, 1] < v2) & (b[:, 3] > v1) for i, b in self.blocks.items()}
        key = b"".join(np.packbits(m).tobytes() for m in met.values())
        if any(self.excuses.values()):
            loose = {
                i: {row for row, excuse in rows.items() if met[i][row] and excuse.may(v1, v2)}
                for i, rows in self.excuses.items()
            }
            key += repr([sorted(rows) for rows in loose.values()]).encode()
            self.loose.setdefault(key, loose)
        self.masks.setdefault(key, met)
        return key

    def free(self, key: bytes, options: NDArray[np.int32]) -> NDArray[np.uint8]:
        """Return (options, nu): 1 where some fine start in the step is free."""
        return np.stack([self._one(key, int(o)) for o in options])

    def _one(self, key: bytes, option: int) -> NDArray[np.uint8]:
        known = self.memo.get((key, option))
        if known is not None:
            return known
        length = int(self.rows[option, 1])
        span = self.u2 - self.u1
        free = np.zeros(max(0, span - length + 1), bool)
        for i in self.rows[option, 3:5]:
            if i < 0:
                continue
            one = np.ones_like(free)
            loose = self.loose.get(key, {}).get(int(i), ())
            for row in np.flatnonzero(self.masks[key][int(i)]).tolist():
                u1, _, u2, _, _ = self.blocks[int(i)][row]
                first, last = max(0, u1 - length + 1 - self.u1), max(0, u2 - self.u1)
                if row in loose:
                    starts = np.arange(first, min(last, len(one))) + self.u1
                    one[first:last] &= self.excuses[int(i)][row].starts(starts, length)
                else:
                    one[first:last] = False
            free |= one
        out = np.zeros(self.nu, np.uint8)
        hits = np.flatnonzero(free) // self.fine
        out[hits[hits < self.nu]] = 1
        self.memo[(key, option)] = out
        return out
