"""The worked examples again, by other roads, for tests/warm_roof.rs, tests/water.rs and tests/programme.rs.

Standard library only. Each answer is reached without the closed formula that the program uses: U-values as networks of
resistances, solved exactly in fractions; the half-circle of a gutter as a sum of strips; dew points by halving an interval
of the vapour pressure curve; gel times by multiplying with the tenth root of two, one degree after the other; catalyst by
the thousandth of a millilitre whose mass is nearest, held from both sides.

    python3 tests/outside/worked.py > tests/outside/worked.json
"""

import json
import math
from fractions import Fraction as F


def solve(rows, right):
    """Gauss, in fractions."""
    n = len(rows)
    table = [row + [value] for row, value in zip(rows, right)]
    for i in range(n):
        pivot = next(k for k in range(i, n) if table[k][i] != 0)
        table[i], table[pivot] = table[pivot], table[i]
        table[i] = [v / table[i][i] for v in table[i]]
        for k in range(n):
            if k != i and table[k][i] != 0:
                table[k] = [a - table[k][i] * b for a, b in zip(table[k], table[i])]
    return [row[-1] for row in table]


def resistance(joins, nodes):
    """Between node 0 and the last: joins are (node, node, conductance); one watt is sent through."""
    rows = [[F(0)] * (nodes - 1) for _ in range(nodes - 1)]
    for a, b, g in joins:
        for x, y in ((a, b), (b, a)):
            if x < nodes - 1:
                rows[x][x] += g
                if y < nodes - 1:
                    rows[x][y] -= g
    return solve(rows, [F(1)] + [F(0)] * (nodes - 2))[0]


def chain(parts):
    return resistance([(i, i + 1, 1 / r) for i, r in enumerate(parts)], len(parts) + 1)


def u_value(inside, layers, outside, timber=F(0)):
    """`layers`: (beside the timber, through the timber). Upper limit, lower limit, U."""
    clear = chain([inside] + [a for a, _ in layers] + [outside])
    wood = chain([inside] + [b for _, b in layers] + [outside])
    upper = resistance([(0, 1, (1 - timber) / clear), (0, 1, timber / wood)], 2)
    joins = [(0, 1, 1 / inside)]
    for i, (a, b) in enumerate(layers, 1):
        joins += [(i, i + 1, (1 - timber) / a), (i, i + 1, timber / b)]
    joins.append((len(layers) + 1, len(layers) + 2, 1 / outside))
    lower = resistance(joins, len(layers) + 3)
    return {"upper": float(upper), "lower": float(lower), "u": float(2 / (upper + lower))}


def sheet(mm, conductivity, timber=None):
    r = F(mm) / 1000 / F(conductivity)
    return (r, r if timber is None else F(mm) / 1000 / F(timber))


def warm(foam, laminate="3"):
    air = (F("0.16"), F("0.16"))
    layers = [sheet("12.5", "0.21"), air, sheet("18", "0.13"), sheet(foam, "0.022"), sheet("18", "0.13")]
    return u_value(F("0.10"), layers + [sheet(laminate, "0.25")], F("0.04"))


def hybrid(laminate="3"):
    layers = [sheet("12.5", "0.21"), sheet("100", "0.038", "0.13"), sheet("18", "0.13"), sheet("100", "0.022")]
    layers += [sheet("18", "0.13"), sheet(laminate, "0.25")]
    return u_value(F("0.10"), layers, F("0.04"), F(47, 400))


def framed_wall():
    layers = [sheet("102", "0.77"), (F("0.18"), F("0.18")), sheet("12", "0.13"), sheet("140", "0.038", "0.13")]
    return u_value(F("0.13"), layers + [sheet("12.5", "0.25")], F("0.04"), F("0.15"))


def gutter(size):
    """0.9 × 2.78e-5 × area^1.25, the area as a hundred thousand strips, the power by two square roots."""
    radius, strips = size / 2, 100_000
    area = sum(
        2 * math.sqrt(radius**2 - ((i + 0.5) * radius / strips) ** 2) * radius / strips for i in range(strips)
    )
    return {"size": size, "flow": 0.9 * 2.78e-5 * area * math.sqrt(math.sqrt(area))}


def run_off(width, depth, wall):
    """Rain of 0.021 l/s on each square metre of roof, and on half of the wall, millimetre by millimetre of depth."""
    return sum(width / 1000 * 0.001 * 0.021 for _ in range(depth)) + wall / 2 * 0.021


def outlet(diameter, head):
    """Weir up to half the diameter, orifice above (BS EN 12056-3, from memory), the root by Newton."""
    root = 1.0
    for _ in range(60):
        root = (root + head / root) / 2
    return diameter * head * root / 7500 if 2 * head <= diameter else diameter**2 * root / 15000


def pressure(t):
    return 6.112 * math.exp(17.62 * t / (243.12 + t))


def dew_point(air, humidity):
    """Where saturated air holds what this air holds."""
    low, high = -40.0, float(air)
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if pressure(middle) < humidity / 100 * pressure(air) else (low, middle)
    return (low + high) / 2


def gel_time(temperature):
    """Twenty minutes at 20 °C, twice as long for every ten degrees colder: degree by degree."""
    low, high = 1.0, 2.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if middle**10 < 2 else (low, middle)
    minutes = 20.0
    for _ in range(abs(20 - temperature)):
        minutes = minutes * low if temperature < 20 else minutes / low
    return minutes


def catalyst(kg, percent, density):
    """Whole thousandths of a millilitre: half a drop less is too light, half a drop more is not."""
    grams, drop, drops = F(kg) * 1000 * F(percent) / 100, F(density) / 1000, 0
    drops = math.ceil(grams / drop - F(1, 2))
    assert (drops - F(1, 2)) * drop < grams <= (drops + F(1, 2)) * drop
    return drops / 1000


print(json.dumps({
    "warm": [{"foam": foam, **warm(foam)} for foam in ("100", "120", "130", "140", "150")],
    "warm_as_laid": [{"foam": foam, **warm(foam, "1.301")} for foam in ("120", "140")],
    "hybrid": hybrid(),
    "hybrid_as_laid": hybrid("1.301"),
    "framed_wall": framed_wall(),
    "gutters": [gutter(size) for size in (75, 100, 112, 115, 125, 150)],
    "run_off": {"roof": run_off(6000, 3000, 0), "with_wall": run_off(6000, 3000, 15.6)},
    "outlets": [{"diameter": d, "head": h, "flow": outlet(d, h)} for d, h in ((75, 35), (100, 60), (65, 25))],
    "dew_points": [
        {"air": t, "humidity": h, "dew_point": dew_point(t, h)}
        for t, h in ((5, 90), (10, 80), (12, 85), (15, 70), (20, 50), (20, 60), (20, 80), (30, 40))
    ],
    "gel_times": [{"temperature": t, "minutes": gel_time(t)} for t in (5, 8, 10, 15, 20, 25, 30)],
    "catalyst": [
        {"kg": kg, "percent": percent, "density": density, "ml": catalyst(kg, percent, density)}
        for kg, percent in (("1", "2"), ("5", "1.5"), ("10", "1"), ("10", "2"), ("20", "2"), ("25", "1"))
        for density in ("1.10", "1.13", "1.15", "1.18")
    ],
}, indent=1))
