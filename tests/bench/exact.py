"""An exact solver for small jobs: every best way to cut each board, then the choice (`cover.py`).

    python exact.py boards.csv paddles.toml      prints measure and least cost (or "no plan")

For each board the set of count vectors that no other dominates is found by labels kept
as small as possible: a leaf is filled from its section's start, each strip pushed back until it
meets the start, a zone or its neighbour; a rip likewise from the reference edge; a section
likewise from the marked end. A label is a vector of counts, capped by the demand, and the
nearest place where the next piece can begin. Of two layouts with the same counts the shorter
can stand for the other, so one number per vector is enough.

Bent strips: two strips over `straight` but within `pair`, of one lamination, one board and one
orientation, make a flipped pair and count as two; a lone one counts for nothing. The reading of
a pair is that both of its strips are bent.
"""

from __future__ import annotations

import sys
from fractions import Fraction
from itertools import product

import numpy as np

import job as jobs
from cover import choose
from job import Board, Job, Kind, Zone, down, up

UPRIGHT, TURNED = 0, 1


def merge_kinds(kinds: list[Kind]) -> list[Kind]:
    """Kinds whose strips are interchangeable become one with the demands added."""
    merged: dict[tuple, Kind] = {}
    for k in kinds:
        key = (k.t, k.t_curve, k.t_resaw, k.depth, k.length, k.centre, k.species, k.allow, k.rings, k.runout)
        if key in merged:
            merged[key].demand += k.demand
        else:
            merged[key] = Kind(**vars(k))
    return list(merged.values())


def undominated(rows: np.ndarray) -> np.ndarray:
    """Indices of the rows that no other row is at least as good as everywhere (first of equals)."""
    order = np.lexsort(tuple(rows.T) + (-rows.sum(axis=1),))
    rows = rows[order]
    kept = np.empty_like(rows)
    out, n = [], 0
    for i, row in enumerate(rows):
        if n and (kept[:n] >= row).all(axis=1).any():
            continue
        kept[n] = row
        n += 1
        out.append(order[i])
    return np.array(out, dtype=np.int64)


def pareto(vectors) -> list[tuple]:
    """The vectors that no other one dominates."""
    vs = sorted(set(vectors))
    if len(vs) < 2:
        return vs
    return [vs[i] for i in undominated(np.array(vs, dtype=np.int64))]


def leanest(labels: dict[tuple, int]) -> list[tuple[tuple, int]]:
    """Labels (vector, place) such that no other has as much in as little."""
    items = sorted(labels.items())
    if len(items) < 2:
        return items
    rows = np.array([v + (-x,) for v, x in items], dtype=np.int64)
    return sorted(items[i] for i in undominated(rows))


class Ways:
    """The best ways to cut one board."""

    def __init__(self, job: Job, board: Board, kinds: list[Kind]):
        self.shop, self.b, self.kinds = job.shop, board, kinds
        self.edge, self.far_edge, self.end = job.shop.edges(board)
        self.limit = board.length - self.end
        # dims: (kind, class): 0 straight, 1 bent upright, 2 bent turned
        self.dims: list[tuple[int, int]] = []
        self.pith_zones = self._pith()
        self.modes = []
        served = {}
        for lined, flat in product((False, True), repeat=2):
            if lined and not board.crook or flat and not board.bow:
                continue
            if board.crook and not lined and self.shop.curve_kerf is None:
                continue  # no saw here follows a curve
            served[lined, flat] = {
                (k, o): c for k in range(len(kinds)) for o in (UPRIGHT, TURNED) if (c := self._class(k, o, lined, flat)) is not None
            }
        for (lined, flat), table in served.items():
            if flat and served[lined, False] == table:
                continue  # planing it flat gains nothing
            if table:
                self.modes.append((lined, flat, table))
        for _, _, table in self.modes:
            for (k, o), c in table.items():
                if (k, c) not in self.dims:
                    self.dims.append((k, c))
        self.dims.sort()
        self.cap = tuple(kinds[k].demand for k, _ in self.dims)
        self.index = {d: i for i, d in enumerate(self.dims)}
        self.shortest = min((kinds[k].length for k, _ in self.dims), default=0)
        self.zero = (0,) * len(self.dims)
        self._rows: dict = {}
        self._sections: dict = {}
        self._nexts: dict = {}

    # ---- what a strip of a kind is when cut one way -------------------------------------

    def _class(self, k: int, orient: int, lined: bool, flat: bool):
        kind, b, shop = self.kinds[k], self.b, self.shop
        if kind.species is not None and b.species not in kind.species:
            return None
        if kind.runout is not None and b.runout is not None and b.runout > kind.runout:
            return None
        if kind.rings > 0:
            if b.rings is not None:
                r = b.rings if orient == UPRIGHT else 90 - b.rings
                if r < kind.rings:
                    return None
            elif b.pith is None:
                return None
            elif kind.rings == 90:
                # tan 90 deg: nothing reaches it, but for a board without height
                return None
        share = Fraction(kind.length, b.length) ** 2
        crook = 0 if lined else abs(b.crook) * share
        bow = 0 if flat else abs(b.bow) * share
        side, deep = (crook, bow) if orient == UPRIGHT else (bow, crook)
        if side > shop.pull:
            return None
        if deep <= shop.straight:
            return 0
        if deep <= shop.pair and not kind.centre:
            return 1 + orient
        return None

    def _pith(self):
        """Bands of wrong grain by (orientation, least angle), as zones along the whole board."""
        b, out = self.b, {}
        if b.rings is not None or b.pith is None:
            return out
        p, q = b.pith
        far = max(abs(0 - q), abs(b.thickness - q))
        near = 0 if 0 <= q <= b.thickness else min(abs(q), abs(b.thickness - q))
        for a in {k.rings for k in self.kinds}:
            if a <= 0 or a >= 90:
                continue
            h = jobs.tangent(a) * far
            big = 10 * (b.width + abs(p) + b.thickness)
            out[UPRIGHT, a] = [Zone("", 0, b.length, down(p - h), up(p + h))]
            h = jobs.tangent(90 - a) * near
            out[TURNED, a] = [Zone("", 0, b.length, -big, up(p - h)), Zone("", 0, b.length, down(p + h), big)]
        return out

    def _blocks(self, k: int, orient: int) -> list[Zone]:
        """Zones a strip must keep clear of."""
        kind = self.kinds[k]
        out = [z for z in self.b.zones if z.kind not in kind.allow]
        return out + self.pith_zones.get((orient, kind.rings), [])

    # ---- one leaf -----------------------------------------------------------------------

    def _row(self, x0: int, members: tuple, blocked: tuple) -> list[tuple[tuple, int]]:
        """Fills a leaf from x0: (vector, end of its last strip).

        members: (kind, dim); blocked: for each, the stretches along the board it must avoid.
        """
        key = (x0, members, blocked)
        if key in self._rows:
            return self._rows[key]
        labels, kerf, cap = {self.zero: x0}, self.shop.crosscut_kerf, self.cap
        done: dict[tuple, int] = {}
        while labels:
            v = min(labels, key=lambda w: (sum(w), w))
            x = labels.pop(v)
            done[v] = x - kerf
            for (k, d), holes in zip(members, blocked):
                if v[d] >= cap[d]:
                    continue
                s, n = x, self.kinds[k].length
                for lo, hi in holes:  # sorted by lo
                    if s < hi and s + n > lo:
                        s = hi
                if s + n > self.limit:
                    continue
                w = v[:d] + (v[d] + 1,) + v[d + 1 :]
                if w not in labels or labels[w] > s + n + kerf:
                    labels[w] = s + n + kerf
        del done[self.zero]
        out = leanest(done)
        self._rows[key] = out
        return out

    def _leaves(self, groups: list[tuple[tuple[int, int], list]], room: int) -> list[tuple[tuple, int]]:
        """Stacks leaves in a rip: (vector, end). groups: (thickness alone and beside other
        leaves, what a leaf can hold)."""
        saw = self.shop.resaw_kerf
        singles = {}
        for (alone, beside), rows in groups:
            # Beside a leaf that holds no strip, of the least thickness there is, it is not alone.
            if alone <= room or saw is not None and beside + saw + 1 <= room:
                for v, end in rows:
                    if v not in singles or singles[v] > end:
                        singles[v] = end
        if saw is None:
            return leanest(singles)
        best = dict(singles)
        # (first group allowed, vector, end) -> thickness used
        front = {(i, v, end): thick for i, ((_, thick), rows) in enumerate(groups) if thick <= room for v, end in rows}
        seen = dict(front)
        while front:
            nxt = {}
            for (i, v, end), used in front.items():
                for j in range(i, len(groups)):
                    (_, thick), rows = groups[j]
                    total = used + saw + thick
                    if total > room:
                        continue
                    for u, e in rows:
                        w = tuple(min(a + b, c) for a, b, c in zip(v, u, self.cap))
                        if w == v:
                            continue
                        key = (j, w, max(end, e))
                        if seen.get(key, room + 1) > total:
                            seen[key] = nxt[key] = total
                            if best.get(w, 1 << 62) > key[2]:
                                best[w] = key[2]
            front = nxt
        # a vector may have several ends: take the nearest, and those between by domination
        return leanest(best)

    # ---- one section --------------------------------------------------------------------

    def _rip_types(self, table, x0: int, zones_of, room: int, y0: int, y1: int, follows: bool):
        """Per rip type: (width, [(first start, last start, [(vector, end)])])."""
        types = {}
        for (k, o), c in table.items():
            kind = self.kinds[k]
            # A leaf is as thick alone as beside others, or not, by the saw that leaves its faces.
            if o == UPRIGHT:
                w, leaf = (kind.t_curve if follows else kind.t), (kind.depth, kind.depth)
            else:
                w, leaf = kind.depth, (kind.t, kind.t_resaw)
            types.setdefault((o, w), {}).setdefault(leaf, []).append((k, self.index[k, c]))
        out = []
        for (o, w), leaves in sorted(types.items()):
            blocks = {k: [z for z in zones_of(k, o) if z.x1 > x0] for ms in leaves.values() for k, _ in ms}
            cuts = {y0}
            for zs in blocks.values():
                for z in zs:
                    cuts.add(z.y1)
                    cuts.add(z.y0 - w + 1)
            cuts = sorted(c for c in cuts if y0 <= c <= y1 - w)
            spans = []
            for i, lo in enumerate(cuts):
                hi = cuts[i + 1] - 1 if i + 1 < len(cuts) else y1 - w
                groups = []
                for thick, members in sorted(leaves.items()):
                    if min(thick) > room:
                        continue
                    holes = tuple(
                        tuple(sorted({(z.x0, z.x1) for z in blocks[k] if z.y0 < lo + w and z.y1 > lo})) for k, _ in members
                    )
                    rows = self._row(x0, tuple(members), holes)
                    if rows:
                        groups.append((thick, rows))
                if groups:
                    options = self._leaves(groups, room)
                    if spans and spans[-1][2] == options and spans[-1][1] + 1 == lo:
                        spans[-1] = (spans[-1][0], hi, options)
                    else:
                        spans.append((lo, hi, options))
            if spans:
                out.append((w, spans))
        return out

    def _rips(self, types, x1: int, y0: int, y1: int, kerf: int) -> frozenset:
        """Vectors that rips side by side, a kerf apart, give in a section that ends at x1."""
        cap = self.cap
        moves = []
        for w, spans in types:
            for lo, hi, options in spans:
                us = [u for u, end in options if end <= x1]
                if us:
                    moves.append((w, lo, min(hi, y1 - w), us))
        moves = [m for m in moves if m[1] <= m[2]]
        buckets: dict[int, dict[tuple, int]] = {0: {self.zero: y0}}
        done: dict[tuple, int] = {}
        while buckets:
            n = min(buckets)
            for v, y in buckets.pop(n).items():
                done[v] = y
                new: dict[tuple, int] = {}
                for w, lo, hi, us in moves:
                    if hi < y:
                        continue
                    ny = max(y, lo) + w + kerf
                    for u in us:
                        if new.get(u, 1 << 62) > ny:
                            new[u] = ny
                for u, ny in new.items():
                    t = tuple(a + b if a + b < c else c for a, b, c in zip(v, u, cap))
                    m = sum(t)
                    if m == n:
                        continue
                    bucket = buckets.setdefault(m, {})
                    if bucket.get(t, 1 << 62) > ny:
                        bucket[t] = ny
        del done[self.zero]
        return frozenset(pareto(done))

    def _ends(self, x0: int, table) -> list[int]:
        """Places where a row of strips begun at x0 may end."""
        groups = {}
        for k, o in table:
            kind = self.kinds[k]
            groups.setdefault((kind.t, kind.depth), set()).add(k)
        ends = set()
        for ks in groups.values():
            stops = sorted({z.x1 for k in ks for z in self._blocks(k, UPRIGHT) if z.kind and z.x1 > x0})
            todo, seen = [x0], {x0}
            lengths = {self.kinds[k].length for k in ks}
            while todo:
                x = todo.pop()
                for s in [x] + [p for p in stops if p > x]:
                    for n in lengths:
                        if s + n <= self.limit:
                            ends.add(s + n)
                            nx = s + n + self.shop.crosscut_kerf
                            if nx not in seen:
                                seen.add(nx)
                                todo.append(nx)
        least = x0 + self.shop.min_rip
        out = {max(e, least) for e in ends}
        return sorted(e for e in out if e <= self.limit)

    def _lift(self, zones: list[Zone], x0: int, x1: int) -> list[Zone]:
        """Zones in the coordinates of the section's chord."""
        b, out = self.b, []
        f = Fraction(4 * b.crook, b.length**2)
        at = lambda x: f * (x - x0) * (x1 - x)
        for z in zones:
            lo, hi = max(z.x0, x0), min(z.x1, x1)
            if lo >= hi:
                continue
            lifts = [at(lo), at(hi)]
            if 2 * lo < x0 + x1 < 2 * hi:
                lifts.append(at(Fraction(x0 + x1, 2)))
            out.append(Zone(z.kind, z.x0, z.x1, down(z.y0 + min(lifts)), up(z.y1 + max(lifts))))
        return out

    def section(self, mode: int, x0: int) -> list[tuple[tuple, int]]:
        """What a section begun at x0 can give, each vector with its nearest end."""
        key = (mode, x0)
        if key not in self._sections:
            self._sections[key] = self._section(mode, x0)
        return self._sections[key]

    def _section(self, mode: int, x0: int):
        lined, flat, table = self.modes[mode]
        b, shop = self.b, self.shop
        y0, y1, room = self.edge, b.width - self.far_edge, b.thickness
        follows = bool(b.crook) and not lined
        kerf = shop.curve_kerf if follows else shop.rip_kerf
        found: dict[tuple, int] = {}
        least = x0 + shop.min_rip
        if least > self.limit:
            return []
        if not lined and not flat:
            types = self._rip_types(table, x0, self._blocks, room, y0, y1, follows)
            ends = sorted({max(e, least) for _, spans in types for _, _, opts in spans for _, e in opts})
            ends = [e for e in ends if e <= self.limit]
            if not ends:
                return []

            def split(lo, flo, hi, fhi):
                if flo == fhi:
                    return
                if hi - lo == 1:
                    for v in fhi - flo:
                        found[v] = min(found.get(v, ends[hi]), ends[hi])
                    return
                mid = (lo + hi) // 2
                fmid = self._rips(types, ends[mid], y0, y1, kerf)
                split(lo, flo, mid, fmid)
                split(mid, fmid, hi, fhi)

            first, last = self._rips(types, ends[0], y0, y1, kerf), self._rips(types, ends[-1], y0, y1, kerf)
            for v in first:
                found[v] = ends[0]
            split(0, first, len(ends) - 1, last)
        else:
            for x1 in self._ends(x0, table):
                share = Fraction(x1 - x0, b.length) ** 2
                zones_of, ya, yb, thick = self._blocks, y0, y1, room
                if flat:
                    thick = down(room - abs(b.bow) * share)
                if lined:
                    s = up(abs(b.crook) * share)
                    ya, yb = (y0 + s, y1) if b.crook > 0 else (y0, y1 - s)
                    lifted: dict = {}

                    def zones_of(k, o, x0=x0, x1=x1, lifted=lifted):
                        if (k, o) not in lifted:
                            lifted[k, o] = self._lift(self._blocks(k, o), x0, x1)
                        return lifted[k, o]

                types = self._rip_types(table, x0, zones_of, thick, ya, yb, follows)
                for v in self._rips(types, x1, ya, yb, kerf):
                    found[v] = min(found.get(v, x1), x1)
        return leanest(found)

    # ---- the board ----------------------------------------------------------------------

    def _next(self, x: int, stops: list[int]) -> dict[tuple, int]:
        """What one more section, begun at x or pushed back, gives: vector to nearest next start."""
        if x not in self._nexts:
            new: dict[tuple, int] = {}
            if x + self.shortest <= self.limit:
                for m, (lined, flat, _) in enumerate(self.modes):
                    starts = [x]
                    if lined or flat:
                        starts += [p for p in stops if x < p and p + self.shortest <= self.limit]
                    for s in starts:
                        for u, end in self.section(m, s):
                            if new.get(u, 1 << 62) > end:
                                new[u] = end
            self._nexts[x] = {u: end + self.shop.crosscut_kerf for u, end in leanest(new)}
        return self._nexts[x]

    def vectors(self) -> list[tuple]:
        """The count vectors (by kind) that no other dominates."""
        if not self.dims:
            return []
        cap = self.cap
        stops = sorted({z.x1 for z in self.b.zones})
        buckets, done = {0: {self.zero: self.end}}, {}
        while buckets:
            n = min(buckets)
            for v, x in buckets.pop(n).items():
                done[v] = x
                for u, nx in self._next(x, stops).items():
                    t = tuple(a + b if a + b < c else c for a, b, c in zip(v, u, cap))
                    m = sum(t)
                    if m > n:
                        bucket = buckets.setdefault(m, {})
                        if bucket.get(t, 1 << 62) > nx:
                            bucket[t] = nx
        totals = []
        for v in done:
            t = [0] * len(self.kinds)
            for (k, c), count in zip(self.dims, v):
                t[k] += count if c == 0 else count // 2 * 2
            totals.append(tuple(min(a, kind.demand) for a, kind in zip(t, self.kinds)))
        return [v for v in pareto(totals) if any(v)]


def listed(job: Job) -> tuple[list[Kind], list[tuple[Board, list[tuple]]]]:
    """Kinds merged, and each board with its best vectors."""
    kinds = merge_kinds(job.kinds)
    return kinds, [(b, Ways(job, b, kinds).vectors()) for b in job.boards]


def solve(job: Job):
    """(measure, least cost or None, chosen ways, kinds)."""
    kinds, ways = listed(job)
    cost, bound, chosen = choose(job, kinds, ways)
    return job.measure, cost, chosen, kinds


def main() -> int:
    job = jobs.read(sys.argv[1], sys.argv[2])
    measure, cost, chosen, kinds = solve(job)
    if cost is None:
        print("no plan")
        return 1
    print(measure, float(cost))
    for k in kinds:
        print("  kind", k.paddle, "|", k.name, k.demand)
    for name, v in chosen:
        print(" ", name, v)
    return 0


if __name__ == "__main__":
    sys.exit(main())
