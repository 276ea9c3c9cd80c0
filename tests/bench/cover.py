"""The least costly choice of listed ways: in HiGHS to gap 0, or in CP-SAT in whole numbers."""

from __future__ import annotations

import time
from fractions import Fraction
from math import floor

import job as jobs
from job import Job, Kind

# Costs that come to more than this together are too fine for a program in floats.
FLOAT_COSTS = 10**6


def whole_numbers(costs: list[int], kinds: list[Kind], ways, seconds: float | None):
    """(counts of each column or None, bound) with CP-SAT, which is exact, whatever the costs' size.

    The costs are taken apart into high and low digits. The high ones alone come to H at least; a
    cheapest choice of n boards comes to at most H + n of them, since its low digits come to less
    than n ones. Among those the full cost is brought down.
    """
    from ortools.sat.python import cp_model

    columns = [(i, v) for i, (_, vs) in enumerate(ways) for v in vs]
    # More boards than strips are never needed.
    boards = min(sum(b.quantity for b, _ in ways), sum(k.demand for k in kinds))
    shift = max(0, (max(costs, default=0) * boards).bit_length() - 45)
    high, low = [c >> shift for c in costs], [c & ((1 << shift) - 1) for c in costs]
    begin = time.monotonic()

    def least(floor_of_high: int | None):
        m = cp_model.CpModel()
        x = [m.NewIntVar(0, min(ways[i][0].quantity, boards), "") for i, _ in columns]
        for i, (b, _) in enumerate(ways):
            m.Add(sum(x[j] for j, (p, _) in enumerate(columns) if p == i) <= b.quantity)
        for k, kind in enumerate(kinds):
            js = [j for j, (_, v) in enumerate(columns) if v[k]]
            m.Add(cp_model.LinearExpr.WeightedSum([x[j] for j in js], [columns[j][1][k] for j in js]) >= kind.demand)
        m.Add(sum(x) <= boards)
        of = lambda digits: cp_model.LinearExpr.WeightedSum(x, [digits[i] for i, _ in columns])
        if floor_of_high is None:
            m.Minimize(of(high))
        else:
            over = m.NewIntVar(0, boards, "")
            m.Add(of(high) == over + floor_of_high)
            m.Minimize(over * (1 << shift) + of(low))
        s = cp_model.CpSolver()
        s.parameters.num_workers = 2
        s.parameters.random_seed = 1
        if seconds:
            s.parameters.max_time_in_seconds = max(0.1, seconds - (time.monotonic() - begin))
        status = s.Solve(m)
        counts = [s.Value(v) for v in x] if status in (cp_model.OPTIMAL, cp_model.FEASIBLE) else None
        return status, counts, s

    total = lambda counts: sum(costs[columns[j][0]] * n for j, n in enumerate(counts))
    status, counts, s = least(None)
    if status == cp_model.INFEASIBLE:
        return None, None
    if status != cp_model.OPTIMAL:
        return counts, max(0, floor(s.BestObjectiveBound())) << shift
    if not shift:
        return counts, total(counts)
    lowest = sum(high[columns[j][0]] * n for j, n in enumerate(counts))
    status, finer, s = least(lowest)
    if status == cp_model.OPTIMAL:
        return finer, total(finer)
    best = min((c for c in (counts, finer) if c), key=total)
    return best, lowest << shift


def choose(job: Job, kinds: list[Kind], ways, seconds: float | None = None):
    """(least cost, bound, chosen) to gap 0, with HiGHS, or with CP-SAT where floats would not do;
    least cost None when there is no plan."""
    import highspy

    able = [sum(max((v[k] for v in vs), default=0) * b.quantity for b, vs in ways) for k in range(len(kinds))]
    if any(a < kind.demand for a, kind in zip(able, kinds)):
        return None, None, None
    costs, part = jobs.least_price_unit([job.cost(b) for b, _ in ways])
    if sum(c * b.quantity for c, (b, _) in zip(costs, ways)) > FLOAT_COSTS:
        counts, bound = whole_numbers(costs, kinds, ways, seconds)
        if bound is None:
            return None, None, None
        columns = [(i, v) for i, (_, vs) in enumerate(ways) for v in vs]
        if counts is None:
            raise TimeoutError("no choice found in time")
        total = sum(costs[columns[j][0]] * n for j, n in enumerate(counts)) * part
        got = [sum(n * columns[j][1][k] for j, n in enumerate(counts)) for k in range(len(kinds))]
        assert all(g >= kind.demand for g, kind in zip(got, kinds)), "the choice does not cover the demand"
        return total, bound * part, [(ways[columns[j][0]][0].name, columns[j][1]) for j, n in enumerate(counts) for _ in range(n)]
    h = highspy.Highs()
    h.setOptionValue("log_to_console", False)
    h.silent()
    h.setOptionValue("mip_rel_gap", 0.0)
    h.setOptionValue("mip_abs_gap", 0.0)
    h.setOptionValue("threads", 1)
    if seconds:
        h.setOptionValue("time_limit", float(seconds))
    inf = highspy.kHighsInf
    columns = [(i, v) for i, (_, vs) in enumerate(ways) for v in vs]
    for i, _ in columns:
        h.addVar(0, ways[i][0].quantity)
    for j, (i, _) in enumerate(columns):
        h.changeColCost(j, costs[i])
        h.changeColIntegrality(j, highspy.HighsVarType.kInteger)
    for i, (b, _) in enumerate(ways):
        js = [j for j, (p, _) in enumerate(columns) if p == i]
        if js:
            h.addRow(-inf, b.quantity, len(js), js, [1.0] * len(js))
    for k, kind in enumerate(kinds):
        js = [j for j, (_, v) in enumerate(columns) if v[k]]
        h.addRow(kind.demand, inf, len(js), js, [float(columns[j][1][k]) for j in js])
    h.run()
    status = h.getModelStatus()
    if status == highspy.HighsModelStatus.kInfeasible:
        return None, None, None
    info = h.getInfo()
    x = h.getSolution().col_value
    counts = [round(c) for c in x]
    total = sum(costs[columns[j][0]] * c for j, c in enumerate(counts)) * part
    got = [0] * len(kinds)
    for j, c in enumerate(counts):
        for k in range(len(kinds)):
            got[k] += c * columns[j][1][k]
    covered = all(g >= kind.demand for g, kind in zip(got, kinds))
    if status != highspy.HighsModelStatus.kOptimal:
        if not covered:
            raise TimeoutError("no choice found in time")
        # A bound in floats may be above the least cost by its rounding.
        bound = Fraction(info.mip_dual_bound)
        return total, (bound - abs(bound) / 10**9) * part, counts
    assert covered, "the choice does not cover the demand"
    chosen = [(ways[columns[j][0]][0].name, columns[j][1]) for j, c in enumerate(counts) for _ in range(c)]
    return total, total, chosen
