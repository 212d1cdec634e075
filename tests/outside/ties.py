"""Tied walks solved again with scipy's least_squares (PyPI), for tests/ties.rs.

Random outlines are measured side by side and from corner to corner with a tape that errs half as much as it is trusted to,
some of their turns with an instrument that errs. The corners to which all of it fits best are found by a general-purpose
solver: trust region reflective, slopes by differences, from the true shape. A taped length is taken to be true to 2 mm at a
metre, and errs by the root of its length; a turn to half a degree: the defaults of `tape_spread` and `turn_spread`.

    python3 -m venv venv && venv/bin/pip install scipy && venv/bin/python tests/outside/ties.py
"""

import json
import math
import random
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

CASES = 60
TAPE, TURN = 2.0, math.radians(0.5)


def outline(r):
    w, d = r.randint(2500, 9000), r.randint(2000, 6000)
    a, b = r.randint(w // 4, w // 2), r.randint(d // 4, d // 2)
    square = r.choice([
        [(0, 0), (w, 0), (w, d), (0, d)],
        [(0, 0), (a, 0), (a, b), (w, b), (w, d), (0, d)],
        [(0, 0), (w, 0), (w, d), (a, d), (a, b), (0, b)],
        [(0, 0), (a // 2, 0), (a // 2, -b), (w - a // 2, -b), (w - a // 2, 0), (w, 0), (w, d), (0, d)],
        [(a, 0), (w - a // 2, 0), (w, b), (w, d), (0, d), (0, b)],
    ])
    out = min(w, d) // 12
    return [(x + r.randint(-out, out), y + r.randint(-out, out)) for x, y in square]


def distance(p, a, b):
    return math.hypot(p[a][0] - p[b][0], p[a][1] - p[b][1])


def turn(p, i):
    n = len(p)
    (ax, ay), (bx, by), (cx, cy) = p[i - 1], p[i], p[(i + 1) % n]
    u, v = (bx - ax, by - ay), (cx - bx, cy - by)
    return math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])


def spread(mm):
    return TAPE * math.sqrt(mm / 1000)


def placed(x):
    return [(0.0, 0.0), (x[0], 0.0)] + [(x[i], x[i + 1]) for i in range(1, len(x), 2)]


def case(r):
    true = outline(r)
    n = len(true)
    apart = [(a, b) for a in range(n) for b in range(a + 2, n) if (a, b) != (0, n - 1)]
    ties = r.sample(apart, r.randint(min(len(apart), n - 3), len(apart)))
    pairs = [(i, (i + 1) % n) for i in range(n)] + ties
    taped = [round(r.gauss(distance(true, a, b), spread(distance(true, a, b)) / 2)) for a, b in pairs]
    seen = {i: round(math.degrees(r.gauss(turn(true, i), TURN)), 1) for i in range(1, n) if r.random() < 0.25}

    def residuals(x):
        p = placed(x)
        lengths = [(distance(p, a, b) - m) / spread(m) for (a, b), m in zip(pairs, taped)]
        turns = [((turn(p, i) - math.radians(m) + math.pi) % (2 * math.pi) - math.pi) / TURN for i, m in seen.items()]
        return lengths + turns

    (x0, y0), (x1, y1) = true[0], true[1]
    far = math.hypot(x1 - x0, y1 - y0)
    c, s = (x1 - x0) / far, (y1 - y0) / far
    start = [((x - x0) * c + (y - y0) * s, (y - y0) * c - (x - x0) * s) for x, y in true]
    begin = [start[1][0]] + [v for p in start[2:] for v in p]
    found = least_squares(residuals, begin, xtol=1e-14, ftol=1e-14, gtol=1e-14)
    slopes = found.jac
    # Left out where the measurements hardly fix the shape: every distance must be known about as well as it is taped.
    if np.linalg.svd(slopes, compute_uv=False)[-1] < 0.03:
        return None
    moved = [f * spread(m) for f, m in zip(found.fun, taped)]
    turned = [abs(f) for f in found.fun[len(taped):]]
    if max(map(abs, moved)) > 9 or max(turned, default=0) > 2.8:
        return None
    legs = []
    for i in range(n):
        nominal = "left" if turn(true, i) > 0 else "right"
        said = seen.get(i)
        word = nominal if said is None else f"{'left' if said > 0 else 'right'} {abs(said)}"
        legs.append({"turn": word if i else None, "go": taped[i]})
    return {
        "legs": legs,
        "ties": [{"from": a, "to": b, "is": m} for (a, b), m in zip(ties, taped[n:])],
        "corners": [[round(v, 3) for v in p] for p in placed(found.x)],
        "moved": [round(m, 3) for m in moved],
    }


def main():
    r = random.Random(20261127)
    out = []
    while len(out) < CASES:
        one = case(r)
        if one:
            out.append(one)
    text = "[\n" + ",\n".join(json.dumps(o) for o in out) + "\n]\n"
    Path(__file__).with_name("ties.json").write_text(text)


if __name__ == "__main__":
    main()
