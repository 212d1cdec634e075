"""Gutter and outlet flows worked again with mpmath (PyPI), for tests/water.rs.

The equations are those of BS EN 12056-3, from memory; what is independent here is the arithmetic: fifty digits, general
powers, and the half-circle's area by numerical integration instead of a formula.

    python3 -m venv venv && venv/bin/pip install mpmath && venv/bin/python tests/outside/water.py > tests/outside/water.json
"""

import json

from mpmath import mp, mpf, power, quad, sqrt

mp.dps = 50


def half_circle(size):
    radius = mpf(size) / 2
    return quad(lambda x: sqrt(radius**2 - x**2), [-radius, 0, radius])


def gutter(size):
    area = half_circle(size)
    return {"size": size, "area": float(area), "flow": float(mpf("0.9") * mpf("2.78e-5") * power(area, mpf("1.25")))}


def box(area, depth_factor, shape_factor):
    nominal = mpf("3.48e-5") * power(mpf(area), mpf("1.25")) * mpf(depth_factor) * mpf(shape_factor)
    return {"area": area, "fd": depth_factor, "fs": shape_factor, "flow": float(mpf("0.9") * nominal)}


def outlet(diameter, head):
    weir = mpf(diameter) * power(mpf(head), mpf("1.5")) / 7500
    orifice = mpf(diameter) ** 2 * power(mpf(head), mpf("0.5")) / 15000
    # The smaller of the two at any depth: they meet at half the diameter.
    return {"diameter": diameter, "head": head, "flow": float(min(weir, orifice))}


vectors = {
    "half_round": [gutter(size) for size in (75, 76, 100, 112, 115, 125, 150, 170, 200)],
    "box": [box(area, fd, fs) for area, fd, fs in ((4200, "0.9", "1"), (5600, "1", "1"), (7810, "0.95", "0.97"), (22500, "1", "1"))],
    "outlets": [outlet(d, h) for d in (50, 63, 65, 75, 89, 100) for h in range(5, 101, 5)],
}
print(json.dumps(vectors, indent=1))
