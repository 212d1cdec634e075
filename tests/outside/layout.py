"""Checks a layout from its JSON alone: tiling, laps, order, cuts, corners.

    python3 -m venv /tmp/outside && /tmp/outside/bin/pip install jsonschema==4.26.0 shapely==2.2.0
    wetout takeoff JOB --json > JOB.json
    /tmp/outside/bin/python tests/outside/layout.py JOB.json …
    /tmp/outside/bin/python tests/outside/layout.py --prove JOB.json …

It shares no code with the program: form is judged by PyPI `jsonschema` against src/cli/takeoff.schema.json, geometry by
PyPI `shapely`. With `--prove` each file is broken in every way that `BREAKS` knows, and each break must be found in one
file at least. `.ci/run` does both.
"""

import copy
import json
import math
import sys
from collections import Counter
from pathlib import Path

import jsonschema
from shapely.geometry import LineString, MultiLineString, Point, Polygon, box
from shapely.ops import unary_union

SCHEMA = json.loads((Path(__file__).parents[2] / "src/cli/takeoff.schema.json").read_text())
FORM = jsonschema.Draft202012Validator(SCHEMA)
TRIMMED = ("drip", "raised", "wall", "kerb")
ROUNDED = 3  # mm: points are rounded to whole millimetres


def region(rings):
    """A piece: its outline, less what is cut out of it (a ring may also be another part)."""
    whole = Polygon()
    for ring in rings:
        whole = whole.symmetric_difference(Polygon(ring).buffer(0))
    return whole


def length(a, b):
    return math.dist(a, b)


def surface(roof):
    return Polygon(roof["outline"]).difference(unary_union([Polygon(h["ring"]) for h in roof["holes"]]))


def up(roof, a, b):
    """How far b lies above a, along the fall."""
    return (b[0] - a[0]) * roof["uphill"][0] + (b[1] - a[1]) * roof["uphill"][1]


def checked(job):
    faults = [f"form: {'/'.join(map(str, e.absolute_path))}: {e.message[:90]}" for e in FORM.iter_errors(job)]
    if faults:
        return faults
    layout = job["layout"]
    for roof in layout["roofs"]:
        for name, deck in decks(roof):
            faults += [f"{roof['name']}, {name}: {f}" for f in check_deck(roof, deck, layout["rules"], name)]
        faults += [f"{roof['name']}, mat: {f}" for f in check_mat(roof, layout["rules"])]
        faults += [f"{roof['name']}, mat: {f}" for f in check_returns(roof)]
        faults += [f"{roof['name']}, corners: {f}" for f in check_corners(roof)]
        faults += [f"{roof['name']}, firrings: {f}" for f in check_firrings(roof, layout["rules"])]
        faults += [f"{roof['name']}, bandage: {f}" for f in check_bandage(roof, layout)]
        faults += [f"{roof['name']}: {f}" for f in check_parapets(roof, layout)]
        faults += [f"{roof['name']}, box gutter: {f}" for g in roof["box_gutters"] for f in check_box_gutter(roof, g, layout)]
        faults += [f"{roof['name']}, ways out: {f}" for f in check_ways_out(roof)]
    for roof in layout["old_roofs"]:
        faults += [f"{roof['name']}, patches: {f}" for f in check_patches(roof, layout["rules"])]
    faults += [f"trims: {f}" for f in check_trims(layout)]
    faults += [f"told: {f}" for f in check_told(job)]
    faults += [f"rolls: {f}" for f in check_rolls(layout)]
    return faults


# ---- Boards ------------------------------------------------------------------------------------------------------


def decks(roof):
    """The layers of boards: the deck, insulation, and the board over it."""
    over = roof["over_deck"] or {}
    layers = [("deck", roof["deck"]), ("insulation", over.get("insulation")), ("overlay", over.get("overlay"))]
    return [(name, layer) for name, layer in layers if layer]


def check_deck(roof, deck, rules, name):
    """Tiling: no piece on another, none off the roof, nothing bare but the gaps at walls and pipes."""
    parts = [region(p["rings"]) for p in deck["pieces"]]
    whole = unary_union(parts)
    if sum(p.area for p in parts) - whole.area > 1:
        yield f"pieces lie on one another, {sum(p.area for p in parts) - whole.area:.0f} mm2"
    if whole.difference(surface(roof).buffer(ROUNDED)).area > 1:
        yield "a piece lies off the roof"
    walls = [LineString([s["from"], s["to"]]) for s in roof["sides"] if s["finish"] == "wall"]
    walls += [Polygon(h["ring"]).exterior for h in roof["holes"] if h["finish"] == "wall"]
    pipes = [Polygon(h["ring"]).exterior for h in roof["holes"] if h["round"]]
    gaps = [w.buffer(rules["wall_gap"] + ROUNDED, join_style="mitre") for w in walls]
    gaps += [p.buffer(rules["pipe_gap"] + ROUNDED, join_style="mitre") for p in pipes]
    bare = surface(roof).difference(unary_union(gaps)).difference(whole.buffer(0.5))
    if bare.buffer(-ROUNDED).area > 1:
        yield f"{bare.area:.0f} mm2 of it are bare"
    yield from check_boards(deck, parts)
    if name != "insulation":
        yield from check_joints(deck, name)


def check_boards(deck, parts):
    """Every piece comes out of the rectangle that is told, and the rectangles of one board lie beside one another."""
    marks = Counter(p["mark"] for p in deck["pieces"])
    yield from (f"{m} is marked twice" for m, n in marks.items() if n > 1)
    boards = {}
    for piece, part in zip(deck["pieces"], parts):
        x0, y0, x1, y1 = part.bounds
        along, across = (x1 - x0, y1 - y0) if deck["along_x"] else (y1 - y0, x1 - x0)
        if along > piece["length"] + 1 or across > piece["width"] + 1:
            yield f"{piece['mark']} is {along:.0f} x {across:.0f}, cut from {piece['length']} x {piece['width']}"
        if piece["board"] >= deck["boards"]:
            yield f"{piece['mark']} is cut from board {piece['board']} of {deck['boards']}"
        if "on_board" in piece:
            x, y = piece["on_board"]
            cut = Polygon([(x, y), (x + piece["length"], y), (x + piece["length"], y + piece["width"]), (x, y + piece["width"])])
            boards.setdefault(piece["board"], []).append((piece["mark"], cut))
        if deck["board_size"] and (piece["length"] > deck["board_size"][0] or piece["width"] > deck["board_size"][1]):
            yield f"{piece['mark']} is larger than a board"
    for board, cuts in boards.items():
        whole = unary_union([c for _, c in cuts])
        if sum(c.area for _, c in cuts) - whole.area > 1:
            yield f"pieces {', '.join(m for m, _ in cuts)} overlap on board {board}"
        if deck["board_size"]:
            x1, y1 = deck["board_size"]
            if whole.difference(Polygon([(0, 0), (x1, 0), (x1, y1), (0, y1)])).area > 1:
                yield f"board {board} is cut beyond its edge"


def check_joints(deck, name):
    """End joints of a deck lie on a joist."""
    joists = MultiLineString([[j["from"], j["to"]] for j in deck["joists"]])
    for joint in deck["joints"]:
        middle = Point((joint["from"][0] + joint["to"][0]) / 2, (joint["from"][1] + joint["to"][1]) / 2)
        if name == "deck" and joint["end_joint"] and deck["joists"] and joists.distance(middle) > ROUNDED:
            yield f"an end joint at {middle.x:.0f}, {middle.y:.0f} lies on no joist"


# ---- Mat ---------------------------------------------------------------------------------------------------------


def check_mat(roof, rules):
    """Each layer covers the roof, neighbours lap, the upper over the lower, and no number is left out."""
    pieces = roof["mat"]["pieces"]
    if sorted(p["order"] for p in pieces) != list(range(1, len(pieces) + 1)):
        yield "the order is not 1, 2, 3 …"
    if [p["order"] for p in pieces] != sorted(p["order"] for p in pieces):
        yield "the pieces do not stand in laying order"
    layers = sorted({p["layer"] for p in pieces})
    for layer in layers:
        own = [p for p in pieces if p["layer"] == layer]
        shapes = [Polygon(p["ring"]) for p in own]
        bare = surface(roof).difference(unary_union(shapes))
        if bare.buffer(-ROUNDED).area > 1:
            yield f"layer {layer + 1} leaves {bare.area:.0f} mm2 bare"
        if any(min(p["order"] for p in own) < q["order"] for q in pieces if q["layer"] < layer):
            yield f"layer {layer + 1} begins before the one below it is done"
        yield from check_strips(roof, own, shapes, rules)


def side_by_side(roof, shared):
    """A lap that is longer up the fall than across it joins strips of which neither is the upper one."""
    ux, uy = roof["uphill"]
    spots = shared.exterior.coords
    along, across = [x * ux + y * uy for x, y in spots], [x * uy - y * ux for x, y in spots]
    return max(along) - min(along) > max(across) - min(across)


def check_strips(roof, own, shapes, rules):
    for piece, shape in zip(own, shapes):
        box = shape.minimum_rotated_rectangle
        if abs(box.area - piece["length"] * piece["width"]) > 0.002 * box.area + 4000:
            yield f"strip {piece['mark']} is {piece['length']} x {piece['width']} as cut and not as drawn"
    inside = surface(roof)
    for n, (a, one) in enumerate(zip(own, shapes)):
        for b, other in list(zip(own, shapes))[n + 1 :]:
            shared = one.intersection(other)
            if abs(a["strip"] - b["strip"]) > 1 or shared.intersection(inside).area < 1:
                continue
            # laps lie along x or along y of the strips' own frame; the narrow side of what is shared is the lap
            box = shared.minimum_rotated_rectangle.exterior.coords
            lap = min(length(box[0], box[1]), length(box[1], box[2]))
            if lap < rules["mat_lap"] - ROUNDED:
                yield f"strips {a['mark']} and {b['mark']} lap by {lap:.0f} mm"
            if side_by_side(roof, shared.minimum_rotated_rectangle):
                continue
            above = up(roof, one.centroid.coords[0], other.centroid.coords[0])
            lower, upper = (a, b) if above > 0 else (b, a)
            if abs(above) > 100 and lower["order"] > upper["order"]:
                yield f"strip {lower['mark']} is laid over {upper['mark']}, which lies higher"


def check_rolls(layout):
    """Every piece of mat comes out of one cut, every cut out of one roll."""
    pieces = {
        (r["name"], p["mark"], r["mat"]["weight"]): p
        for r in layout["roofs"]
        for p in r["mat"]["pieces"] + [p for g in r["box_gutters"] for p in g["lining"]]
    }
    pieces |= {
        (r["name"], m["mark"], r["mat"]): m for r in layout["old_roofs"] for p in r["patches"] for m in p["mat"]
    }
    seen = Counter()
    for mat in layout["mat_rolls"]:
        for cut in mat["cuts"]:
            area = 0
            for p in cut["pieces"]:
                key = (p["roof"], p["mark"], mat["weight"])
                piece = pieces.get(key)
                seen[key] += 1
                if piece is None:
                    yield f"{key} is cut and lies nowhere"
                    continue
                area += piece["length"] * piece["width"]
                if piece["length"] > cut["length"] or piece["width"] > mat["width"]:
                    yield f"{key} does not come out of a cut of {cut['length']}"
            if area > cut["length"] * mat["width"]:
                yield f"a cut of {cut['length']} holds too much"
        if mat["rolls"] is not None:
            used = Counter(c for roll in mat["rolls"] for c in roll["cuts"])
            if used != Counter(range(len(mat["cuts"]))):
                yield "a cut comes out of no roll, or out of two"
            for roll in mat["rolls"]:
                if sum(mat["cuts"][c]["length"] for c in roll["cuts"]) > roll["length"]:
                    yield f"a roll of {roll['length']} is overfull"
    yield from (f"{key} is cut {seen[key]} times" for key in pieces if seen[key] != 1)


# ---- Patches in old laminates -------------------------------------------------------------------------------------


def grown_on_roof(patch, ring, outline, by):
    """The box round what of a patch grown by so much is roof; as it is given where its place was not measured."""
    (width, depth), (left, low, right, high) = patch["hole"], outline.bounds
    if patch["edge"]:
        n, begins = patch["edge"]["side"], patch["edge"]["from"]
        (ax, ay), (bx, by_) = ring[n], ring[(n + 1) % len(ring)]
        long = math.hypot(bx - ax, by_ - ay)
        ux, uy = (bx - ax) / long, (by_ - ay) / long
        at = lambda u, v: (ax + ux * u - uy * v, ay + uy * u + ux * v)
        ends = begins - by, begins + width + by
        grown = Polygon([at(ends[0], -by), at(ends[1], -by), at(ends[1], depth + by), at(ends[0], depth + by)])
        corners = [
            (ux * (x - ax) + uy * (y - ay), ux * (y - ay) - uy * (x - ax))
            for x, y in grown.intersection(outline).convex_hull.exterior.coords
        ]
        return [round(max(c[i] for c in corners) - min(c[i] for c in corners)) for i in (0, 1)]
    if not patch["at"]:
        return [min(width + 2 * by, right - left), min(depth + 2 * by, high - low)]
    x, y = patch["at"]
    west, south, east, north = box(x - by, y - by, x + width + by, y + depth + by).intersection(outline).bounds
    return [round(east - west), round(north - south)]


def check_patches(roof, rules):
    """Each layer laps over sound laminate all round and is covered by its mat; boards fill the hole and lie apart."""
    outline = Polygon(roof["outline"]).difference(unary_union([Polygon(o["ring"]) for o in roof["openings"]]))
    if abs(outline.area - roof["area"]) > ROUNDED * outline.length:
        yield f"its area is {outline.area:.0f} mm2, not {roof['area']}"
    holes, boards = [], []
    for patch in roof["patches"]:
        mark, (width, depth) = patch["mark"], patch["hole"]
        for n, layer in enumerate(patch["layers"]):
            lap = rules["patch_lap"] + n * rules["patch_step"]
            if layer != grown_on_roof(patch, roof["outline"], outline, lap):
                yield f"{mark}: layer {n + 1} does not lap {lap} all round, as far as there is roof"
            up = patch["edge"]["up"] if patch["edge"] else 0
            if sum(m["length"] * m["width"] for m in patch["mat"] if m["layer"] == n) < layer[0] * (layer[1] + up):
                yield f"{mark}: layer {n + 1} is not covered"
        edge = rules["patch_lap"] + (len(patch["layers"]) - 1) * rules["patch_step"] + rules["patch_ground"]
        if patch["ground"] != grown_on_roof(patch, roof["outline"], outline, edge):
            yield f"{mark}: it is not ground {edge} round its hole"
        if patch["at"]:
            x, y = patch["at"]
            hole = Polygon([(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)])
            if hole.difference(outline.buffer(1)).area > 0:
                yield f"{mark} lies off the roof"
            if any(hole.intersection(other).area > 0 for other in holes):
                yield f"{mark} lies over another patch"
            holes.append(hole)
        if patch["deck"]:
            if sum(p["length"] * p["width"] for p in patch["deck"]["pieces"]) != width * depth:
                yield f"{mark}: the board let in does not fill the hole"
            if sum(b["length"] for b in patch["bandage"] if b["over_joints"]) < 2 * (width + depth):
                yield f"{mark}: a joint of the board let in is bare"
            for p in patch["deck"]["pieces"]:
                x, y = p["on_board"]
                a, b = (p["width"], p["length"]) if p["turned"] else (p["length"], p["width"])
                piece = Polygon([(x, y), (x + a, y), (x + a, y + b), (x, y + b)])
                if any(n == p["board"] and piece.intersection(other).area > 0 for n, other in boards):
                    yield f"{mark}: two pieces are cut from one place of board {p['board'] + 1}"
                boards.append((p["board"], piece))


# ---- Box gutters, outlets and overflows ---------------------------------------------------------------------------


def check_box_gutter(roof, gutter, layout):
    """Boarded from end to end, falling to its outlet, lined over its girth; what is cut comes out of what is bought."""
    sides = [s for s in roof["sides"] if s["edge"] == gutter["edge"]]
    if [s["finish"] for s in sides] != ["gutter"] or sides[0]["run"] != gutter["run"]:
        yield "it lies beyond no edge of its length"
    start, deep, end = (gutter["depth_at_" + k] for k in ("start", "outlet", "end"))
    if deep < max(start, end):
        yield "it falls away from its outlet"
    for part in ("sole", "roof side", "parapet side"):
        reached = 0
        for board in sorted((b for b in gutter["boards"] if b["part"] == part), key=lambda b: b["at"]):
            if board["at"] != reached:
                yield f"its {part} is bare or doubled at {reached}"
            reached = board["at"] + board["length"]
        if reached != gutter["run"]:
            yield f"its {part} ends at {reached}"
    if sum(b["part"] == "end" and b["length"] == gutter["width"] for b in gutter["boards"]) != 2:
        yield "its ends are not closed"
    if any(b["board"] >= gutter["bought"] for b in gutter["boards"]):
        yield "a board is cut from one that is not bought"
    downs = [b["down"] for b in sorted(gutter["bearers"], key=lambda b: b["at"])]
    turn = downs.index(max(downs))
    if downs != sorted(downs[: turn + 1]) + sorted(downs[turn + 1 :], reverse=True) or max(downs) > deep:
        yield "its bearers do not fall to the outlet"
    if gutter["girth"] < 2 * deep + gutter["width"] + gutter["above"]:
        yield "its girth is too short"
    if gutter["long"] < gutter["run"] + start + end + 2 * gutter["above"]:
        yield "its lining is too short"
    lap = layout["rules"]["mat_lap"]
    for layer in {p["layer"] for p in gutter["lining"]}:
        strips = {}
        of_layer = [p for p in gutter["lining"] if p["layer"] == layer]
        # Strips of their own close it over the tops of covered walls; each laps once.
        over_tops = sum(p["width"] - lap for p in of_layer if p["over"])
        for piece in (p for p in of_layer if not p["over"]):
            strips.setdefault(piece["strip"], []).append(piece)
        across = sum(pieces[0]["width"] for pieces in strips.values()) - lap * (len(strips) - 1)
        if across < gutter["girth"]:
            yield f"layer {layer} covers {across} of its girth"
        for pieces in strips.values():
            reached = 0
            for piece in sorted(pieces, key=lambda p: p["at"]):
                if piece["at"] > max(reached - 1, 0):
                    yield f"layer {layer} is bare at {reached}"
                reached = piece["at"] + piece["length"]
            if reached < gutter["long"] - over_tops:
                yield f"layer {layer} ends at {reached}"


def check_ways_out(roof):
    """Outlets stand on the roof, overflows within their edges."""
    for outlet in roof["outlets"]:
        if not surface(roof).contains(Point(outlet["at"]).buffer(outlet["size"] / 2 - 1)):
            yield f"an outlet at {outlet['at']} does not stand on the roof"
    runs = {s["edge"]: s["run"] for s in roof["sides"]}
    for overflow in roof["overflows"]:
        half = overflow["width"] / 2
        if not half <= overflow["at"] <= runs.get(overflow["edge"], 0) - half:
            yield f"an overflow at {overflow['edge']} does not lie within it"


def squarely(roof, side):
    """Whether a side lies along or across the fall: the mat's band outside it is nowhere cut off aslant."""
    rise = abs(up(roof, side["from"], side["to"])) / max(1, length(side["from"], side["to"]))
    return rise < 1e-3 or rise > 1 - 1e-6


def check_returns(roof):
    """The mat goes as far over a side, or up what stands there, as is told."""
    laid = unary_union([Polygon(p["ring"]) for p in roof["mat"]["pieces"] if p["layer"] == 0]).buffer(ROUNDED)
    for side in roof["sides"]:
        if side["carried"] == 0 or not squarely(roof, side):
            continue
        (x0, y0), (x1, y1) = side["from"], side["to"]
        far = side["carried"] / length(side["from"], side["to"])
        x, y = (y1 - y0) * far, (x0 - x1) * far
        bare = Polygon([(x0, y0), (x1, y1), (x1 + x, y1 + y), (x0 + x, y0 + y)]).difference(laid).area
        if bare > 1:
            yield f"{bare:.0f} mm2 of what is carried over {side['edge']} are bare"


# ---- Walls that the roof is carried over --------------------------------------------------------------------------


def check_parapets(roof, layout):
    """Each covered wall is lined from end to end, has its outer trim, and the mat is carried up it and over its top."""
    runs = [r for p in layout["trims"] for r in p["runs"] if r["roof"] == roof["name"] and r["outer_edge"]]
    walls = [(n, s) for n, s in enumerate(roof["sides"]) if s["coping"]]
    if len(roof["parapets"]) != len(walls):
        yield f"{len(walls)} covered walls and {len(roof['parapets'])} linings"
    for n, side in walls:
        wall, label = side["coping"], side["edge"]
        if side["finish"] != "wall" or side["sill"]:
            yield f"{label} is covered and is no wall of its own"
        if side["carried"] != wall["high"] + wall["lining"] + wall["width"] or wall["high"] < wall["left"]:
            yield f"the mat is carried {side['carried']} over the parapet at {label}"
        if wall["long"] != side["run"] + sum(wall["longer"]):
            yield f"the parapet at {label} is {wall['long']} long"
        free = [wall[end] for end in ("start", "end")].count("free")
        lengths = sorted(r["run"] for r in runs if r["side"] == n)
        if lengths != sorted([wall["long"]] + [wall["width"]] * free):
            yield f"outer trims of {lengths} on the parapet at {label}"
        lining = next((p for p in roof["parapets"] if p["edge"] == label), None)
        for top, whole, width in [(False, side["run"], wall["high"]), (True, wall["long"], wall["lining"] + wall["width"])]:
            reached = 0
            for board in sorted((b for b in lining["boards"] if b["top"] == top), key=lambda b: b["at"]) if lining else []:
                if board["at"] > reached or board["width"] != width:
                    yield f"{board['mark']} begins at {board['at']} and is {board['width']} wide"
                reached = board["at"] + board["length"]
            if reached != whole and (not top or wall["cover"] == "metal"):
                yield f"the lining of the parapet at {label} ends at {reached}"
    strips = sum(b["covers"] == "parapet" for b in roof["bandage"])
    if strips < 2 * len(walls):
        yield f"{strips} strips of bandage on {len(walls)} parapets"


# ---- Corners, firrings, bandage ----------------------------------------------------------------------------------

# Which finishes may meet in a treatment (common practice, no source; `step` has no trim).
MEETS = {
    "closure left": {("drip", "raised")},
    "closure right": {("drip", "raised")},
    "notch": {("drip", "raised")},
    "preformed external": {("raised", "raised")},
    "preformed internal": {("raised", "raised")},
    "butt": {("raised", "wall"), ("drip", "wall")},
    "at sill": {("sill", "wall")},
}


def finish_of(side):
    """The finish of a side; `sill` under a door where no fillet fits."""
    return "sill" if side["sill"] and not side["sill"]["fillet"] else side["finish"]


def rings_of(roof):
    """The rings whose corners are treated: the outline, and every hole that takes a trim."""
    yield None, roof["outline"], [finish_of(s) for s in roof["sides"]]
    for hole in roof["holes"]:
        if not hole["round"] and hole["finish"] in TRIMMED:
            yield hole["name"], hole["ring"], [hole["finish"]] * len(hole["ring"])


def check_corners(roof):
    done = Counter((c["hole"], tuple(c["at"])) for c in roof["corners"])
    for name, ring, finishes in rings_of(roof):
        for n, at in enumerate(ring):
            if done[(name, tuple(at))] != 1:
                yield f"corner {n} of {name or 'the outline'} is treated {done[(name, tuple(at))]} times"
    places = {(name, n): (finishes[n - 1], finishes[n]) for name, ring, finishes in rings_of(roof) for n in range(len(ring))}
    for c in roof["corners"]:
        pair = places.get((c["hole"], c["corner"]))
        if pair is None:
            yield f"{c['treatment']} at a corner that is none"
            continue
        if "sill" in pair and c["treatment"] != "at sill":
            yield f"{c['treatment']} where {' meets '.join(pair)}"
        if c["treatment"] in MEETS and tuple(sorted(pair)) not in MEETS[c["treatment"]]:
            yield f"{c['treatment']} where {' meets '.join(pair)}"
        if bool({"step", "gutter"} & set(pair)) != (c["treatment"] == "carried up") and c["treatment"] != "straight":
            yield f"{c['treatment']} where {' meets '.join(pair)}"


def check_firrings(roof, rules):
    for f in roof["firrings"]:
        own = length(f["from"], f["to"])
        most = max(own, rules["firring_least"]) + rules["firring_group"]
        if not own - ROUNDED <= f["length"] <= most + ROUNDED:
            yield f"{f['length']} is not as long as it lies"
        if f["low_depth"] > f["high_depth"] or up(roof, f["from"], f["to"]) < -1:
            yield f"at {f['from']} the high end lies low"
        of_it = [g for g in roof["firrings"] if g["part"][1] == f["part"][1] and g["part"][0] == f["part"][0] + 1]
        if f["part"][0] < f["part"][1] and f["to"] not in [g["from"] for g in of_it]:
            yield f"at {f['to']} its next part does not meet it"


def check_bandage(roof, layout):
    """A patch at every corner, a strip over every joint of the deck, every trim's flange and every lap."""
    of = lambda what: [b for b in roof["bandage"] if b["covers"] == what]
    for b in roof["bandage"]:
        if b["covers"] != "board joint" and abs(length(b["from"], b["to"]) - b["length"]) > ROUNDED + 2:
            yield f"{b['covers']}: {b['length']} is not as long as it lies"
    wanted = Counter(tuple(c["at"]) for c in roof["corners"] if c["treatment"] != "straight")
    if Counter(tuple(b["from"]) for b in of("corner")) != wanted:
        yield "not one patch at each corner"
    boards = (roof["over_deck"] or {}).get("overlay") or roof["deck"]  # the laminate lies on the uppermost
    if bool(boards) == bool(roof["old_joints"]):
        yield "joints of boards are bandaged where they lie under others, or left bare"
    if boards:
        strips = unary_union([LineString([b["from"], b["to"]]).buffer(1) for b in of("board joint")])
        for joint in boards["joints"]:
            line = LineString([joint["from"], joint["to"]])
            if line.length > 0 and line.difference(strips).length > 1:
                yield f"the joint from {joint['from']} to {joint['to']} is bare"
    trimmed = sum(finish_of(s) in TRIMMED for s in roof["sides"])
    low = [s for s in roof["sides"] if finish_of(s) == "sill"]
    if sorted(b["length"] for b in of("sill")) != sorted(s["run"] + 2 * layout["rules"]["bandage_lap"] for s in low):
        yield "not one strip under each low door sill"
    trimmed += sum(len(ring) for name, ring, _ in rings_of(roof) if name)
    if len(of("flange")) != trimmed:
        yield f"{len(of('flange'))} strips over {trimmed} flanges"
    laps = [lap["place"] for p in layout["trims"] for r in p["runs"] if r["roof"] == roof["name"] for lap in r["laps"]]
    over = [b["from"] for b in of("trim lap")]
    if len(laps) != len(over) or any(min((length(a, b) for b in over), default=9e9) > ROUNDED for a in laps):
        yield "not one strip over each lap of the trims"


# ---- Trims -------------------------------------------------------------------------------------------------------


def check_trims(layout):
    roofs = {r["name"]: r for r in layout["roofs"]}
    marks = Counter(p["mark"] for t in layout["trims"] for r in t["runs"] for p in r["pieces"])
    yield from (f"{m} is marked twice" for m, n in marks.items() if n > 1)
    for profile in layout["trims"]:
        yield from check_bars(profile, layout["rules"])
        for run in profile["runs"]:
            yield from (f"{run['label']}: {f}" for f in check_run(roofs[run["roof"]], profile, run, layout["rules"]))
    for roof in layout["roofs"]:
        yield from (f"{roof['name']}: {f}" for f in check_edges(roof, layout["trims"]))


def check_bars(profile, rules):
    """Every piece is cut once, out of the length that it names, and no length is overfull."""
    pieces = {p["mark"]: p for r in profile["runs"] for p in r["pieces"]}
    cut = Counter(m for bar in profile["bars"] for m in bar["cuts"])
    if cut != Counter(list(pieces)):
        yield f"{profile['finish']}: not every piece is cut once"
        return
    for n, bar in enumerate(profile["bars"]):
        used = sum(pieces[m]["length"] for m in bar["cuts"])
        left = bar["stock"] - used - rules["kerf"] * (len(bar["cuts"]) - 1)
        if left < 0 or bar["offcut"] > left:
            yield f"{profile['finish']}: a length of {bar['stock']} gives {used} and leaves {bar['offcut']}"
        if any(pieces[m]["bar"] != n for m in bar["cuts"]):
            yield f"{profile['finish']}: length {n} is cut for a piece that names another"
    if profile["counted_in"] == "lengths" and profile["proof"]["found"] != len(profile["bars"]):
        yield f"{profile['finish']}: {len(profile['bars'])} lengths are bought, {profile['proof']['found']} found"


def check_run(roof, profile, run, rules):
    pieces, laps = run["pieces"], run["laps"]
    if len(laps) != len(pieces) - 1:
        yield f"{len(pieces)} pieces and {len(laps)} laps"
        return
    if not run["ladder_point"] and pieces[0]["at"] != -run["start_allowance"]:
        yield "it does not start at its corner"
    total = sum(p["length"] for p in pieces) - rules["trim_lap"] * len(laps)
    if total != run["run"] + run["start_allowance"] + run["end_allowance"]:
        yield f"its pieces come to {total}"
    for piece in pieces:
        if abs(length(piece["from"], piece["to"]) - piece["length"]) > ROUNDED:
            yield f"{piece['mark']} is not as long as it lies"
        if len(pieces) > 1 and piece["length"] < rules["shortest_piece"]:
            yield f"{piece['mark']} is only {piece['length']}"
    for n, (a, b) in enumerate(zip(pieces, pieces[1:])):
        shared = a["at"] + a["length"] - b["at"]
        if shared != rules["trim_lap"] or laps[n]["length"] != shared:
            yield f"{a['mark']} and {b['mark']} lap by {shared}"
        yield from check_lap(roof, a, b, laps[n])
    yield from check_ends(roof, profile, run)


def check_lap(roof, a, b, lap):
    """The upper piece lies on top, and its ends say the same."""
    if {lap["on_top"], lap["under"]} != {a["mark"], b["mark"]}:
        yield f"the lap of {a['mark']} and {b['mark']} names others"
        return
    rise = up(roof, a["from"], b["to"]) / max(1, length(a["from"], b["to"]))
    upper = b if rise > 0 else a
    if abs(rise) > 0.02 and lap["on_top"] != upper["mark"]:
        yield f"{lap['on_top']} lies on top and {upper['mark']} lies higher"
    says = {"over lap": True, "under lap": False}
    if says.get(a["end"]) is not (lap["on_top"] == a["mark"]) or says.get(b["start"]) is not (lap["on_top"] == b["mark"]):
        yield f"the ends of {a['mark']} and {b['mark']} do not fit their lap"


def check_ends(roof, profile, run):
    """An end meets another trim, a corner piece or a closure; where nothing meets it, the laminate is carried up over
    it (a step) and a patch lies there. A ladder point is bonded on another trim."""
    first, last = run["pieces"][0], run["pieces"][-1]
    if run["outer_edge"]:
        return
    if run["ladder_point"]:
        if (first["start"], last["end"]) != ("free", "free"):
            yield "a ladder point that ends at a corner"
        return
    if (first["start"], last["end"]) != ("corner", "corner"):
        yield "an end that meets nothing"
    treated = [c for c in roof["corners"] if c["hole"] == run["hole"]]
    patches = {tuple(b["from"]) for b in roof["bandage"] if b["covers"] == "corner"}
    for end, allowed in ((first["from"], run["start_allowance"]), (last["to"], run["end_allowance"])):
        reach = allowed + run["leg"] if end is first["from"] else None
        near = [c for c in treated if length(c["at"], end) <= (reach if reach is not None else allowed + 500) + ROUNDED]
        if not near:
            yield f"nothing is done where it ends at {end}"
        elif all(c["treatment"] != "straight" and tuple(c["at"]) not in patches for c in near):
            yield f"no patch where it ends at {end}"


def check_edges(roof, trims):
    """Every side that takes a trim lies under one: laid end to end, the runs of a finish cover it."""
    runs = [(p["finish"], r) for p in trims for r in p["runs"] if r["roof"] == roof["name"] and not r["ladder_point"]]
    for name, ring, finishes in rings_of(roof):
        lines = {}
        for finish, run in runs:
            if run["hole"] == name:
                lines.setdefault(finish, []).append(LineString([run["pieces"][0]["from"], run["pieces"][-1]["to"]]))
        for n, at in enumerate(ring):
            if finishes[n] not in TRIMMED:
                continue
            side = LineString([at, ring[(n + 1) % len(ring)]])
            legs = 2 * max((r["leg"] for _, r in runs), default=0)
            covered = unary_union([l.buffer(ROUNDED) for l in lines.get(finishes[n], [])])
            if side.difference(covered).length > legs + ROUNDED:
                yield f"side {n} of {name or 'the outline'} has no trim over {side.difference(covered).length:.0f} mm"


def check_told(job):
    """A short piece that stays is told."""
    least = job["layout"]["rules"]["least_trim"]
    for profile in job["layout"]["trims"]:
        for run in profile["runs"]:
            for piece in run["pieces"]:
                told = any(f"{piece['mark']} of {piece['length']} mm" in n["fault"] for n in job["notices"])
                if len(run["pieces"]) > 1 and piece["length"] < least and not told:
                    yield f"{piece['mark']} is only {piece['length']} mm and no notice says so"


# ---- Files broken on purpose -------------------------------------------------------------------------------------


def runs_of(job):
    return [r for p in job["layout"]["trims"] for r in p["runs"]]


def first(of, wanted=lambda _: True):
    return next((x for x in of if wanted(x)), None)


def change(find, alter):
    """A break: finds something in a file and alters it; says whether there was anything."""

    def broken(job):
        found = find(job)
        if found is None:
            return False
        alter(found)
        return True

    return broken


def roofs(job):
    return job["layout"]["roofs"]


def wall_of(job):
    return first(s for r in roofs(job) for s in r["sides"] if s["coping"])


def gutter_of(job):
    return first(g for r in roofs(job) for g in r["box_gutters"])


def patch_of(job):
    return first(p for r in job["layout"]["old_roofs"] for p in r["patches"])


def let_in(job):
    return first((p for r in job["layout"]["old_roofs"] for p in r["patches"]), lambda p: p["deck"])


def swap(d, a, b):
    d[a], d[b] = d[b], d[a]


def swap_orders(mat):
    """The first piece and the first of the next strip that is lapped with it: ends of one strip may lie either way."""
    pieces = mat["pieces"]
    a, strip = pieces[0], Polygon(pieces[0]["ring"])
    laps = lambda p: p["strip"] != a["strip"] and strip.intersection(Polygon(p["ring"])).area > 10_000
    n = next(n for n, p in enumerate(pieces) if laps(p))
    b = pieces[n]
    a["order"], b["order"] = b["order"], a["order"]
    pieces[0], pieces[n] = b, a


deck_of = lambda job: first(roofs(job), lambda r: r["deck"] and len(r["deck"]["pieces"]) > 3 and r["deck"]["joints"])
mat_of = lambda job: first(roofs(job), lambda r: len(r["mat"]["pieces"]) > 2)
joined_run = lambda job: first(runs_of(job), lambda r: r["laps"])

BREAKS = {
    "a key that the schema does not know": change(lambda j: j, lambda j: j.update(extra=1)),
    "a key left out": change(lambda j: j["layout"], lambda l: l.pop("trims")),
    "a board left out": change(deck_of, lambda r: r["deck"]["pieces"].pop()),
    "a board moved over another": change(deck_of, lambda r: [p.__setitem__(0, p[0] + 40) for p in r["deck"]["pieces"][0]["rings"][0]]),
    "a board cut twice": change(deck_of, lambda r: r["deck"]["pieces"][1].update(board=r["deck"]["pieces"][0]["board"], on_board=r["deck"]["pieces"][0]["on_board"])),
    "an end joint off its joist": change(
        lambda j: first((x for r in roofs(j) if r["deck"] for x in r["deck"]["joints"]), lambda x: x["end_joint"]),
        lambda x: [x[k].__setitem__(a, x[k][a] + 70) for k in ("from", "to") for a in (0, 1)],
    ),
    "a strip of mat left out": change(mat_of, lambda r: r["mat"]["pieces"].pop()),
    "a strip that laps too little": change(mat_of, lambda r: [p.__setitem__(1, p[1] + 130) for p in r["mat"]["pieces"][0]["ring"]]),
    "two strips laid in the wrong order": change(mat_of, lambda r: swap_orders(r["mat"])),
    "mat that ends short of where it is told": change(
        lambda j: first((s for r in roofs(j) for s in r["sides"] if squarely(r, s)), lambda s: s["carried"] > 0),
        lambda s: s.update(carried=s["carried"] + 1100),
    ),
    "a fillet under a sill that it does not fit under": change(
        lambda j: first((s for r in roofs(j) for s in r["sides"]), lambda s: finish_of(s) == "sill"),
        lambda s: s["sill"].update(fillet=True),
    ),
    "a strip cut from no roll": change(lambda j: first(j["layout"]["mat_rolls"]), lambda m: m["cuts"][0]["pieces"].pop()),
    "a roll that is overfull": change(
        lambda j: first(j["layout"]["mat_rolls"], lambda m: m["rolls"]), lambda m: m["rolls"][0].update(length=10)
    ),
    "a piece of trim too short": change(joined_run, lambda r: r["pieces"][0].update(length=r["pieces"][0]["length"] - 60)),
    "a lap the wrong way up": change(
        lambda j: first(
            (lap for r in runs_of(j) for lap in r["laps"] if j),
        ),
        lambda lap: swap(lap, "on_top", "under"),
    ),
    "a length cut too often": change(lambda j: first(j["layout"]["trims"]), lambda t: t["bars"][0].update(stock=500)),
    "a run that is missing": change(lambda j: first(j["layout"]["trims"]), lambda t: t["runs"].pop()),
    "an end that meets nothing": change(lambda j: first(runs_of(j), lambda r: not r["outer_edge"]), lambda r: r["pieces"][0].update(start="free")),
    "a corner left out": change(lambda j: first(roofs(j)), lambda r: r["corners"].pop()),
    "a corner treated twice": change(lambda j: first(roofs(j)), lambda r: r["corners"].append(r["corners"][0])),
    "a closure between two walls": change(
        lambda j: first((c for r in roofs(j) for c in r["corners"]), lambda c: c["treatment"] == "butt"),
        lambda c: c.update(treatment="closure left"),
    ),
    "a patch left out": change(
        lambda j: first(roofs(j)),
        lambda r: r["bandage"].remove(first(r["bandage"], lambda b: b["covers"] == "corner")),
    ),
    "a joint left bare": change(
        lambda j: first(roofs(j), lambda r: any(b["covers"] == "board joint" for b in r["bandage"])),
        lambda r: r["bandage"].remove(first(r["bandage"], lambda b: b["covers"] == "board joint")),
    ),
    "a board of a gutter left out": change(gutter_of, lambda g: g["boards"].pop(0)),
    "a gutter that falls away from its outlet": change(gutter_of, lambda g: g.update(depth_at_outlet=g["depth_at_end"] - 20)),
    "a mat that ends on top of a parapet": change(wall_of, lambda s: s.update(carried=s["carried"] - 60)),
    "a board of a parapet left out": change(
        lambda j: first(p for r in roofs(j) for p in r["parapets"]), lambda p: p["boards"].pop(0)
    ),
    "a parapet without its outer trim": change(
        lambda j: first(p for p in j["layout"]["trims"] if any(r["outer_edge"] for r in p["runs"])),
        lambda p: p["runs"].remove(next(r for r in p["runs"] if r["outer_edge"])),
    ),
    "a bearer set too high": change(gutter_of, lambda g: g["bearers"][1].update(down=g["bearers"][-1]["down"] - 40)),
    "a strip of lining left out": change(gutter_of, lambda g: g["lining"].pop()),
    "an overflow past the end of its edge": change(
        lambda j: first(o for r in roofs(j) for o in r["overflows"]), lambda o: o.update(at=-10)
    ),
    "an outlet off the roof": change(lambda j: first(o for r in roofs(j) for o in r["outlets"]), lambda o: o.update(at=[-500, 0])),
    "a layer of a patch that does not lap": change(patch_of, lambda p: p.update(layers=[p["hole"]] * len(p["layers"]))),
    "a piece of a patch cut short": change(patch_of, lambda p: p["mat"][0].update(length=p["mat"][0]["length"] - 60)),
    "a patch off its roof": change(patch_of, lambda p: p.update(at=[-300, 0])),
    "a joint of board let in left bare": change(let_in, lambda p: p.update(bandage=[])),
    "board let in that is too small": change(let_in, lambda p: p["deck"]["pieces"][0].update(length=p["deck"]["pieces"][0]["length"] - 20)),
    "a firring that lies the wrong way round": change(
        lambda j: first((f for r in roofs(j) for f in r["firrings"]), lambda f: f["low_depth"] < f["high_depth"]),
        lambda f: swap(f, "from", "to"),
    ),
}


def prove(jobs):
    """Each break must be found in every file where it can be made, and be made somewhere."""
    missed = []
    for what, broken in BREAKS.items():
        made = 0
        for name, job in jobs:
            copied = copy.deepcopy(job)
            if broken(copied):
                made += 1
                if not checked(copied):
                    missed.append(f"{what} is not found in {name}")
        if not made:
            missed.append(f"no file in which {what} could be tried")
    return missed


def main():
    proving = "--prove" in sys.argv
    names = [a for a in sys.argv[1:] if a != "--prove"]
    jobs = [(name, json.loads(Path(name).read_text())) for name in names]
    if proving:
        faults = prove(jobs)
        print(f"{len(BREAKS)} breaks tried in {len(jobs)} layouts")
    else:
        faults = [f"{name}: {f}" for name, job in jobs for f in checked(job)]
        print(f"{len(jobs)} layouts read from their JSON alone")
    for fault in faults:
        print(fault, file=sys.stderr)
    sys.exit(1 if faults or not jobs else 0)


if __name__ == "__main__":
    main()
