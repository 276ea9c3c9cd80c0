"""The job as one model: every section, rip, leaf and strip a variable, for a general solver.

Edges and faces are kept and every strip goes in unpaired, so for bent boards it is a
restriction; for straight boards it is the whole of the rules. Positions are whole multiples of
the largest length that divides all sizes of the job.
"""

from __future__ import annotations

from math import gcd

import job as jobs
from exact import UPRIGHT, Ways, merge_kinds
from job import Job
from solvers import Model


class TooBig(Exception):
    """The model has more variables than anybody would hand to a solver."""


def build(job: Job, limit: int = 400_000):
    """(model, value of one unit of its cost)."""
    shop, kinds = job.shop, merge_kinds(job.kinds)
    g = 0
    for k in kinds:
        for v in (k.t, k.depth, k.length):
            g = gcd(g, v)
    for v in (shop.rip_kerf, shop.crosscut_kerf, shop.edge, shop.board_end, shop.resaw_kerf or 0):
        g = gcd(g, v)
    for b in job.boards:
        for v in (b.length, b.width, b.thickness):
            g = gcd(g, v)
    lo, hi = (lambda v: v // g), (lambda v: -(-v // g))
    costs, part = jobs.least_price_unit([job.cost(b) for b in job.boards])
    m = Model()
    give: dict[int, list] = {k: [] for k in range(len(kinds))}
    for b, cost in zip(job.boards, costs):
        ways = Ways(job, b, kinds)
        table = next((t for lined, flat, t in ways.modes if not lined and not flat), {})
        table = {ko for ko, c in table.items() if c == 0}
        if not table:
            continue
        for _ in range(b.quantity):
            board(m, job, b, kinds, ways, table, cost, give, lo, hi)
            if len(m.low) > limit:
                raise TooBig
    for k, terms in give.items():
        m.row(terms, lo=kinds[k].demand) if terms else m.rows.append((kinds[k].demand, None, [], []))
    return m, part


def board(m: Model, job: Job, b, kinds, ways: Ways, table, cost, give, lo, hi):
    shop = job.shop
    opened = m.yes(cost)
    first, last = hi(shop.board_end), lo(b.length - shop.board_end)
    cross, saw = hi(shop.crosscut_kerf), hi(shop.rip_kerf)
    width, edge, thick = lo(b.width), hi(shop.edge), lo(b.thickness)
    size = lambda k, o: (kinds[k].t, kinds[k].depth) if o == UPRIGHT else (kinds[k].depth, kinds[k].t)
    shortest = min(hi(kinds[k].length) for k, _ in table)
    rows = (last - first + cross) // (shortest + cross)
    if rows < 1:
        return
    types = sorted({(o, size(k, o)[0]) for k, o in table})
    narrow = min(hi(w) for _, w in types)
    rips = (width - edge + saw) // (narrow + saw)
    resaw = None if shop.resaw_kerf is None else hi(shop.resaw_kerf)
    wanted = sum(kinds[k].demand for k in {k for k, _ in table})
    rips = min(rips, wanted)
    before_end = None
    for _ in range(rows):
        f, e, used = m.var(first, last), m.var(first, last), m.yes()
        m.row([(1, used), (-1, opened)], hi=0)
        m.row([(1, e), (-1, f), (-lo(shop.min_rip), used)], lo=0)
        if before_end is not None:
            m.row([(1, f), (-1, before_end), (-cross, used)], lo=0)
        before_end = e
        before = None
        for _ in range(rips):
            # An unused rip lies one kerf beyond the far edge at most.
            y = m.var(edge, width + saw)
            is_type = {t: m.yes() for t in types}
            m.row([(1, v) for v in is_type.values()] + [(-1, used)], hi=0)
            m.row([(1, y)] + [(hi(t[1]) + saw, v) for t, v in is_type.items()], hi=width + saw)
            if before is not None:
                m.row([(1, y), (-1, before[0])] + [(-hi(t[1]) - saw, v) for t, v in before[1].items()], lo=0)
                m.row([(1, v) for v in is_type.values()] + [(-1, v) for v in before[1].values()], hi=0)
            before = (y, is_type)
            sides: dict = {}
            leaf_terms = []
            leaf_sizes = sorted({size(k, o)[1] for k, o in table})
            leaves = 1 if resaw is None else max(1, (thick + resaw) // (hi(leaf_sizes[0]) + resaw))
            for _ in range(leaves):
                is_leaf = {}
                for o, w in types:
                    for d in sorted({size(k, q)[1] for k, q in table if q == o and size(k, q)[0] == w}):
                        if hi(d) <= thick:
                            is_leaf[o, w, d] = m.yes()
                for t in types:
                    m.row([(1, v) for key, v in is_leaf.items() if key[:2] == t] + [(-1, is_type[t])], hi=0)
                leaf_terms += [(hi(key[2]) + (resaw or 0), v) for key, v in is_leaf.items()]
                slots(m, b, kinds, ways, table, size, rows, f, e, y, is_type, is_leaf, sides, give, lo, hi, cross, width + saw, last + cross)
            m.row(leaf_terms, hi=thick + (resaw or 0))


def slots(m, b, kinds, ways, table, size, rows, f, e, y, is_type, is_leaf, sides, give, lo, hi, cross, width, last):
    """The strips of one leaf, one after another."""
    behind = None
    for _ in range(rows):
        x = m.var(0, last)
        holds = {(k, o): m.yes() for k, o in sorted(table) if (o, *size(k, o)) in is_leaf}
        for key, leaf in is_leaf.items():
            m.row([(1, v) for (k, o), v in holds.items() if (o, *size(k, o)) == key] + [(-1, leaf)], hi=0)
        reach = [(hi(kinds[k].length), v) for (k, _), v in holds.items()]
        m.row([(1, x), (-1, f)], lo=0)
        m.row([(1, x), (-1, e)] + [(c + cross, v) for c, v in reach], hi=cross)
        if behind is not None:
            m.row([(1, x), (-1, behind[0])] + [(-c - cross, v) for c, v in behind[1]], lo=0)
        behind = (x, reach)
        for (k, o), v in holds.items():
            give[k].append((1, v))
        zones: dict = {}
        for (k, o), v in holds.items():
            for z in ways._blocks(k, o):
                zones.setdefault((z.x0, z.x1, z.y0, z.y1), set()).add(v)
        for (x0, x1, y0, y1), vs in zones.items():
            clear = []
            if (y0, y1) not in sides:
                below, above = m.yes(), m.yes()
                top = max(hi(w) for _, w in is_type)
                m.row([(1, y)] + [(hi(w), t) for (_, w), t in is_type.items()] + [(width + top, below)], hi=max(lo(y0), -top) + width + top)
                m.row([(1, y), (-min(hi(y1), 2 * width), above)], lo=0)
                sides[y0, y1] = (below, above)
            clear += sides[y0, y1]
            if x0 > 0:
                v = m.yes()
                m.row([(1, x), (last, v)] + reach, hi=lo(x0) + last)
                clear.append(v)
            if hi(x1) < last:
                v = m.yes()
                m.row([(1, x), (-hi(x1), v)], lo=0)
                clear.append(v)
            m.row([(1, v) for v in sorted(vs)] + [(-1, c) for c in clear], hi=0)
