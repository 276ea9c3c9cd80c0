"""One way to state a whole-number model, solved by HiGHS or CP-SAT with a time limit."""

from __future__ import annotations

import time
from dataclasses import dataclass, field


@dataclass
class Answer:
    """What a solver came to."""

    seconds: float
    status: str  # "optimal", "infeasible", "stopped"
    cost: float | None = None
    bound: float | None = None

    @property
    def gap(self) -> float | None:
        if self.cost is None or self.bound is None:
            return None
        return 0.0 if not self.cost else max(0.0, (self.cost - self.bound) / self.cost)


@dataclass
class Model:
    """Whole-number variables, rows lo <= sum <= hi (None: no bound), and a cost to make least."""

    low: list[int] = field(default_factory=list)
    high: list[int] = field(default_factory=list)
    cost: list[int] = field(default_factory=list)
    rows: list[tuple[int | None, int | None, list[int], list[int]]] = field(default_factory=list)

    def var(self, low: int, high: int, cost: int = 0) -> int:
        self.low.append(low)
        self.high.append(high)
        self.cost.append(cost)
        return len(self.low) - 1

    def yes(self, cost: int = 0) -> int:
        return self.var(0, 1, cost)

    def row(self, terms, lo: int | None = None, hi: int | None = None):
        """terms: (coefficient, variable); equal variables are added up."""
        sums: dict[int, int] = {}
        for c, v in terms:
            sums[v] = sums.get(v, 0) + c
        sums = {v: c for v, c in sums.items() if c}
        if sums:
            self.rows.append((lo, hi, list(sums), list(sums.values())))

    def highs(self, seconds: float, threads: int = 2) -> Answer:
        import highspy
        import numpy as np

        inf = highspy.kHighsInf
        lp = highspy.HighsLp()
        n, m = len(self.low), len(self.rows)
        lp.num_col_, lp.num_row_ = n, m
        lp.col_cost_ = np.array(self.cost, dtype=np.double)
        lp.col_lower_, lp.col_upper_ = np.array(self.low, dtype=np.double), np.array(self.high, dtype=np.double)
        lp.row_lower_ = np.array([-inf if r[0] is None else r[0] for r in self.rows], dtype=np.double)
        lp.row_upper_ = np.array([inf if r[1] is None else r[1] for r in self.rows], dtype=np.double)
        lp.integrality_ = [highspy.HighsVarType.kInteger] * n
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        starts = [0]
        for r in self.rows:
            starts.append(starts[-1] + len(r[2]))
        lp.a_matrix_.start_ = np.array(starts, dtype=np.int32)
        lp.a_matrix_.index_ = np.array([j for r in self.rows for j in r[2]], dtype=np.int32)
        lp.a_matrix_.value_ = np.array([c for r in self.rows for c in r[3]], dtype=np.double)
        begin = time.perf_counter()
        h = highspy.Highs()
        for key, value in {
            "log_to_console": False,
            "output_flag": False,
            "mip_rel_gap": 0.0,
            "mip_abs_gap": 0.0,
            "time_limit": float(seconds),
            "threads": threads,
        }.items():
            h.setOptionValue(key, value)
        h.passModel(lp)
        h.run()
        took = time.perf_counter() - begin
        status, info = h.getModelStatus(), h.getInfo()
        if status == highspy.HighsModelStatus.kInfeasible:
            return Answer(took, "infeasible")
        feasible = info.primal_solution_status == 2
        return Answer(
            took,
            "optimal" if status == highspy.HighsModelStatus.kOptimal else "stopped",
            info.objective_function_value if feasible else None,
            info.mip_dual_bound if abs(info.mip_dual_bound) < inf else None,
        )

    def cp_sat(self, seconds: float, threads: int = 2) -> Answer:
        from ortools.sat.python import cp_model

        m = cp_model.CpModel()
        x = [m.NewIntVar(lo, hi, "") for lo, hi in zip(self.low, self.high)]
        for lo, hi, js, cs in self.rows:
            e = cp_model.LinearExpr.WeightedSum([x[j] for j in js], cs)
            if lo is not None:
                m.Add(e >= lo)
            if hi is not None:
                m.Add(e <= hi)
        paid = [j for j, c in enumerate(self.cost) if c]
        m.Minimize(cp_model.LinearExpr.WeightedSum([x[j] for j in paid], [self.cost[j] for j in paid]))
        s = cp_model.CpSolver()
        s.parameters.max_time_in_seconds = float(seconds)
        s.parameters.num_workers = threads
        begin = time.perf_counter()
        status = s.Solve(m)
        took = time.perf_counter() - begin
        if status == cp_model.INFEASIBLE:
            return Answer(took, "infeasible")
        found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        return Answer(
            took,
            "optimal" if status == cp_model.OPTIMAL else "stopped",
            s.ObjectiveValue() if found else None,
            s.BestObjectiveBound(),
        )
