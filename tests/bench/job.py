"""Reads a job (boards.csv and paddles.toml) for the checker and the exact solver.

Lengths are integers of 1/80 micrometre (an inch is 2,032,000); what is spelled more finely is
rounded to the nearest, half of the blades' length up. Shares no code with
stripwright; a job that is not well formed raises ValueError.
"""

from __future__ import annotations

import csv
import io
import re
import tomllib
from dataclasses import dataclass, field
from decimal import Decimal, getcontext
from fractions import Fraction
from math import ceil, floor
from pathlib import Path

INCH = 2_032_000
MM = 80_000
getcontext().prec = 60

_SUFFIX = {'"': INCH, "in": INCH, "'": 12 * INCH, "ft": 12 * INCH, "mm": MM, "cm": 10 * MM, "m": 1000 * MM}


def length(text, units: str) -> int:
    """A length in 1/80 micrometre, rounded to the nearest; a bare number is in `units`."""
    s = str(text).strip().lower().replace("”", '"').replace("’", "'")
    sign = 1
    if s.startswith("-"):
        sign, s = -1, s[1:].strip()
    total, found = Fraction(0), False
    part = re.compile(
        r"\s*(?:(\d+)[\s-]+(\d+)/(\d+)|(\d+)/(\d+)|(\d+(?:\.\d*)?|\.\d+))\s*(mm|cm|m|in|ft|\"|')?"
    )
    at = 0
    while at < len(s):
        m = part.match(s, at)
        if not m:
            raise ValueError(f"not a length: {text!r}")
        whole, num, den, num2, den2, dec, suffix = m.groups()
        if whole:
            v = Fraction(int(whole)) + Fraction(int(num), int(den))
        elif num2:
            v = Fraction(int(num2), int(den2))
        else:
            v = Fraction(dec)
        total += v * _SUFFIX[suffix or units]
        found, at = True, m.end()
    if not found:
        raise ValueError(f"not a length: {text!r}")
    return sign * floor(total + Fraction(1, 2))


def slope(text) -> Fraction | None:
    """Slope of grain, `1:15` or `1/15`."""
    if text is None or not str(text).strip():
        return None
    a, b = re.split(r"[:/]", str(text).strip())
    return Fraction(a.strip()) / Fraction(b.strip())


def tangent(degrees: Fraction) -> Fraction | None:
    """tan of an angle, to 50 digits; None at 90 degrees."""
    if degrees == 90:
        return None
    if degrees == 45:
        return Fraction(1)
    if degrees == 0:
        return Fraction(0)
    # pi to 60 digits
    pi = Decimal("3.14159265358979323846264338327950288419716939937510582097494")
    x = Decimal(degrees.numerator) / Decimal(degrees.denominator) * pi / 180

    def series(first: Decimal, k: int) -> Decimal:
        term, total = first, first
        while abs(term) > Decimal(10) ** -58:
            term = -term * x * x / ((k + 1) * (k + 2))
            k += 2
            total += term
        return total

    return Fraction(series(x, 1) / series(Decimal(1), 0))


@dataclass
class Zone:
    kind: str
    x0: int
    x1: int
    y0: int
    y1: int


@dataclass
class Board:
    name: str
    species: str
    length: int
    width: int
    thickness: int
    rings: Fraction | None = None
    pith: tuple[int, int] | None = None
    crook: int = 0
    bow: int = 0
    runout: Fraction | None = None
    price: Fraction | None = None
    quantity: int = 1
    edge: int | None = None  # its own allowances; None leaves them to the shop
    far_edge: int | None = None
    board_end: int | None = None
    offcut: bool = False
    zones: list[Zone] = field(default_factory=list)  # grown by their margins


@dataclass
class Kind:
    """The strips of one lamination of one kind of paddle."""

    paddle: str
    name: str
    t: int  # rough: beside a straight edge, or turned as the only leaf of its rip
    t_curve: int  # upright beside a curved edge
    t_resaw: int  # turned in a rip of two or more leaves
    depth: int
    length: int
    demand: int
    centre: bool
    species: frozenset[str] | None
    allow: frozenset[str]
    rings: Fraction
    runout: Fraction | None


@dataclass
class Shop:
    units: str
    rip_kerf: int
    crosscut_kerf: int
    resaw_kerf: int | None
    curve_kerf: int | None
    edge: int
    far_edge: int
    board_end: int
    dress: int
    plane: int
    straight: int
    pair: int
    pull: int
    min_rip: int
    margins: dict[str, tuple[int, int]] = field(default_factory=dict)  # along, across, by kind of zone

    def edges(self, b: Board) -> tuple[int, int, int]:
        """What a board loses at its reference edge, at its far edge and at each end."""
        own = lambda mine, shops: shops if mine is None else mine
        return own(b.edge, self.edge), own(b.far_edge, self.far_edge), own(b.board_end, self.board_end)


@dataclass
class Job:
    shop: Shop
    boards: list[Board]
    kinds: list[Kind]

    @property
    def measure(self) -> str:
        return "price" if all(b.price is not None for b in self.boards if not b.offcut) else "board feet"

    def cost(self, b: Board) -> Fraction:
        """What opening the board costs, in the job's measure."""
        if b.offcut:
            return Fraction(0)
        if self.measure == "price":
            return b.price
        return Fraction(b.length * b.width * b.thickness, 144 * INCH**3)


def _rings(text: str) -> Fraction | None:
    text = text.strip().lower()
    if not text:
        return None
    named = {"flat": Fraction(0), "rift": Fraction(45), "vertical": Fraction(90)}
    return named[text] if text in named else Fraction(text)


def read(boards_csv: Path, paddles_toml: Path) -> Job:
    """Reads the two files of a job."""
    doc = tomllib.loads(Path(paddles_toml).read_text(encoding="utf-8-sig"))
    units = doc.get("units", "in")
    s = doc.get("shop", {})
    get = lambda key, default: length(s.get(key, default), units)
    inch = lambda text: text + '"'
    shop = Shop(
        units=units,
        rip_kerf=get("rip_kerf", inch("1/8")),
        crosscut_kerf=get("crosscut_kerf", inch("1/8")),
        resaw_kerf=length(s["resaw_kerf"], units) if "resaw_kerf" in s else None,
        curve_kerf=length(s["curve_kerf"], units) if "curve_kerf" in s else None,
        edge=get("edge", inch("1/8")),
        far_edge=get("far_edge", inch("1/8")),
        board_end=get("board_end", inch("1")),
        dress=get("dress", inch("1/64")),
        plane=get("plane", inch("1/32")),
        straight=get("straight", inch("1/16")),
        pair=get("pair", inch("3/4")),
        pull=get("pull", inch("1")),
        min_rip=get("min_rip", inch("12")),
        margins={
            kind.strip().lower(): (length(m.get("along", 0), units), length(m.get("across", 0), units))
            for kind, m in s.get("margin", {}).items()
        },
    )
    curve_dress = length(s["curve_dress"], units) if "curve_dress" in s else shop.dress
    resaw_dress = length(s["resaw_dress"], units) if "resaw_dress" in s else shop.dress
    kinds = []
    for p in doc["paddle"]:
        n = int(p.get("quantity", 1))
        trim = length(p.get("trim", inch("3/8")), units)
        whole, loom = length(p["length"], units), length(p["loom"], units)
        for lam in p["lamination"]:
            through, centre = lam["runs"] == "through", bool(lam.get("centre", False))
            if through:
                long = whole + 2 * trim
            else:
                long = ceil(Fraction(whole - loom, 2)) + trim
            thick = length(lam["thickness"], units)
            kinds.append(
                Kind(
                    paddle=p["name"],
                    name=lam["name"],
                    t=thick + 2 * shop.dress,
                    t_curve=thick + 2 * curve_dress,
                    t_resaw=thick + 2 * resaw_dress,
                    depth=length(p["thickness"], units) + 2 * shop.plane,
                    length=long,
                    demand=n * (1 if centre else 2 if through else 4),
                    centre=centre,
                    species=frozenset(x.strip().lower() for x in lam["species"]) if "species" in lam else None,
                    allow=frozenset(x.strip().lower() for x in lam.get("allow", [])),
                    rings=Fraction(str(p.get("rings", 45))),
                    runout=slope(p.get("runout")),
                )
            )
    boards: dict[str, Board] = {}
    rows = csv.DictReader(io.StringIO(Path(boards_csv).read_text(encoding="utf-8-sig")))
    for raw in rows:
        row = {(k or "").strip().lower(): (v or "").strip() for k, v in raw.items() if isinstance(v, (str, type(None)))}
        name = row.get("board", "")
        if not name:
            continue
        if name not in boards:
            g = row.get
            pith = None
            if g("pith_across"):
                pith = (length(row["pith_across"], units), length(row["pith_depth"], units))
            boards[name] = Board(
                name=name,
                species=row["species"].lower(),
                length=length(row["length"], units),
                width=length(row["width"], units),
                thickness=length(row["thickness"], units),
                rings=_rings(g("rings", "")),
                pith=pith,
                crook=length(g("crook") or "0", units),
                bow=length(g("bow") or "0", units),
                runout=slope(g("runout")),
                price=Fraction(row["price"]) if g("price") else None,
                quantity=int(g("quantity") or 1),
                edge=length(row["edge"], units) if g("edge") else None,
                far_edge=length(row["far_edge"], units) if g("far_edge") else None,
                board_end=length(row["board_end"], units) if g("board_end") else None,
                offcut=g("offcut", "").lower() == "yes",
            )
        b = boards[name]
        if row.get("zone"):
            at = lambda key, default: length(row[key], units) if row.get(key) else default
            kind = row["zone"].lower()
            along, across = shop.margins.get(kind, (0, 0))
            zone = Zone(
                kind,
                at("from", 0) - along,
                at("to", b.length) + along,
                at("near", 0) - across,
                at("far", b.width) + across,
            )
            if zone.x0 >= zone.x1 or zone.y0 >= zone.y1:
                raise ValueError(f"a {kind} of no size and without a margin on {name}")
            b.zones.append(zone)
    return Job(shop, list(boards.values()), kinds)


def least_price_unit(costs: list[Fraction]) -> tuple[list[int], Fraction]:
    """Costs as whole multiples of the largest common part, and that part."""
    from math import gcd, lcm

    den = lcm(*(c.denominator for c in costs)) if costs else 1
    ints = [int(c * den) for c in costs]
    g = 0
    for i in ints:
        g = gcd(g, i)
    g = g or 1
    return [i // g for i in ints], Fraction(g, den)


def down(x) -> int:
    return floor(x)


def up(x) -> int:
    return ceil(x)
