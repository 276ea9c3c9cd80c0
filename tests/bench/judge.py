"""Checks a plan JSON against the rules, exactly, sharing no code with stripwright or exact.py.

    python judge.py boards.csv paddles.toml plan.json      exit 0 when the plan holds

Positions in the plan are floats: each is taken as the nearest 1/80 micrometre. All else is
done in Fractions.
"""

from __future__ import annotations

import json
import sys
from fractions import Fraction
from itertools import combinations

import job as jobs
from job import Job


class Judge:
    def __init__(self, job: Job, plan: dict):
        self.job, self.plan, self.faults = job, plan, []
        self.unit = jobs.INCH if job.shop.units == "in" else jobs.MM
        self.strips: dict[str, dict] = {}

    def fault(self, text: str):
        self.faults.append(text)

    def at(self, value) -> Fraction:
        return Fraction(round(Fraction(value) * self.unit))

    def run(self) -> list[str]:
        plan, job = self.plan, self.job
        if plan.get("units") != job.shop.units:
            self.fault(f"units {plan.get('units')!r}, the job's are {job.shop.units!r}")
        boards = {b.name: b for b in job.boards}
        opened = set()
        total = Fraction(0)
        for cut in plan["boards"]:
            b = boards.get(cut["board"])
            if b is None:
                self.fault(f"no board {cut['board']!r}")
                continue
            copy = cut.get("copy", 1)
            if not isinstance(copy, int) or not 1 <= copy <= b.quantity:
                self.fault(f"{b.name}: no copy {copy}")
            if (b.name, copy) in opened:
                self.fault(f"{b.name} copy {copy} is opened twice")
            opened.add((b.name, copy))
            total += job.cost(b)
            self.board(b, copy, cut)
        self.pairs()
        self.demand()
        self.money(total)
        return self.faults

    # ---- the wood ------------------------------------------------------------------------

    def board(self, b, copy, cut):
        shop = self.job.shop
        _, _, end = shop.edges(b)
        spans = []
        for sec in cut["sections"]:
            x0, x1 = self.at(sec["from"]), self.at(sec["to"])
            where = f"{b.name}.{copy} section {sec['from']}..{sec['to']}"
            if not x0 < x1:
                self.fault(f"{where}: reversed")
            if x0 < end or x1 > b.length - end:
                self.fault(f"{where}: in the unusable end of the board")
            if sec["rips"] and x1 - x0 < shop.min_rip:
                self.fault(f"{where}: too short to rip")
            spans.append((x0, x1))
            self.section(b, copy, sec, x0, x1, where)
        self.apart(spans, shop.crosscut_kerf, f"{b.name}.{copy} sections")

    def apart(self, spans, kerf, where):
        for (a0, a1), (b0, b1) in combinations(sorted(spans), 2):
            if b0 - a1 < kerf:
                self.fault(f"{where}: less than a kerf between {float(a1 / self.unit)} and {float(b0 / self.unit)}")

    def section(self, b, copy, sec, x0, x1, where):
        shop = self.job.shop
        edge, face = sec["edge"], sec["face"]
        if edge not in ("kept", "straight-lined") or face not in ("kept", "flattened"):
            self.fault(f"{where}: edge {edge!r}, face {face!r}")
        share = Fraction(x1 - x0) ** 2 / Fraction(b.length) ** 2
        near_edge, far_edge, _ = shop.edges(b)
        near, far, thick = Fraction(near_edge), Fraction(b.width - far_edge), Fraction(b.thickness)
        lined = edge == "straight-lined"
        follows = b.crook != 0 and not lined
        if follows and shop.curve_kerf is None:
            self.fault(f"{where}: follows a curve, and no saw does")
        if lined:
            s = abs(b.crook) * share
            if b.crook >= 0:
                near += s
            else:
                far -= s
        if face == "flattened":
            thick -= abs(b.bow) * share
        spans = []
        for rip in sec["rips"]:
            y0, y1 = self.at(rip["near"]), self.at(rip["far"])
            here = f"{where} rip {rip['near']}..{rip['far']}"
            if y0 < near or y1 > far:
                self.fault(f"{here}: outside the usable width")
            spans.append((y0, y1))
            self.rip(b, copy, sec, rip, (x0, x1), (y0, y1), thick, lined, here)
        kerf = shop.curve_kerf if follows and shop.curve_kerf is not None else shop.rip_kerf
        self.apart(spans, kerf, f"{where} rips")

    def rip(self, b, copy, sec, rip, xs, ys, thick, lined, where):
        shop = self.job.shop
        leaves = rip["leaves"]
        used = sum(self.at(leaf["thickness"]) for leaf in leaves)
        if len(leaves) > 1:
            if shop.resaw_kerf is None:
                self.fault(f"{where}: resawn, but the shop has no resaw kerf")
            used += (len(leaves) - 1) * (shop.resaw_kerf or 0)
        if used > thick:
            self.fault(f"{where}: leaves take {float(used / self.unit)} of {float(thick / self.unit)}")
        for leaf in leaves:
            spans = []
            for strip in leaf["strips"]:
                a0, a1 = self.at(strip["from"]), self.at(strip["to"])
                here = f"{where} strip {strip['id']}"
                if a0 < xs[0] or a1 > xs[1]:
                    self.fault(f"{here}: outside its section")
                spans.append((a0, a1))
                self.strip(b, copy, sec, rip, leaf, strip, xs, ys, (a0, a1), lined, here)
            self.apart(spans, shop.crosscut_kerf, f"{where} leaf")

    def strip(self, b, copy, sec, rip, leaf, strip, xs, ys, reach, lined, where):
        found = [k for k in self.job.kinds if k.paddle == strip["paddle"] and k.name == strip["lamination"]]
        if len(found) != 1:
            self.fault(f"{where}: no lamination {strip['lamination']!r} of {strip['paddle']!r}")
            return
        kind = found[0]
        turned = rip["turned"]
        width, depth = ys[1] - ys[0], self.at(leaf["thickness"])
        # Its thickness is by the saw that leaves its glue faces.
        if turned:
            size = (kind.depth, kind.t if len(rip["leaves"]) == 1 else kind.t_resaw)
        else:
            size = (kind.t_curve if b.crook != 0 and not lined else kind.t, kind.depth)
        if (width, depth) != size:
            self.fault(f"{where}: {float(width / self.unit)} by {float(depth / self.unit)} is not its rough size")
        if reach[1] - reach[0] < kind.length:
            self.fault(f"{where}: {float((reach[1] - reach[0]) / self.unit)} long, not {kind.length / self.unit}")
        if kind.species is not None and b.species not in kind.species:
            self.fault(f"{where}: species {b.species}")
        if kind.runout is not None and b.runout is not None and b.runout > kind.runout:
            self.fault(f"{where}: runout")
        zones = [(z.x0, z.x1, z.y0, z.y1, z.kind) for z in b.zones if z.kind not in kind.allow]
        zones += self.grain(b, kind, turned, where)
        for zx0, zx1, zy0, zy1, name in zones:
            lo, hi = max(Fraction(zx0), xs[0]), min(Fraction(zx1), xs[1])
            if lo >= hi:
                continue
            zy0, zy1 = (None if zy0 is None else Fraction(zy0)), (None if zy1 is None else Fraction(zy1))
            if lined:
                least, most = self.lift(b, xs, lo, hi)
                zy0 = None if zy0 is None else zy0 + least
                zy1 = None if zy1 is None else zy1 + most
            if reach[0] < hi and reach[1] > lo and (zy1 is None or ys[0] < zy1) and (zy0 is None or ys[1] > zy0):
                self.fault(f"{where}: touches {name}")
        share = Fraction(reach[1] - reach[0]) ** 2 / Fraction(b.length) ** 2
        crook = Fraction(0) if lined else abs(b.crook) * share
        bow = Fraction(0) if sec["face"] == "flattened" else abs(b.bow) * share
        side, deep = (bow, crook) if turned else (crook, bow)
        if side > self.job.shop.pull:
            self.fault(f"{where}: bent {float(side / self.unit)} sidewise")
        if deep > max(self.job.shop.pair, self.job.shop.straight):
            self.fault(f"{where}: bent {float(deep / self.unit)} depthwise")
        needs = deep > self.job.shop.straight
        if needs and kind.centre:
            self.fault(f"{where}: bent depthwise on the centreline")
        if strip["id"] in self.strips:
            self.fault(f"two strips are named {strip['id']}")
        self.strips[strip["id"]] = {
            "kind": (kind.paddle, kind.name),
            "centre": kind.centre,
            "from": (b.name, copy, turned),
            "needs": needs,
            "with": strip.get("flipped_with"),
        }

    @staticmethod
    def lift(b, xs, lo, hi):
        """Least and greatest height of the curve over its chord between lo and hi."""
        x0, x1 = xs
        rise = lambda x: Fraction(4 * b.crook) / Fraction(b.length) ** 2 * (x - x0) * (x1 - x)
        ends = [rise(lo), rise(hi)]
        mid = (x0 + x1) / 2
        if lo < mid < hi:
            ends.append(rise(mid))
        return min(ends), max(ends)

    def grain(self, b, kind, turned, where):
        """Bands whose rings stand too flat, as zones; faults where the whole board is wrong."""
        a = kind.rings
        if a <= 0:
            return []
        if b.rings is not None:
            if (90 - b.rings if turned else b.rings) < a:
                self.fault(f"{where}: rings {b.rings} for {a}")
            return []
        if b.pith is None:
            self.fault(f"{where}: the board's rings are not known")
            return []
        p, q = b.pith
        down = [abs(Fraction(z) - q) for z in (0, b.thickness)]
        if not turned:
            m, tan = max(down), jobs.tangent(a)
            if tan is None:
                self.fault(f"{where}: rings of 90 from a pith")
                return []
            return [(0, b.length, p - tan * m, p + tan * m, "rings too flat")]
        m = Fraction(0) if 0 <= q <= b.thickness else min(down)
        h = jobs.tangent(90 - a) * m
        return [(0, b.length, None, p - h, "rings too steep"), (0, b.length, p + h, None, "rings too steep")]

    # ---- the whole -----------------------------------------------------------------------

    def pairs(self):
        for name, s in self.strips.items():
            mate = s["with"]
            if mate is None:
                if s["needs"]:
                    self.fault(f"{name}: bent depthwise and in no flipped pair")
                continue
            other = self.strips.get(mate)
            if other is None or mate == name or other["with"] != name:
                self.fault(f"{name}: its flipped pair {mate} does not name it back")
            elif other["kind"] != s["kind"] or other["from"] != s["from"]:
                self.fault(f"{name}: flipped with {mate} of another lamination, board or orientation")
            elif s["centre"]:
                self.fault(f"{name}: a pair on the centreline")

    def demand(self):
        for k in self.job.kinds:
            mine = [s for s in self.strips.values() if s["kind"] == (k.paddle, k.name)]
            if len(mine) < k.demand:
                self.fault(f"{k.paddle} / {k.name}: {len(mine)} of {k.demand} strips")

    def money(self, total):
        cost, proof, job = self.plan["cost"], self.plan["proof"], self.job
        if cost["measure"] != job.measure:
            self.fault(f"measure {cost['measure']!r}, should be {job.measure!r}")
        # As near as a float of that size, and a little.
        near = float(Fraction(1, 10**6) + total / 10**14)
        if abs(Fraction(cost["total"]) - total) > near:
            self.fault(f"cost {cost['total']}, the boards opened come to {float(total)}")
        bound, gap = proof.get("bound"), proof.get("gap")
        if bound is None or gap is None:
            self.fault("no bound or gap")
        elif bound > cost["total"] + near:
            self.fault(f"bound {bound} above the cost {cost['total']}")
        elif proof["status"] == "optimal" and (gap or abs(bound - cost["total"]) > near):
            self.fault("optimal with a gap")




def judge(job: Job, plan: dict) -> list[str]:
    """Every way in which the plan breaks the rules; empty when it holds."""
    return Judge(job, plan).run()


def main() -> int:
    job = jobs.read(sys.argv[1], sys.argv[2])
    with open(sys.argv[3], encoding="utf-8") as f:
        plan = json.load(f)
    faults = judge(job, plan)
    for fault in faults:
        print(fault)
    print("the plan holds" if not faults else f"{len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
