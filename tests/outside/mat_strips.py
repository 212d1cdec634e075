"""Random roofs with holes, and the strips of mat that cover them and their returns, by a general-purpose geometry library.

Writes mat_strips.json, which tests/mat.rs reads. To make it anew:

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install shapely
    /tmp/venv/bin/python tests/outside/mat_strips.py

Sizes are whole millimetres. Made with shapely 2 (PyPI); the seed is fixed. The outlines are those of regions.py. The low
edge lies along y = 0. For strips along it and for strips up the fall: the rectangle round every part of the covered
surface that lies in each strip, as lowest x, lowest y, highest x, highest y.
"""

import json
import random
from pathlib import Path

import shapely
from regions import bay, crooked, ell, rectangle, you
from shapely.geometry import Polygon, box

ROOFS = 200
# Rules as they stand in jobs/firm.yaml.
ROLL, LAP, GAP = 1000, 50, 50
RETURN = {"drip": 0, "raised": 60, "wall": 100, "kerb": 150, "step": 300}


def holes(r, roof):
    """Up to two boxes inside the roof, well clear of its edges and of each other."""
    found = []
    x0, y0, x1, y1 = map(int, roof.bounds)
    for _ in range(r.randint(0, 3)):
        w, d = r.randint(200, 2000), r.randint(200, 2000)
        x, y = r.randint(x0, x1), r.randint(y0, y1)
        b = box(x, y, x + w, y + d)
        if len(found) < 2 and roof.buffer(-500).contains(b) and all(b.distance(o[0]) > 500 for o in found):
            found.append((b, r.choice(["kerb", "wall"])))
    return found


def outward(a, b):
    """The unit direction to the right of a -> b: off the roof, which is walked anticlockwise."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = (dx * dx + dy * dy) ** 0.5
    return dy / length, -dx / length


def band(a, b, width):
    """What is carried over the side a -> b."""
    nx, ny = outward(a, b)
    out = lambda p: (round(p[0] + nx * width), round(p[1] + ny * width))
    return Polygon([a, out(a), out(b), b])


def reach(sides, way):
    """How far the mat reaches: past every side that faces a way by its return, past a lone corner by both its bands."""
    level = lambda p: p[0] * way[0] + p[1] * way[1]
    ends = lambda s: sorted([level(s[0]), level(s[1])])
    askew = lambda s: max(int(((s[0][0] - s[1][0]) ** 2 + (s[0][1] - s[1][1]) ** 2) ** 0.5 + 0.5) // 100, 2)
    furthest = max(ends(s)[1] for s in sides)
    on_line = [furthest - ends(s)[0] <= askew(s) for s in sides]
    reached = furthest
    for s, on in zip(sides, on_line):
        faces = level(outward(s[0], s[1])) > 0
        if faces and ends(s)[1] - ends(s)[0] <= askew(s):
            reached = max(reached, (furthest if on else ends(s)[1]) + RETURN[s[2]])
    if not any(on_line):
        for s in sides:
            if ends(s)[1] >= furthest - 2 and RETURN[s[2]]:
                reached = max(reached, *(level(p) for p in band(s[0], s[1], RETURN[s[2]]).exterior.coords))
    return reached


def covered(sides, ring, hs):
    """The surface with its returns; the middle of a hole that no return reaches stays bare."""
    area = shapely.union_all([Polygon(ring)] + [band(*s[:2], RETURN[s[2]]) for s in sides if RETURN[s[2]]])
    for b, finish in hs:
        x0, y0, x1, y1 = b.bounds
        up = RETURN[finish]
        if x1 - x0 > 2 * up and y1 - y0 > 2 * up:
            area = area.difference(box(x0 + up, y0 + up, x1 - up, y1 - up))
    limits = [-reach(sides, (-1, 0)), -reach(sides, (0, -1)), reach(sides, (1, 0)), reach(sides, (0, 1))]
    return area.intersection(box(*limits))


def strips(area):
    """Parts of every strip along x, the lowest first."""
    x0, low, x1, high = map(round, area.bounds)
    count = max(-(-(high - low - LAP) // (ROLL - LAP)), 1)
    lies = [(low + k * (ROLL - LAP), min(low + k * (ROLL - LAP) + ROLL, high)) for k in range(count)]
    out = []
    for k, (a, b) in enumerate(lies):
        inside = area.intersection(box(x0, a, x1, b))
        parts = [list(p.bounds) for p in getattr(inside, "geoms", [inside]) if p.area > 0]
        # What lies in a lap alone is left to the strip beside.
        parts = [p for p in parts if not (k > 0 and p[3] <= lies[k - 1][1])]
        parts = [p for p in parts if not (k + 1 < count and p[1] >= lies[k + 1][0])]
        merged = []
        for p in sorted(parts):
            if merged and p[0] <= merged[-1][2] + GAP:
                m = merged[-1]
                merged[-1] = [min(m[0], p[0]), min(m[1], p[1]), max(m[2], p[2]), max(m[3], p[3])]
            else:
                merged.append(p)
        out.append([[round(v) for v in p] for p in merged])
    return out


def turned(area):
    """The same seen from the left: what lay along y lies along x."""
    return shapely.transform(area, lambda xy: xy[:, ::-1])


def main():
    r = random.Random(20261126)
    out = []
    for n in range(ROOFS):
        ring = [rectangle, ell, you, bay, crooked][n % 5](r)
        if n % 5 == 4:
            ring[1] = (ring[1][0], 0)
        finishes = ["drip"] + [r.choice(["raised", "wall", "drip", "step"]) for _ in ring[1:]]
        sides = [(ring[i], ring[(i + 1) % len(ring)], finishes[i]) for i in range(len(ring))]
        hs = holes(r, Polygon(ring))
        area = covered(sides, ring, hs)
        out.append({
            "ring": ring,
            "finishes": finishes,
            "holes": [list(map(int, b.bounds)) + [f] for b, f in hs],
            "along": strips(area),
            "up": strips(turned(area)),
        })
    text = "[\n" + ",\n".join(json.dumps(o, separators=(",", ":")) for o in out) + "\n]\n"
    Path(__file__).with_name("mat_strips.json").write_text(text)


if __name__ == "__main__":
    main()
