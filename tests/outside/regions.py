"""Random roofs with holes, their areas and the areas of boards laid over them, by a general-purpose geometry library.

Writes regions.json, which tests/shape.rs reads. To make it anew:

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install shapely
    /tmp/venv/bin/python tests/outside/regions.py

Sizes are whole millimetres. Made with shapely 2 (PyPI); the seed is fixed.
"""

import json
import math
import random
from pathlib import Path

import shapely
from shapely.geometry import Polygon, box

ROOFS = 200


def rectangle(r):
    return [(0, 0), (w := r.randint(600, 20000), 0), (w, d := r.randint(600, 12000)), (0, d)]


def ell(r):
    w, d = r.randint(2000, 20000), r.randint(2000, 12000)
    a, b = r.randint(500, w - 500), r.randint(500, d - 500)
    return [(0, 0), (w, 0), (w, b), (a, b), (a, d), (0, d)]


def you(r):
    w, d = r.randint(3000, 20000), r.randint(2000, 12000)
    a, b = r.randint(500, w // 2 - 300), r.randint(w // 2 + 300, w - 500)
    c = r.randint(500, d - 500)
    return [(0, 0), (w, 0), (w, d), (b, d), (b, c), (a, c), (a, d), (0, d)]


def bay(r):
    w, d, k = r.randint(3000, 12000), r.randint(2000, 6000), r.randint(300, 1200)
    return [(0, 0), (w, 0), (w, d), (w - k, d + k), (k, d + k), (0, d)]


def crooked(r):
    w, d = r.randint(1500, 15000), r.randint(1500, 9000)
    j = lambda: r.randint(-200, 200)
    return [(0, 0), (w, j()), (w + j(), d + j()), (j(), d)]


def holes(r, roof):
    """Up to three boxes inside the roof, clear of each other."""
    found = []
    x0, y0, x1, y1 = map(int, roof.bounds)
    for _ in range(r.randint(0, 3)):
        w, d = r.randint(100, 1500), r.randint(100, 1500)
        x, y = r.randint(x0, x1), r.randint(y0, y1)
        b = box(x, y, x + w, y + d)
        if roof.buffer(-50).contains(b) and all(b.distance(o) > 50 for o in found):
            found.append(b)
    return found


def boards(r, roof):
    """Some boxes laid over the roof, as boards would be."""
    x0, y0, x1, y1 = map(int, roof.bounds)
    for _ in range(6):
        w, d = r.randint(200, 2400), r.randint(100, 1200)
        x, y = r.randint(x0 - 500, x1), r.randint(y0 - 500, y1)
        yield [x, y, x + w, y + d]


def main():
    r = random.Random(20261125)
    out = []
    for n in range(ROOFS):
        ring = [rectangle, ell, you, bay, crooked][n % 5](r)
        roof = Polygon(ring)
        assert roof.is_valid
        hs = holes(r, roof)
        net = roof.difference(shapely.union_all(hs)) if hs else roof
        cuts = [{"box": b, "area": net.intersection(box(*b)).area} for b in boards(r, roof)]
        out.append({
            "ring": ring,
            "holes": [list(map(int, h.bounds)) for h in hs],
            "area": net.area,
            "boards": cuts,
        })
        assert math.isfinite(net.area)
    text = "[\n" + ",\n".join(json.dumps(o) for o in out) + "\n]\n"
    Path(__file__).with_name("regions.json").write_text(text)


if __name__ == "__main__":
    main()
