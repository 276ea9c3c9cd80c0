"""How often does the interval that `odds` prints hold the true chance?

The true process is known: knots at random along and across boards of one grade, their number on a
board Poisson (knots counted a tile of sawn timber are near Poisson: mean 2.17, 9.8 % of tiles empty
where Poisson has 11.4 %, published counts as quoted in the literature). The true chances are those
of piles of boards from the process itself: a sample of many boards as long as those wanted, which
are then drawn whole. A few hundred small samples are drawn from the same process, `odds` is asked
with each, and every chance it prints that is not settled beforehand (true chance within 1 and 99
per cent) is compared.

    python3 coverage.py --bin ../../target/release/stripwright --samples 200

Standard library only. With --least P it exits with 1 where fewer than P per cent are held.
"""

import argparse
import json
import math
import os
import random
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

PADDLES = """units = "in"
[shop]
resaw_kerf = "1/16"
[[paddle]]
name = "bay"
quantity = 2
length = "84"
loom = "20"
thickness = "1 3/8"
[[paddle.lamination]]
name = "spine"
thickness = "1/4"
runs = "through"
centre = true
[[paddle.lamination]]
name = "side"
thickness = "1/2"
runs = "through"
[[paddle.lamination]]
name = "blade"
thickness = "1/2"
runs = "blade"
"""
LONG, WIDE, THICK = 96, 5.5, 1.5
HEAD = "board,species,length,width,thickness,rings,grade,zone,from,to,near,far\n"
YARD = f"board,species,length,width,thickness,rings,price,grade\nrack,fir,{LONG},{WIDE},{THICK},90,10,no. 2\n"


def poisson(dice, mean):
    """By counting how many factors stay above e^-mean."""
    count, product, least = 0, dice.random(), math.exp(-mean)
    while product > least:
        count, product = count + 1, product * dice.random()
    return count


def board(dice, name, mean):
    """A board of the process: knots 1 to 3 in long, up to a third of the width."""
    lines = [f"{name},fir,{LONG},{WIDE},{THICK},90,no. 2,,,,,\n"]
    for _ in range(poisson(dice, mean)):
        long, wide = dice.uniform(1, 3), dice.uniform(0.4, WIDE / 3)
        at, near = dice.uniform(0, LONG - long), dice.uniform(0, WIDE - wide)
        figures = f"{at:.2f},{at + long:.2f},{near:.2f},{near + wide:.2f}"
        lines.append(f"{name},,,,,,,knot,{figures}\n")
    return "".join(lines)


def odds(binary, folder, sample, draws):
    """The chances by numbers of boards."""
    path = os.path.join(folder, "marked.csv")
    with open(path, "w") as file:
        file.write(HEAD + "".join(sample))
    for name, text in (("yard.csv", YARD), ("paddles.toml", PADDLES)):
        with open(os.path.join(folder, name), "w") as file:
            file.write(text)
    words = [binary, "odds", "--yard", "yard.csv", "--like", "marked.csv", "--paddles",
             "paddles.toml", "--sure", "100", "--draws", str(draws), "--json", "-"]
    done = subprocess.run(words, cwd=folder, capture_output=True, text=True)
    if done.returncode not in (0, 1):
        sys.exit(done.stderr)
    line = json.loads(done.stdout)["lines"][0]
    return {c["boards"]: c for c in line["chances"]}


def trial(arguments, mean, boards, seed):
    dice = random.Random(f"{mean} {boards} {seed}")
    with tempfile.TemporaryDirectory() as folder:
        sample = [board(dice, f"m{n}", mean) for n in range(boards)]
        return odds(arguments.bin, folder, sample, arguments.draws)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--bin", required=True)
    parser.add_argument("--samples", type=int, default=200, help="samples of each kind")
    parser.add_argument("--draws", type=int, default=400)
    parser.add_argument("--truth", type=int, default=2500, help="boards and draws for the truth")
    parser.add_argument("--means", default="5,9", help="knots a board")
    parser.add_argument("--boards", default="4,10,25", help="boards of a sample")
    parser.add_argument("--jobs", type=int, default=os.cpu_count())
    parser.add_argument("--least", type=float, default=0.0)
    arguments = parser.parse_args()
    arguments.bin = os.path.abspath(arguments.bin)
    held_all = asked_all = 0
    print("| knots a board | boards marked | samples | chances | held | below | above | mean width |")
    print("|---|---|---|---|---|---|---|---|")
    for mean in (float(m) for m in arguments.means.split(",")):
        with tempfile.TemporaryDirectory() as folder:
            dice = random.Random(f"truth {mean}")
            many = [board(dice, f"t{n}", mean) for n in range(arguments.truth)]
            truth = odds(arguments.bin, folder, many, arguments.truth)
        for boards in (int(n) for n in arguments.boards.split(",")):
            with ThreadPoolExecutor(arguments.jobs) as pool:
                trials = pool.map(lambda s: trial(arguments, mean, boards, s), range(arguments.samples))
            held = low = high = 0
            width = 0.0
            for found in trials:
                for number, true in truth.items():
                    true = true["chance"]
                    if not 0.01 < true < 0.99:
                        continue
                    # Beyond what it printed all draws were enough: nothing was said there.
                    chance = found.get(number)
                    if chance is None:
                        continue
                    held += chance["low"] <= true <= chance["high"]
                    low += true < chance["low"]
                    high += true > chance["high"]
                    width += chance["high"] - chance["low"]
            asked = held + low + high
            share = 100 * held / max(asked, 1)
            print(f"| {mean:g} | {boards} | {arguments.samples} | {asked} | {share:.1f} % | {low} | "
                  f"{high} | {width / max(asked, 1):.2f} |", flush=True)
            held_all, asked_all = held_all + held, asked_all + asked
    share = 100 * held_all / max(asked_all, 1)
    print(f"\nHeld: {share:.1f} % of {asked_all}.")
    sys.exit(share < arguments.least)


if __name__ == "__main__":
    main()
