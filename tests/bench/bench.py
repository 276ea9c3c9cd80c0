"""The benchmark: seeded jobs of the sizes to carry, stripwright beside general solvers.

    python bench.py --bin target/release/stripwright [--limit 60] [--only one,four] [--md FILE]
    python bench.py --bin ... --growth [--md FILE]
    python bench.py --bin ... --classes [--only class-6-40,kinds-5] [--limit 60] [--md FILE]

For each job: stripwright's wall time (whole process), cost, bound, gap and peak memory; then, in
the same run and with the same time limit, the job as one model (whole.py) and as the listed ways
(every count vector of a board that no other dominates) in HiGHS and in CP-SAT. Ratios are their
seconds over stripwright's. The listed ways come from exact.py, or from a program given as --ways
that reads the two files and writes {"ways": [[[count, ...], ...] for each board]}; the time for
the listing is shown apart and not counted in the ratios. All use two threads.

--classes: classes in which every paddle has a size of its own, beside the same boards planned as
if there were one to four sizes only, each large enough for all that are put into it. What such a
plan costs a plan of the class need not cost more than: the ratios, ours over theirs, should be 1
or less.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import re
import signal
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass, replace
from pathlib import Path

import exact
import generate
import job as jobs
import judge
import whole
from solvers import Answer, Model

JOBS = [("one", s) for s in range(3)] + [("four", s) for s in range(3)] + [("dozen", s) for s in range(3)]
JOBS += [("zones60", 0), ("zones60", 1), ("wide", 0), ("wide", 1), ("thin", 0), ("thin", 1)]
JOBS += [("teach", s) for s in range(3)] + [("school", 0), ("school", 1), ("yard", 0)]


@dataclass
class Run:
    """One run of stripwright."""

    seconds: float
    mib: float
    status: int | str
    plan: dict | None

    @property
    def cost(self):
        return self.plan["cost"]["total"] if self.plan and "cost" in self.plan else None

    @property
    def bound(self):
        return self.plan["proof"].get("bound") if self.plan else None

    @property
    def gap(self):
        return self.plan["proof"].get("gap") if self.cost is not None else None


def run(binary: str, folder: Path, limit: float | None) -> Run:
    """Runs `stripwright plan` and measures the process."""
    out = folder / "plan.json"
    out.unlink(missing_ok=True)
    command = [str(Path(binary).resolve()), "plan", "--boards", str(folder / "boards.csv"), "--paddles", str(folder / "paddles.toml"), "--json", str(out)]
    if limit:
        command += ["--time-limit", f"{limit:g}"]
    measure = [sys.executable, "-I", "-S", str(Path(__file__).parent / "measure.py")]
    seen = json.loads(subprocess.run([*measure, str(limit * 2 + 30 if limit else 0), *command], capture_output=True, text=True, check=True).stdout)
    plan = json.loads(out.read_text()) if out.exists() else None
    return Run(seen["seconds"], seen["mib"], "killed" if seen["status"] < 0 else seen["status"], plan)


class TooLong(Exception):
    """The listing was stopped."""


def listing(job, folder: Path, command: str | None, seconds: int):
    """(kinds, [(board, vectors)], seconds taken), or None if it takes too long."""
    begin = time.perf_counter()

    def stop(*_):
        raise TooLong

    signal.signal(signal.SIGALRM, stop)
    signal.alarm(seconds)
    try:
        kinds = exact.merge_kinds(job.kinds)
        if command:
            out = subprocess.run(
                [*command.split(), str(folder / "boards.csv"), str(folder / "paddles.toml")], capture_output=True, text=True, check=True
            )
            ways = list(zip(job.boards, json.loads(out.stdout)["ways"]))
        else:
            kinds, ways = exact.listed(job)
        return kinds, ways, time.perf_counter() - begin
    except (TooLong, subprocess.CalledProcessError):
        return None
    finally:
        signal.alarm(0)


def model_of_ways(job, kinds, ways) -> tuple[Model, float]:
    """The choice among listed ways, and the value of one unit of its cost."""
    costs, part = jobs.least_price_unit([job.cost(b) for b, _ in ways])
    m = Model()
    give = [[] for _ in kinds]
    for (b, vs), cost in zip(ways, costs):
        js = []
        for v in vs:
            j = m.var(0, b.quantity, cost)
            js.append(j)
            for k, n in enumerate(v):
                if n:
                    give[k].append((n, j))
        m.row([(1, j) for j in js], hi=b.quantity)
    for kind, terms in zip(kinds, give):
        if terms:
            m.row(terms, lo=kind.demand)
        else:
            m.rows.append((kind.demand, None, [], []))
    return m, float(part)


def show(v, form="{:.3g}") -> str:
    return "-" if v is None else form.format(v)


def percent(gap) -> str:
    return "-" if gap is None else "0" if gap < 1e-9 else f"{gap * 100:.2f} %"


def times(ratio: float) -> str:
    return f"{ratio:.2f}" if ratio < 10 else f"{ratio:.0f}"


def other(a: Answer, part: float, base: float) -> list[str]:
    """Cells for one general solver: seconds, cost, gap, ratio."""
    if a.status == "infeasible":
        return [f"{a.seconds:.2f}", "no plan", "-", times(a.seconds / base)]
    cost = None if a.cost is None else a.cost * part
    slow = "" if a.status == "optimal" else "> "
    return [f"{a.seconds:.2f}", show(cost, "{:.2f}"), percent(a.gap), slow + times(a.seconds / base)]


def table(head: list[str], rows: list[list[str]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join(lines + ["| " + " | ".join(r) + " |" for r in rows])


def machine() -> str:
    cpu = next((l.split(":")[1].strip() for l in open("/proc/cpuinfo") if l.startswith("model name")), platform.machine())
    commit = subprocess.run(["git", "rev-parse", "--short", "HEAD"], capture_output=True, text=True).stdout.strip()
    from importlib.metadata import version

    return (
        f"{cpu}, {os.cpu_count()} cores; {time.strftime('%Y-%m-%d')}; commit {commit}; "
        f"highspy {version('highspy')}, ortools {version('ortools')}, Python {platform.python_version()}"
    )


def keep(path: str | None, text: str):
    """Writes what there is so far, so that a run that is stopped is not lost."""
    if path:
        Path(path).write_text(text + "\n")


def compare(a, todo, tmp: Path) -> str:
    ours, beside = [], []
    for flavour, seed in todo:
        folder = generate.write(flavour, seed, tmp / f"{flavour}-{seed}")
        job = jobs.read(folder / "boards.csv", folder / "paddles.toml")
        r = run(a.bin, folder, a.limit)
        verdict = "-"
        if r.cost is not None:
            verdict = "holds" if not judge.judge(job, r.plan) else "BROKEN"
        size = f"{sum(b.quantity for b in job.boards)} boards, {sum(k.demand for k in job.kinds)} strips"
        state = r.plan["proof"]["status"] if r.plan else str(r.status)
        ours.append(
            [f"{flavour} {seed}", size, f"{r.seconds:.3f}", show(r.cost, "{:.2f}"), show(r.bound, "{:.2f}"), percent(r.gap), state, verdict, f"{r.mib:.0f}"]
        )
        print("ours ", *ours[-1], sep=" | ", flush=True)
        keep(a.md, tables(a.limit, ours, beside))
        if a.alone:
            continue
        cells = [f"{flavour} {seed}", f"{r.seconds:.3f}"]
        got = listing(job, folder, a.ways, a.patience)
        if got:
            kinds, ways, took = got
            m, part = model_of_ways(job, kinds, ways)
            cells += [f"{len(m.low)}", f"{took:.1f}"]
            for solver in ("highs", "cp_sat"):
                cells += other(getattr(m, solver)(a.limit), part, r.seconds)
        else:
            cells += ["-", f"> {a.patience}"] + ["-"] * 8
        try:
            m, part = whole.build(job, a.largest)
            cells.append(f"{len(m.low)}")
            for solver in ("highs", "cp_sat"):
                cells += other(getattr(m, solver)(a.limit), float(part), r.seconds)
        except whole.TooBig:
            cells += [f"> {a.largest}"] + ["-"] * 8
        beside.append(cells)
        keep(a.md, tables(a.limit, ours, beside))
        print("beside", *cells, sep=" | ", flush=True)
    return tables(a.limit, ours, beside)


def tables(limit: float, ours: list[list[str]], beside: list[list[str]]) -> str:
    """The three tables in Markdown."""
    head = ["job", "size", "seconds", "cost", "bound", "gap", "proved", "checker", "MiB"]
    text = f"{machine()}; time limit {limit:g} s.\n\nstripwright, whole process:\n\n" + table(head, ours)
    if beside:
        four = lambda n: [f"{n} s", "cost", "gap", "ratio"]
        text += "\n\nListed ways in general solvers (seconds without the listing; ratio to stripwright's whole run):\n\n"
        text += table(["job", "ours s", "ways", "listing s", *four("HiGHS"), *four("CP-SAT")], [c[:12] for c in beside])
        text += "\n\nOne model of the whole job (bent boards: only what goes in unpaired and unlined):\n\n"
        text += table(["job", "ours s", "variables", *four("HiGHS"), *four("CP-SAT")], [c[:2] + c[12:] for c in beside])
    return text


def growth(a, tmp: Path) -> str:
    """Time against boards, zones, paddles and kinds, everything else as in `four`."""
    base = replace(generate.FLAVOURS["four"], priced=0.0, bent=0.0, pith=0.1, kinds=(1, 1))
    series = {
        "boards": [(n, replace(base, boards=(n, n))) for n in (15, 30, 60, 120, 240, 480)],
        "zones per board": [(n, replace(base, zones=(n, n), boards=(60, 60))) for n in (0, 5, 10, 20, 40, 60)],
        "paddles": [(n, replace(base, paddles=(n, n), boards=(240, 240))) for n in (1, 2, 4, 8, 16, 32)],
        "kinds of paddle": [(n, replace(base, kinds=(n, n), paddles=(6, 6), boards=(60, 60))) for n in (1, 2, 3, 4)],
    }
    out = []
    for name, points in series.items():
        rows = []
        for n, flavour in points:
            times, gaps, most = [], [], 0.0
            for seed in range(a.seeds):
                folder = generate.write(flavour, seed, tmp / "growth")
                r = run(a.bin, folder, a.limit)
                times.append(r.seconds)
                most = max(most, r.mib)
                if r.gap is not None:
                    gaps.append(r.gap)
            times.sort()
            rows.append(
                [str(n), f"{times[len(times) // 2]:.3f}", f"{times[-1]:.3f}", f"{len(gaps)}/{a.seeds}", percent(max(gaps, default=None)), f"{most:.0f}"]
            )
            print(name, *rows[-1], sep=" | ", flush=True)
        out.append(table([name, "median s", "longest s", "planned", "widest gap", "MiB"], rows))
    return f"{machine()}; {a.seeds} seeds each; time limit {a.limit:g} s.\n\n" + "\n\n".join(out)


CLASSES = [(f, 0) for f in ("class-6-40", "class-8-30", "class-12-40", "class-12-60", "class-24-100", "class-36-150", "kinds-4", "kinds-5")]


def pretended(text: str, sizes: int) -> str | None:
    """The job with its paddles put into so many sizes; None where those are not alike but for size."""
    head, *paddles = text.split("[[paddle]]")
    own = re.compile(r'\n(name|length|loom|quantity) = "?([^"\n]*)"?')
    parsed = [dict(own.findall(p)) for p in paddles]
    if len({own.sub("", p).strip() for p in paddles}) > 1 or len(paddles) <= sizes:
        return None
    order = sorted(range(len(paddles)), key=lambda i: -float(parsed[i]["length"]))
    out = head
    for n in range(sizes):
        group = order[n * len(order) // sizes : (n + 1) * len(order) // sizes]
        length = max(float(parsed[i]["length"]) for i in group)
        # A loom so short that blades are as long as the longest one.
        blade = max((float(parsed[i]["length"]) - float(parsed[i]["loom"])) / 2 for i in group)
        of = dict(name=f'"size {n + 1}"', quantity=sum(int(parsed[i]["quantity"]) for i in group), length=f'"{length:g}"', loom=f'"{length - 2 * blade:g}"')
        out += "[[paddle]]" + own.sub(lambda m: f"\n{m.group(1)} = {of[m.group(1)]}", paddles[group[0]])
    return out


def classes(a, todo, tmp: Path) -> str:
    rows = []
    head = ["job", "seconds", "cost", "bound", "gap", "checker"] + [f"as {n} size{'s'[: n > 1]} (s)" for n in range(1, 5)] + ["ratio to the best"]
    for flavour, seed in todo:
        folder = generate.write(flavour, seed, tmp / f"{flavour}-{seed}")
        text = (folder / "paddles.toml").read_text()
        r = run(a.bin, folder, a.limit)
        verdict = "-" if r.cost is None else "BROKEN" if judge.judge(jobs.read(folder / "boards.csv", folder / "paddles.toml"), r.plan) else "holds"
        cells, best = [], None
        for n in range(1, 5):
            other = pretended(text, n)
            if other is None:
                cells.append("-")
                continue
            (folder / "paddles.toml").write_text(other)
            p = run(a.bin, folder, a.limit)
            cells.append(f"{show(p.cost, '{:.2f}')} ({p.seconds:.1f})")
            if p.cost is not None:
                best = p.cost if best is None else min(best, p.cost)
        (folder / "paddles.toml").write_text(text)
        ratio = None if best is None or r.cost is None else r.cost / best
        rows.append([f"{flavour} {seed}", f"{r.seconds:.1f}", show(r.cost, "{:.2f}"), show(r.bound, "{:.2f}"), percent(r.gap), verdict, *cells, show(ratio, "{:.3f}")])
        print(*rows[-1], sep=" | ", flush=True)
        keep(a.md, table(head, rows))
    return f"{machine()}; time limit {a.limit:g} s.\n\n" + table(head, rows)


def main() -> int:
    ap = argparse.ArgumentParser()
    ap.add_argument("--bin", default="target/release/stripwright")
    ap.add_argument("--limit", type=float, default=60, help="seconds for each solver")
    ap.add_argument("--only", default=None, help="flavours, with commas")
    ap.add_argument("--ways", default=None, help="program that lists the ways")
    ap.add_argument("--patience", type=int, default=120, help="seconds for the listing")
    ap.add_argument("--largest", type=int, default=150_000, help="most variables of the whole model")
    ap.add_argument("--alone", action="store_true", help="stripwright only")
    ap.add_argument("--growth", action="store_true")
    ap.add_argument("--classes", action="store_true")
    ap.add_argument("--seeds", type=int, default=5, help="seeds for each point of --growth")
    ap.add_argument("--md", default=None, help="write the tables here")
    a = ap.parse_args()
    todo = [j for j in (CLASSES if a.classes else JOBS) if a.only is None or j[0] in a.only.split(",")]
    with tempfile.TemporaryDirectory() as tmp:
        text = growth(a, Path(tmp)) if a.growth else (classes if a.classes else compare)(a, todo, Path(tmp))
    print(text)
    keep(a.md, text)
    return 0


if __name__ == "__main__":
    sys.exit(main())
