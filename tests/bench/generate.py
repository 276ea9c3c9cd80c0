"""Random jobs from a seed: boards.csv and paddles.toml.

    python generate.py FLAVOUR SEED DIR       one job into DIR
    python generate.py --list                 the flavours

A flavour and a seed always give the same job, byte for byte.
"""

from __future__ import annotations

import random
import re
import sys
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor
from pathlib import Path

SOFT = ["red cedar", "yellow cedar", "white pine", "sitka spruce", "basswood", "white cedar"]
HARD = ["white ash", "black walnut", "black cherry"]
HEADER = "board,species,length,width,thickness,rings,pith_across,pith_depth,crook,bow,runout,price,quantity,zone,from,to,near,far"
OWN = ",edge,far_edge,board_end,offcut"


def text(eighths) -> str:
    """A Fraction of an inch as `7 1/4`."""
    q = Fraction(eighths)
    sign, q = ("-", -q) if q < 0 else ("", q)
    whole, rest = divmod(q, 1)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def millimetres(inches: str) -> str:
    """`7 1/4` inches as decimal millimetres, exactly."""
    sign, body = ("-", inches[1:]) if inches.startswith("-") else ("", inches)
    mm = sum((Fraction(p) for p in body.split()), Fraction(0)) * Fraction(254, 10)
    whole, rest = divmod(mm * 10**6, 10**6)
    return f"{sign}{whole}.{int(rest):06d}".rstrip("0").rstrip(".")


# Columns of boards.csv that hold lengths.
LENGTHS = {2, 3, 4, 6, 7, 8, 9, 14, 15, 16, 17, 18, 19, 20}


def metric(cell: str, column: int) -> str:
    """A cell of boards.csv with its length, if it holds one, in millimetres."""
    return millimetres(cell) if cell and column in LENGTHS else cell


def in_millimetres(toml: str) -> str:
    """paddles.toml with its lengths in millimetres, exactly."""
    toml = re.sub(r'= "([0-9][0-9 /]*)"', lambda m: f'= "{millimetres(m[1])}"', toml)
    return toml.replace('units = "in"', 'units = "mm"')


class Tape:
    """Spells a size as read from a tape on which sizes are not tidy."""

    def __init__(self, name: str, r: random.Random):
        self.name, self.r = name, r

    def size(self, q: Fraction) -> str:
        """About q inches, a little off."""
        r = self.r
        match self.name:
            case "tenths":
                return self.tenths(q + Fraction(r.randint(-8, 8), 254))
            case "thirds" | "sevenths":
                n = (3 if self.name == "thirds" else 7) * r.choice([1, 2, 4, 8])
                return text(Fraction(floor(q * n) + r.randint(0, 1), n)) if q * n >= 4 else text(q)
            case "ten-thousandths":
                return f"{float(q + Fraction(r.randint(-300, 300), 10_000)):.4f}"
        return self.mixed(q)

    def tenths(self, q: Fraction) -> str:
        n = round(q * 254)
        return f"{n // 10}.{n % 10}"

    def mixed(self, q: Fraction) -> str:
        """In any unit, whichever the job's is."""
        match self.r.randrange(6):
            case 0:
                return self.tenths(q + Fraction(self.r.randint(-8, 8), 254)) + " mm"
            case 1:
                n = round(q * 254) + self.r.randint(-8, 8)
                return f"{n // 100}.{n % 100:02d} cm"
            case 2:
                n = round(q * 254) + self.r.randint(-8, 8)
                return f"{n // 10_000}.{n % 10_000:04d} m"
            case 3 if q >= 12:
                feet, rest = divmod(q, 12)
                rest += Fraction(self.r.randint(0, 2), 6)
                # Behind feet stand less than 12 inches.
                return f"{feet}' {text(rest)}" if rest < 12 else text(12 * feet + rest) + " in"
            case 4:
                return Tape("ten-thousandths", self.r).size(q) + " in"
        return Tape(self.r.choice(["thirds", "sevenths"]), self.r).size(q) + " in"

    def row(self, cells: list[str], board: dict[int, tuple[str, Fraction]]) -> list[str]:
        """A row of boards.csv respelled; `board` keeps the board's own sizes for its zones."""
        out = list(cells)
        for column, cell in enumerate(cells):
            if column not in LENGTHS or not cell:
                continue
            sign, bare = ("-", cell[1:]) if cell.startswith("-") else ("", cell)
            q = sum((Fraction(p) for p in bare.split()), Fraction(0))
            of = {14: 2, 15: 2, 16: 3, 17: 3}.get(column)
            if column in (14, 16) and self.name not in ("tenths", "ten-thousandths"):
                q = max(q - Fraction(3, 8), Fraction(0))  # stays before its far side on a coarse tape
            if not q:
                out[column] = "0"
                continue
            out[column] = sign + self.size(q)
            if column in (2, 3):
                board[column] = (out[column], q)
            elif of and q + Fraction(1, 2) > board[of][1]:
                # A zone up to the very edge or end is left open there, so that it stays on the board.
                out[column] = "" if column in (15, 17) else sign + self.size(q - Fraction(1, 2))
        return out


@dataclass(frozen=True)
class Flavour:
    """What a job is made of."""

    kinds: tuple[int, int] = (1, 1)  # kinds of paddle
    paddles: tuple[int, int] = (1, 1)  # paddles in all
    boards: tuple[int, int] = (5, 12)
    zones: tuple[int, int] = (0, 9)  # per board
    lengths: tuple[int, ...] = (72, 84, 96, 96, 96, 120, 120, 144)
    widths: tuple[str, ...] = ("7/2", "7/2", "11/2", "11/2", "11/2", "29/4", "37/4")
    thick: tuple[str, ...] = ("3/4", "3/4", "1", "3/2", "3/2", "3/2", "3/2", "7/4")
    bent: float = 0.0  # share of boards that are bent
    pith: float = 0.2  # share of boards marked by their pith
    unknown: float = 0.02  # share with neither rings nor pith
    priced: float = 0.0  # chance that the job has prices
    resaw: float = 0.5
    runout: float = 0.1
    alike: float = 0.0  # share of clear boards in several copies
    strips: tuple[str, ...] = ("3/16", "1/4", "3/8", "1/2", "5/8")
    wrong: float = 0.0  # share of boards of a species nobody wants
    odd: float = 0.0  # chance that each of the shop's settings is an unusual one
    metric: bool = False  # lengths in millimetres; the sizes stay those of PS 20
    tape: str = ""  # boards are measured with this Tape; "tenths" makes the job metric
    equal: bool = False  # every board of one nominal size
    till: str = ""  # how prices are made: "" cents, "fine" four decimals, "near" nearly equal, "dear" near the dearest, "ends" the cheapest and the dearest
    copies: tuple[int, int] = (2, 5)  # of boards in several copies
    # The second edition of the rules; without these no such key or column is written.
    saws: float = 0.0  # chance that every saw has a kerf and a dressing of its own
    margins: float = 0.0  # chance that knots, checks and pitch have margins
    pins: float = 0.0  # chance of a zone of no width or no length, where its kind has a margin
    own: float = 0.0  # chance that a board has allowances of its own
    offcuts: float = 0.0  # chance that a board is paid for
    sized: bool = False  # paddles are alike in all but length and loom

    @property
    def second(self) -> bool:
        return bool(self.saws or self.margins or self.own or self.offcuts)


FLAVOURS: dict[str, Flavour] = {
    "plain": Flavour(zones=(0, 4)),
    "knotty": Flavour(zones=(4, 12), boards=(8, 18), kinds=(1, 2), paddles=(1, 2)),
    "bent": Flavour(bent=0.7, boards=(6, 14), zones=(0, 7)),
    "priced": Flavour(priced=1.0, kinds=(1, 2), paddles=(1, 3), boards=(8, 20), bent=0.2),
    "class": Flavour(kinds=(1, 2), paddles=(3, 4), boards=(18, 30), priced=0.6, bent=0.15),
    "kinds": Flavour(kinds=(2, 3), paddles=(2, 4), boards=(10, 30), priced=0.4, bent=0.2),
    "short": Flavour(zones=(3, 9), boards=(4, 7), paddles=(1, 3), wrong=0.3),
    "pith": Flavour(pith=0.9, boards=(6, 14)),
    "resaw": Flavour(resaw=1.0, thick=("3/4", "3/2", "7/4", "5/2", "7/2"), strips=("1/8", "3/16", "1/4", "3/8"), boards=(5, 10)),
    "copies": Flavour(alike=0.6, zones=(0, 3), kinds=(1, 2), paddles=(2, 4), boards=(5, 12)),
    "wild": Flavour(
        kinds=(1, 3), paddles=(1, 4), boards=(5, 30), bent=0.4, pith=0.4, priced=0.5, alike=0.2, runout=0.4, wrong=0.1, unknown=0.08
    ),
    "curved": Flavour(bent=1.0, boards=(6, 14), zones=(0, 6), odd=0.3, kinds=(1, 2), paddles=(1, 3)),
    "odd": Flavour(odd=0.5, bent=0.4, pith=0.3, boards=(5, 14), kinds=(1, 2), paddles=(1, 3), runout=0.3),
    "metric": Flavour(metric=True, bent=0.3, boards=(5, 14), odd=0.15, kinds=(1, 2), paddles=(1, 2)),
    # Costs whose greatest common part is tiny.
    "tenths": Flavour(tape="tenths", bent=0.2, boards=(5, 14), kinds=(1, 2), paddles=(1, 3), alike=0.1),
    "thirds": Flavour(tape="thirds", bent=0.2, boards=(5, 14), kinds=(1, 2), paddles=(1, 3), alike=0.1),
    "sevenths": Flavour(tape="sevenths", bent=0.2, boards=(5, 14), kinds=(1, 2), paddles=(1, 3), alike=0.1),
    "fine": Flavour(tape="ten-thousandths", bent=0.2, boards=(5, 14), kinds=(1, 2), paddles=(1, 3)),
    "mixed": Flavour(tape="mixed", bent=0.2, boards=(5, 18), kinds=(1, 2), paddles=(1, 4), alike=0.2),
    "equal": Flavour(tape="tenths", equal=True, boards=(20, 40), zones=(0, 3), kinds=(1, 2), paddles=(1, 4)),
    "pennies": Flavour(till="fine", priced=1.0, kinds=(1, 2), paddles=(1, 4), boards=(8, 24), bent=0.15),
    "near": Flavour(till="near", priced=1.0, equal=True, tape="tenths", kinds=(1, 2), paddles=(1, 4), boards=(20, 40), zones=(0, 3)),
    "ends": Flavour(till="ends", priced=1.0, kinds=(1, 2), paddles=(1, 4), boards=(6, 24), bent=0.15, tape="mixed"),
    "hoard": Flavour(till="ends", priced=1.0, alike=0.7, copies=(50, 2000), kinds=(1, 2), paddles=(2, 5), boards=(5, 12), zones=(0, 4)),
    # So many of the dearest, and so many strips in one, that sums of exact prices pass 60 bits.
    "dear": Flavour(
        till="dear", priced=1.0, alike=0.9, copies=(4, 4), boards=(50, 90), zones=(0, 1), lengths=(192, 240), widths=("37/4", "45/4"),
        thick=("3/2", "7/4"), strips=("1/8", "1/8", "3/16", "3/16", "3/16"), resaw=1.0, kinds=(1, 2), paddles=(4, 16), pith=0.0
    ),
    # The second edition.
    "saws": Flavour(saws=1.0, bent=0.8, boards=(4, 9), zones=(0, 5), resaw=0.6),
    "margins": Flavour(margins=1.0, pins=0.3, boards=(4, 10), zones=(1, 7), bent=0.2, saws=0.3),
    "offcuts": Flavour(offcuts=0.4, own=0.5, boards=(6, 14), priced=0.5, lengths=(36, 48, 60, 84, 96, 120), bent=0.2, kinds=(1, 2), paddles=(1, 2)),
    "stacks": Flavour(saws=1.0, resaw=1.0, thick=("3/4", "1", "3/2", "7/4", "5/2", "7/2"), strips=("1/8", "3/16", "1/4", "3/8"), boards=(4, 9), bent=0.3),
    "second": Flavour(
        saws=0.8, margins=0.7, pins=0.2, own=0.4, offcuts=0.2, odd=0.3, bent=0.6, pith=0.3, priced=0.5, alike=0.2, runout=0.3, wrong=0.1,
        boards=(4, 12), kinds=(1, 2), paddles=(1, 2)
    ),
    "second-mm": Flavour(
        saws=0.8, margins=0.7, own=0.4, offcuts=0.2, odd=0.2, bent=0.5, tape="tenths", boards=(4, 10), paddles=(1, 2)
    ),
    # Every builder a paddle of his or her own size.
    "builders": Flavour(
        kinds=(6, 9), sized=True, boards=(4, 9), zones=(0, 4), bent=0.6, priced=0.5, strips=("1/2", "5/8"), pith=0.0,
        lengths=(96, 96, 120, 144), widths=("7/2", "11/2", "29/4"), thick=("3/2", "3/2", "7/4"), unknown=0.0
    ),
    # The same in the sizes of a class: so many builders, so many boards.
    **{
        f"class-{n}-{boards}": Flavour(
            kinds=(n, n), paddles=(n, n), sized=True, boards=(boards, boards), zones=(2, 6), bent=bent, priced=1.0, strips=("1/4", "3/8", "1/2"),
            pith=0.0, lengths=(72, 96, 120, 144), widths=("7/2", "11/2", "29/4", "37/4"), thick=("1", "3/2", "7/4"), unknown=0.0, resaw=1.0
        )
        for n, boards, bent in [(6, 40, 0.0), (8, 30, 0.1), (12, 40, 0.0), (12, 60, 0.3), (24, 100, 0.1), (36, 150, 0.1)]
    },
    # Four and five kinds, each with laminations of its own.
    **{
        f"kinds-{n}": Flavour(
            kinds=(n, n), paddles=(5 * n, 5 * n), boards=(25 * n - 25, 25 * n - 25), zones=(2, 6), bent=0.1, priced=1.0, pith=0.0,
            lengths=(72, 96, 120, 144), widths=("7/2", "11/2", "29/4", "37/4"), thick=("1", "3/2", "7/4"), unknown=0.0, resaw=1.0
        )
        for n in (4, 5)
    },
    # The sizes to carry.
    "one": Flavour(boards=(12, 12), zones=(8, 8)),
    "four": Flavour(kinds=(1, 2), paddles=(4, 4), boards=(30, 30), zones=(4, 9), priced=0.5, bent=0.15),
    "dozen": Flavour(kinds=(2, 2), paddles=(12, 12), boards=(40, 40), zones=(3, 9), priced=0.5, bent=0.1),
    "teach": Flavour(kinds=(3, 3), paddles=(12, 12), boards=(100, 100), zones=(3, 9), priced=0.5, bent=0.1),
    "school": Flavour(kinds=(3, 3), paddles=(36, 36), boards=(120, 120), zones=(3, 9), priced=0.5, bent=0.1),
    "yard": Flavour(kinds=(3, 3), paddles=(200, 200), boards=(1000, 1000), zones=(3, 9), priced=0.5, bent=0.1),
    "dozen-tidy": Flavour(kinds=(2, 2), paddles=(12, 12), boards=(40, 40), zones=(3, 9), equal=True),
    "dozen-near": Flavour(kinds=(2, 2), paddles=(12, 12), boards=(40, 40), zones=(3, 9), equal=True, tape="tenths"),
    "school-tidy": Flavour(kinds=(3, 3), paddles=(36, 36), boards=(120, 120), zones=(3, 9), equal=True),
    "school-near": Flavour(kinds=(3, 3), paddles=(36, 36), boards=(120, 120), zones=(3, 9), equal=True, tape="tenths"),
    "zones60": Flavour(boards=(12, 12), zones=(60, 60), lengths=(144, 192), widths=("29/4", "37/4", "45/4"), paddles=(1, 2)),
    "wide": Flavour(boards=(12, 12), zones=(4, 10), lengths=(192, 240), widths=("45/4", "12"), paddles=(4, 4), kinds=(2, 2)),
    "thin": Flavour(boards=(12, 12), zones=(2, 8), strips=("1/8", "3/16"), widths=("37/4", "45/4"), lengths=(96, 120, 144), paddles=(2, 2), kinds=(1, 2)),
}


class Maker:
    def __init__(self, flavour: Flavour, seed: str):
        self.f, self.r = flavour, random.Random(seed)

    def eighth(self, lo: float, hi: float) -> Fraction:
        return Fraction(self.r.randint(round(lo * 8), round(hi * 8)), 8)

    # ---- paddles -------------------------------------------------------------------------

    def paddles(self):
        r, f = self.r, self.f
        n = r.randint(*f.kinds)
        total = max(n, r.randint(*f.paddles))
        share = [1] * n
        for _ in range(total - n):
            share[r.randrange(n)] += 1
        main, second = r.sample(SOFT, 2)
        if r.random() < 0.25:
            second = r.choice(HARD)
        out, used = [], set()
        both = f'["{main}", "{second}"]'
        thickness = r.choice(["1 1/4", "1 3/8", "1 3/8", "1 1/2"])
        rings = r.choice(["45", "45", "45", "45", "30", "60", "0"])
        for i in range(n):
            if r.random() < 0.3:
                thickness = r.choice(["1 1/4", "1 3/8", "1 3/8"])
            if r.random() < 0.2:
                rings = r.choice(["45", "30", "60", "0", "50"])
            length, loom = r.randint(80, 92), r.randint(16, 23)
            lines = ["[[paddle]]", f'name = "paddle {i + 1}"', f"quantity = {share[i]}"]
            lines += [f'length = "{length}"', f'loom = "{loom}"', f'thickness = "{thickness}"']
            lines += ['trim = "3/8"', f"rings = {rings}"]
            if r.random() < f.runout:
                lines.append(f'runout = "1:{r.choice([10, 12, 15, 20])}"')
            lams = []
            if r.random() < 0.7:
                lams.append(("spine", r.choice(f.strips[:3]), "through", True))
            lams.append(("loom side", r.choice(f.strips), "through", False))
            lams.append(("blade", r.choice(f.strips), "blade", False))
            if r.random() < 0.5:
                lams.append(("edge", r.choice(f.strips), "blade", False))
            for name, thick, runs, centre in lams:
                which = f'["{main}"]'
                if name in ("spine", "edge"):
                    which = r.choice([f'["{second}"]', f'["{second}"]', f'["{main}"]', both, None])
                elif r.random() < 0.15:
                    which = both
                if which:
                    used.update(s for s in (main, second) if s in which)
                lines += ["", "  [[paddle.lamination]]", f'  name = "{name}"', f'  thickness = "{text(Fraction(thick))}"']
                lines.append(f'  runs = "{runs}"')
                if centre:
                    lines.append("  centre = true")
                if which:
                    lines.append(f"  species = {which}")
                if r.random() < 0.4:
                    lines.append('  allow = ["sap"]' if r.random() < 0.8 else '  allow = ["sap", "pitch"]')
            if f.sized and out:
                # The first one's, in another size.
                lines = out[0].split("\n")
                lines[1:4] = [f'name = "paddle {i + 1}"', f"quantity = {share[i]}", f'length = "{length}"']
                lines[4] = f'loom = "{loom}"'
            out.append("\n".join(lines))
        return out, main, sorted(used) or [main]

    def shop(self) -> str:
        r = self.r
        lines = ['units = "in"', "", "[shop]"]
        lines.append(f'rip_kerf = "{r.choice(["1/8", "1/8", "3/32"])}"')
        lines.append('crosscut_kerf = "1/8"')
        if r.random() < self.f.resaw:
            lines.append(f'resaw_kerf = "{r.choice(["1/16", "1/16", "3/32"])}"')
        lines.append('edge = "1/8"')
        lines.append(f'board_end = "{r.choice(["1/2", "1", "1", "2"])}"')
        lines += ['dress = "1/64"', 'plane = "1/32"', 'straight = "1/16"', 'pair = "3/4"', 'pull = "1"', 'min_rip = "12"']
        if self.f.odd:
            unusual = {
                "crosscut_kerf": ["3/32", "3/16", "0"],
                "edge": ["0", "1/4", "1/2"],
                "board_end": ["0", "3", "5 5/8"],
                "dress": ["0", "1/32"],
                "plane": ["0", "1/16"],
                "straight": ["0", "1/32", "1/8", "1/4"],
                "pair": ["1/8", "1/4", "3/8", "2"],
                "pull": ["1/8", "1/4", "1/2"],
                "min_rip": ["0", "36", "40", "60"],
            }
            settings = dict(line.split(" = ") for line in lines[3:])
            for key, values in unusual.items():
                if r.random() < self.f.odd:
                    settings[key] = f'"{r.choice(values)}"'
            lines[3:] = [f"{key} = {value}" for key, value in settings.items()]
        if self.f.second:
            return "\n".join(lines + self.second())
        # Jobs of the first edition: far edges and a saw for curves make no difference.
        kerf = next(line for line in lines if line.startswith("rip_kerf")).split(" = ")[1]
        lines += ['far_edge = "0"', f"curve_kerf = {kerf}"]
        return "\n".join(lines)

    def second(self) -> list[str]:
        """Keys of the shop that the second edition has, each here or not."""
        r, f, lines = self.r, self.f, []
        if r.random() < 0.6:
            lines.append(f'far_edge = "{r.choice(["0", "1/16", "1/8", "1/4"])}"')
        if r.random() < f.saws:
            if r.random() < 0.75:
                lines.append(f'curve_kerf = "{r.choice(["1/16", "1/16", "3/64", "1/8", "3/16"])}"')
            if r.random() < 0.6:
                lines.append(f'curve_dress = "{r.choice(["1/32", "3/64", "1/16", "0"])}"')
            if r.random() < 0.6:
                lines.append(f'resaw_dress = "{r.choice(["1/32", "3/64", "1/16", "0"])}"')
        self.kept_clear = {}
        if r.random() < f.margins:
            for kind in ("knot", "check", "pitch"):
                if r.random() < 0.7:
                    along, across = r.choice(["1/4", "1/2", "1", "2"]), r.choice(["1/16", "1/8", "1/4"])
                    self.kept_clear[kind] = (along, across)
            lines.append("[shop.margin]")
            lines += [f'{kind} = {{ along = "{a}", across = "{c}" }}' for kind, (a, c) in self.kept_clear.items()]
        return lines

    def own(self) -> list[str]:
        """A board's own edge, far edge and end, and whether it is paid for."""
        r, f = self.r, self.f
        if not f.second:
            return []
        cells = [""] * 4
        if r.random() < f.own:
            for i, values in enumerate((["0", "1/16", "1/4"], ["0", "1/16", "1/4"], ["0", "1/8", "2"])):
                if r.random() < 0.6:
                    cells[i] = r.choice(values)
        if r.random() < f.offcuts:
            cells[3] = "yes"
        return cells

    # ---- boards --------------------------------------------------------------------------

    def board(self, i: int, species: str, priced: bool) -> list[str]:
        r, f = self.r, self.f
        long, wide = Fraction(r.choice(f.lengths)), Fraction(r.choice(f.widths))
        thick = Fraction(r.choice(f.thick))
        rings, across, depth = "", "", ""
        roll = r.random()
        if roll < f.pith:
            across, depth = text(Fraction(r.randint(0, int(wide * 4)), 4)), text(Fraction(r.randint(-4, 20), 4))
        elif roll < f.pith + f.unknown:
            pass
        else:
            rings = str(r.choice([0, 0, 10, 10, 15, 20, 30, 40, 45, 50, 60, 70, 80, 90, 90, "flat", "vertical"]))
        crook = bow = runout = price = ""
        if r.random() < f.bent:
            bends = [Fraction(r.choice([1, 2, 3, 4, 6]), 8) * r.choice([1, -1]) for _ in range(2)]
            which = r.random()
            if which < 0.65:
                crook = text(bends[0])
            if which > 0.35:
                bow = text(bends[1])
        if f.runout and r.random() < f.runout:
            runout = f"1:{r.choice([8, 12, 15, 20, 25])}"
        if priced:
            feet = float(long * wide * thick) / 144
            price = self.price(feet)
        count = r.randint(*f.zones)
        copies = 1
        if r.random() < f.alike:
            count, copies = 0, r.randint(*f.copies)
        name = f"B{i + 1:02d}"
        first = [name, species, text(long), text(wide), text(thick), rings, across, depth, crook, bow, runout, price, str(copies)]
        own = self.own()
        if own and own[3] and r.random() < 0.7:
            first[11] = ""  # what is paid for needs no price
        rows = [",".join(first + [""] * 5 + own)]
        for _ in range(count):
            rows.append(name + "," * 13 + ",".join(self.pin(self.zone(long, wide)) + [""] * len(own)))
        return rows

    def pin(self, zone: list[str]) -> list[str]:
        """The zone, or in its middle a mark of no size that has its margin alone."""
        r = self.r
        if not self.f.pins or zone[0] not in getattr(self, "kept_clear", {}) or "" in zone or r.random() >= self.f.pins:
            return zone
        which = r.choice([(1, 2), (3, 4), (1, 2, 3, 4)])
        for lo in (i for i in which if i in (1, 3)):
            zone[lo + 1] = zone[lo]
        return zone

    def price(self, feet: float) -> str:
        r = self.r
        match self.f.till:
            case "fine":
                return f"{feet * r.uniform(2.5, 9):.4f}"
            case "near":
                return f"{feet * 5 + r.randint(-40, 40) / 10_000:.4f}"
            case "dear":
                return f"99999999{r.randint(0, 9)}.{r.randint(0, 9999):04d}"
            case "ends":
                dear = ["1000000000", "1000000000", f"999999999.{r.randint(9990, 9999)}"]
                return r.choice([f"0.000{r.randint(1, 9)}", "0.0001", *dear, f"{feet * 5:.4f}"])
        return f"{feet * r.uniform(2.5, 9):.2f}"

    def zone(self, long: Fraction, wide: Fraction) -> list[str]:
        r = self.r
        roll = r.random()
        if roll < 0.13:
            return ["check", "0", text(self.eighth(2, 8)), "", ""]
        if roll < 0.30:
            strip = self.eighth(0.375, 1.25)
            if r.random() < 0.5:
                return ["sap", "", "", "0", text(strip)]
            return ["sap", "", "", text(wide - strip), ""]
        kind = "pitch" if roll < 0.5 else "knot"
        span, across = self.eighth(0.5, 3), self.eighth(0.375, 1.75)
        x = self.eighth(1, float(long - span) - 1)
        y = self.eighth(-0.5, float(wide - across) + 0.5)
        lo, hi = max(y, Fraction(0)), min(y + across, wide)
        if hi - lo < Fraction(1, 4):
            lo, hi = Fraction(0), across
        return [kind, text(x), text(x + span), text(lo), text(hi)]

    def job(self) -> tuple[str, str]:
        r, f = self.r, self.f
        paddles, main, wanted = self.paddles()
        shop = self.shop()
        priced = r.random() < f.priced
        rows = [HEADER + (OWN if f.second else "")]
        if f.equal:
            # Knots, grain, bends and species differ; the nominal size doesn't.
            one = {"lengths": (r.choice(f.lengths),), "widths": (r.choice(f.widths[2:]),), "thick": (r.choice(f.thick[3:]),)}
            self.f = f = replace(f, **one)
        for i in range(r.randint(*f.boards)):
            species = r.choice(wanted + [main])
            if r.random() < f.wrong:
                species = r.choice(SOFT)
            rows += self.board(i, species, priced)
        toml = shop + "\n\n" + "\n\n".join(paddles) + "\n"
        if f.tape:
            # The tape's jitter has a source of its own.
            tape, board, first = Tape(f.tape, random.Random(r.random())), {}, rows[0]
            rows = [first] + [",".join(tape.row(row.split(","), board)) for row in rows[1:]]
        if f.tape == "tenths":
            toml = in_millimetres(toml)
        if f.metric:
            rows = [rows[0]] + [",".join(metric(cell, i) for i, cell in enumerate(row.split(","))) for row in rows[1:]]
            toml = in_millimetres(toml)
        return "\n".join(rows) + "\n", toml


def make(flavour: str | Flavour, seed) -> tuple[str, str]:
    """boards.csv and paddles.toml of one job."""
    f = FLAVOURS[flavour] if isinstance(flavour, str) else flavour
    name = flavour if isinstance(flavour, str) else "own"
    # The same boards but for how they were measured.
    name = {"dozen-near": "dozen-tidy", "school-near": "school-tidy"}.get(name, name)
    return Maker(f, f"{name}/{seed}").job()


def write(flavour, seed, folder: Path) -> Path:
    """Writes one job into a folder."""
    boards, paddles = make(flavour, seed)
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "boards.csv").write_text(boards)
    (folder / "paddles.toml").write_text(paddles)
    return folder


def main() -> int:
    if sys.argv[1:] == ["--list"]:
        for name, f in FLAVOURS.items():
            print(name, f)
        return 0
    write(sys.argv[1], sys.argv[2], Path(sys.argv[3]))
    return 0


if __name__ == "__main__":
    sys.exit(main())
