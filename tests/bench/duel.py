"""Runs stripwright on many seeded jobs beside the exact solver and the checker.

    python duel.py --bin target/release/stripwright [--seeds 0:40] [--flavours plain,bent] [--found DIR]

One line a job: agree or not, cost, least, seconds of each. Jobs that disagree are kept under
--found. Exit 1 when any disagreed.
"""

from __future__ import annotations

import argparse
import json
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

import exact
import generate
import job as jobs
import judge

SMALL = ["plain", "knotty", "bent", "priced", "class", "kinds", "short", "pith", "resaw", "copies", "wild", "curved", "odd", "metric"]
# Costs whose greatest common part is tiny.
SMALL += ["tenths", "thirds", "sevenths", "fine", "mixed", "equal", "pennies", "near", "ends", "hoard", "dear"]
# The second edition of the rules.
SMALL += ["saws", "margins", "offcuts", "stacks", "second", "second-mm"]


def plan(binary: str, folder: Path, limit: float, extra=()):
    """(exit status, plan JSON or None, seconds, stderr)."""
    out = folder / "plan.json"
    out.unlink(missing_ok=True)
    command = [binary, "plan", "--boards", str(folder / "boards.csv"), "--paddles", str(folder / "paddles.toml")]
    command += ["--json", str(out), *extra]
    begin = time.perf_counter()
    try:
        run = subprocess.run(command, capture_output=True, text=True, timeout=limit)
        status, err = run.returncode, run.stderr
    except subprocess.TimeoutExpired:
        status, err = "timeout", ""
    took = time.perf_counter() - begin
    return status, json.loads(out.read_text()) if out.exists() else None, took, err


class TooLong(Exception):
    """The exact solver was stopped."""


def least_within(job, seconds: int):
    """(cost of the best choice, what none costs less than), or TooLong; (None, None) for no plan."""
    begin = time.monotonic()

    def stop(*_):
        raise TooLong

    signal.signal(signal.SIGALRM, stop)
    signal.alarm(seconds)
    try:
        kinds, ways = exact.listed(job)
        # A solver in C++ is not interrupted: it is told how long it may take.
        signal.alarm(0)
        return exact.choose(job, kinds, ways, max(1, seconds - (time.monotonic() - begin)))[:2]
    except TimeoutError:
        raise TooLong from None
    finally:
        signal.alarm(0)


def opened(job, answer) -> Fraction:
    """What the boards of a plan cost, exactly."""
    boards = {b.name: b for b in job.boards}
    return sum((job.cost(boards[cut["board"]]) for cut in answer["boards"]), Fraction(0))


# What a section in a straight line gives, `exact.py` knows at some places only: then its least is
# not the least, and a plan that `judge.py` finds nothing wrong with may cost less.
CHEAPER = "cheaper by a straight-lined section at a place that exact does not try"


def lined(answer) -> bool:
    """Does a section of the plan follow a straight line where its board doesn't?"""
    return any(s["edge"] == "straight-lined" for cut in answer["boards"] for s in cut["sections"])


def compare(binary: str, folder: Path, limit: float, patience: int):
    """(what disagrees or "", planner's cost, least cost, planner's seconds, exact's seconds)."""
    status, answer, took, err = plan(binary, folder, limit)
    job = jobs.read(folder / "boards.csv", folder / "paddles.toml")
    begin = time.perf_counter()
    known = True
    try:
        least, low = least_within(job, patience)
    except TooLong:
        known, least, low = False, None, None
    took_exact = time.perf_counter() - begin
    cost, wrong = None, []
    if answer and status == 0:
        cost = answer["cost"]["total"]
        faults = judge.judge(job, answer)
        if faults:
            wrong.append("broken rules: " + "; ".join(faults[:3]))
        if answer["proof"]["status"] != "optimal":
            wrong.append(f"not claimed optimal (gap {answer['proof'].get('gap')})")
        if not known:
            pass
        elif least is None and low is None and not wrong and lined(answer):
            wrong.append(CHEAPER + ", where it has no plan")
        elif least is None:
            wrong.append("a plan where exact finds none")
        else:
            real = opened(job, answer)
            # The program counts costs that differ by a millionth of a board foot as one; prices
            # it compares exactly.
            trifle = Fraction(1, 10**6) if job.measure == "board feet" else 0
            claimed = real if answer["proof"]["status"] == "optimal" else Fraction(answer["proof"]["bound"])
            # A bound is printed as a float.
            claimed -= trifle if claimed == real else abs(claimed) / 10**14
            if claimed > least:
                wrong.append(f"claims at least {float(claimed)!r}, exact has {float(least)!r}, {float(claimed - least)} less")
            elif low == least < real:
                print(f"      within the trifle: {float(real - least)} dearer than the least", flush=True)
            if real < low and not wrong and lined(answer):
                wrong.append(CHEAPER + f", {float(real)!r} where it has {float(low)!r}")
            elif real < low:
                wrong.append(f"costs {float(real)!r}, below exact's bound {float(low)!r}")
    elif status == 1 and answer and answer["proof"]["status"] == "infeasible":
        if least is not None:
            wrong.append(f"no plan, but one costs {float(least)}")
        if not answer.get("short"):
            wrong.append("infeasible without naming what is short")
    else:
        wrong.append(f"status {status}: {err.strip()[:200]}")
    if not known or low != least:
        return "; ".join(wrong), cost, "unknown" if not known else f"{float(low)!r}..{float(least)!r}", took, took_exact
    return "; ".join(wrong), cost, None if least is None else float(least), took, took_exact


def is_open(wrong: str) -> bool:
    """Nothing wrong was said: only a gap, or nothing in time."""
    return wrong == "status timeout: " or (wrong.startswith("not claimed optimal") and ";" not in wrong)


def main() -> int:
    ap = argparse.ArgumentParser()
    ap.add_argument("--bin", default="target/release/stripwright")
    ap.add_argument("--seeds", default="0:10")
    ap.add_argument("--flavours", default=",".join(SMALL))
    ap.add_argument("--without", default="", help="flavours to leave out")
    ap.add_argument("--open-may-be", action="store_true", help="a gap that is said, or a run stopped at its limit, is no disagreement")
    ap.add_argument("--found", default=None)
    ap.add_argument("--limit", type=float, default=60)
    ap.add_argument("--patience", type=int, default=60, help="seconds the exact solver may take")
    ap.add_argument("--cases", nargs="*", default=None, help="folders with ready jobs instead")
    a = ap.parse_args()
    lo, hi = map(int, a.seeds.split(":"))
    todo = [(f, s) for s in range(lo, hi) for f in a.flavours.split(",") if f not in a.without.split(",")] if a.cases is None else [(c, None) for c in a.cases]
    bad, slowest, total, unsettled, cheaper = 0, 0.0, 0, 0, 0
    with tempfile.TemporaryDirectory() as tmp:
        for flavour, seed in todo:
            folder = Path(tmp) / "job"
            if seed is None:
                shutil.rmtree(folder, ignore_errors=True)
                shutil.copytree(flavour, folder)
            else:
                generate.write(flavour, seed, folder)
            wrong, cost, least, took, took_exact = compare(a.bin, folder, a.limit, a.patience)
            total, slowest = total + 1, max(slowest, took)
            left = a.open_may_be and is_open(wrong)
            unsettled += left
            less = wrong.startswith(CHEAPER)
            cheaper += less
            print(f"{'open' if left else 'less' if less else 'WRONG' if wrong else 'ok':5} {flavour} {seed} cost {cost} least {least} {took:.3f} s, exact {took_exact:.2f} s {wrong}", flush=True)
            if wrong and not left and not less:
                bad += 1
                if a.found:
                    kept = Path(a.found) / f"{Path(flavour).name}-{seed}"
                    shutil.rmtree(kept, ignore_errors=True)
                    shutil.copytree(folder, kept)
                    (kept / "note.txt").write_text(wrong + "\n")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"{total} jobs, {bad} disagree, {cheaper} cost less than exact's places allow, {unsettled} left open, slowest {slowest:.3f} s, most memory {peak:.0f} MiB")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
