"""Makes tests/outside/cutting.txt: cutting jobs with the answers of general-purpose solvers.

    python3 -m venv /tmp/outside && /tmp/outside/bin/pip install highspy==1.16.0 ortools==9.15.6755
    /tmp/outside/bin/python tests/outside/cutting.py

The jobs are random, with a fixed seed. Three kinds:

    stock  pieces from stock lengths: an arc-flow model (Valerio de Carvalho 1999) in HiGHS
    perfect  triplets made so that three fill a length to the millimetre: the answer is known from the making
    runs   runs joined from pieces of free length: an assignment model in the CP-SAT solver of OR-Tools

Each line gives the job, the best plan found outside (`best`) and what the outside solver proved (`bound`); for runs
`laps` as well. `cargo test` reads the lines and needs neither Python nor the solvers. It shares no code with them.
"""

import math
import random
import sys
from functools import reduce
from pathlib import Path

import highspy
from ortools.sat.python import cp_model

OUT = Path(__file__).with_name("cutting.txt")
dice = random.Random(20261125)


def arc_flow(stock, kerf, pieces):
    """stock: [(length, cost)], pieces: [(length, count)]. Gives (best, bound)."""
    weights = [(w + kerf, n) for w, n in pieces]
    rooms = [(s + kerf, c) for s, c in stock]
    unit = reduce(math.gcd, [w for w, _ in weights])
    weights = sorted(((w // unit, n) for w, n in weights), reverse=True)
    rooms = [(s // unit, c) for s, c in rooms]
    top = max(s for s, _ in rooms)
    arcs, reach = set(), {0}
    for i, (w, n) in enumerate(weights):
        layer = set(reach)
        for start in sorted(reach):
            at = start
            for _ in range(n):
                if at + w > top:
                    break
                arcs.add((at, at + w, i))
                at += w
                layer.add(at)
        reach = layer
    nodes = sorted(reach | {s for s, _ in rooms})
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("time_limit", 120.0)
    model.setOptionValue("threads", 1)
    columns, costs = [], []
    for a in sorted(arcs):
        columns.append(("item", a))
        costs.append(0)
    for u, v in zip(nodes, nodes[1:]):
        columns.append(("loss", (u, v)))
        costs.append(0)
    for s, c in rooms:
        columns.append(("buy", s))
        costs.append(c)
    inf = highspy.kHighsInf
    for c in costs:
        model.addVar(0, inf)
    for j, c in enumerate(costs):
        model.changeColCost(j, c)
        model.changeColIntegrality(j, highspy.HighsVarType.kInteger)
    rows = {u: [] for u in nodes}
    demand = {i: [] for i in range(len(weights))}
    for j, (kind, what) in enumerate(columns):
        if kind == "buy":
            rows[what].append((j, -1))
            rows[0].append((j, 1))
        else:
            rows[what[0]].append((j, -1))
            rows[what[1]].append((j, 1))
            if kind == "item":
                demand[what[2]].append((j, 1))
    for u in nodes:
        model.addRow(0, 0, len(rows[u]), [j for j, _ in rows[u]], [x for _, x in rows[u]])
    for i, (_, n) in enumerate(weights):
        model.addRow(n, n, len(demand[i]), [j for j, _ in demand[i]], [x for _, x in demand[i]])
    model.run()
    info = model.getInfo()
    return round(info.objective_function_value), math.ceil(info.mip_dual_bound - 1e-6)


def joined(stock, kerf, lap, shortest, extra, runs):
    """runs: [(length, single)]. Gives (best cost, bound, laps) with cost first, laps second."""
    longest = max(s for s, _ in stock)
    model = cp_model.CpModel()
    pieces, laps = [], []
    for length, single in runs:
        k = next(k for k in range(1, 99) if length + (k - 1) * lap <= k * longest)
        most = k if single else k + extra
        used = [model.NewBoolVar("") for _ in range(most)]
        for p in range(most):
            if p < k:
                model.Add(used[p] == 1)
        for a, b in zip(used, used[1:]):
            model.AddImplication(b, a)
        sizes = [model.NewIntVar(0, longest, "") for _ in range(most)]
        for p, (u, s) in enumerate(zip(used, sizes)):
            model.Add(s == 0).OnlyEnforceIf(u.Not())
            least = 1 if most == 1 else shortest
            if p == 0 and k == 1 and most > 1:
                model.Add(s >= shortest).OnlyEnforceIf(used[1])
                model.Add(s >= 1)
            else:
                model.Add(s >= least).OnlyEnforceIf(u)
        for a, b in zip(sizes, sizes[1:]):
            model.Add(a >= b)
        model.Add(sum(sizes) == length + lap * (sum(used) - 1))
        laps.append(sum(used) - 1)
        pieces += list(zip(used, sizes))
    bars = len(pieces)
    costs = []
    held = [[] for _ in range(bars)]
    for used, size in pieces:
        into = []
        for b in range(bars):
            x = model.NewBoolVar("")
            part = model.NewIntVar(0, longest + kerf, "")
            model.Add(part == size + kerf).OnlyEnforceIf(x)
            model.Add(part == 0).OnlyEnforceIf(x.Not())
            into.append(x)
            held[b].append(part)
        model.Add(sum(into) == 1).OnlyEnforceIf(used)
        model.Add(sum(into) == 0).OnlyEnforceIf(used.Not())
    last = None
    for b in range(bars):
        bought = [model.NewBoolVar("") for _ in stock]
        model.Add(sum(bought) <= 1)
        model.Add(sum(held[b]) <= sum(x * (s + kerf) for x, (s, _) in zip(bought, stock)))
        if last is not None:
            model.Add(last >= sum(held[b]))
        last = sum(held[b])
        costs.append(sum(x * c for x, (_, c) in zip(bought, stock)))
    weight = 1000
    model.Minimize(sum(costs) * weight + sum(laps))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = 20
    solver.parameters.num_workers = 2
    solver.parameters.random_seed = 1
    status = solver.Solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE), (status, stock, runs)
    best, bound = round(solver.ObjectiveValue()), math.ceil(solver.BestObjectiveBound() - 1e-6)
    return best // weight, bound // weight, best % weight if status == cp_model.OPTIMAL else -1


def words(pairs, mark):
    return ",".join(f"{a}{mark}{b}" for a, b in pairs)


def merged(lengths):
    return sorted(((w, lengths.count(w)) for w in set(lengths)), reverse=True)


def stock_job(stock, kerf, pieces):
    best, bound = arc_flow(stock, kerf, pieces)
    return f"stock kerf={kerf} stock={words(stock, ':')} pieces={words(pieces, 'x')} best={best} bound={bound}"


def triplets(n):
    sizes = []
    while len(sizes) < n:
        a, b = dice.randint(250, 499), dice.randint(250, 499)
        if 250 <= 1000 - a - b <= 499:
            sizes += [a, b, 1000 - a - b]
    return sizes


def jobs():
    for _ in range(20):  # the kind of u120: 120 sizes, uniform from 20 to 100, in 150
        yield stock_job([(150, 1)], 0, merged([dice.randint(20, 100) for _ in range(120)]))
    for n in (60, 60, 60, 120, 120, 249):  # the kind of t60 and t120
        yield f"perfect kerf=0 stock=1000:1 pieces={words(merged(triplets(n)), 'x')} best={n // 3} bound={n // 3}"
    for _ in range(44):  # trims in whole centimetres
        stock = [(dice.choice([2400, 3000, 3600, 5000]), 1)]
        kerf = dice.choice([0, 0, 10])
        lengths = [dice.randint(30, stock[0][0] // 10) * 10 for _ in range(dice.randint(4, 40))]
        yield stock_job(stock, kerf, merged(lengths))
    for _ in range(30):  # several lengths with prices
        stock = dice.choice([[(2500, 1120), (3000, 1290)], [(2000, 905), (3000, 1290), (5000, 2050)], [(3000, 1310), (4000, 1695)]])
        lengths = [dice.randint(30, stock[-1][0] // 10) * 10 for _ in range(dice.randint(3, 12))]
        yield stock_job(stock, 0, merged(lengths))
    for n in range(100):  # runs, joined
        stock = [(dice.choice([2400, 3000]), 1)] if n % 5 else [(2500, 1120), (3000, 1290)]
        kerf, extra = dice.choice([0, 0, 0, 10]), 1 if n % 4 == 0 else 0
        longest = stock[-1][0]
        runs = []
        for _ in range(dice.randint(2, 5 if extra else 7)):
            single = dice.random() < 0.15
            runs.append((dice.randint(20, longest // 10 if single else 700) * 10, int(single)))
        unit = 10  # everything is in whole centimetres
        best, bound, laps = joined(
            [(s // unit, c) for s, c in stock], kerf // unit, 5, 30, extra, [(r // unit, s) for r, s in runs]
        )
        yield (
            f"runs kerf={kerf} lap=50 shortest=300 extra={extra} stock={words(stock, ':')} "
            f"runs={words(runs, ':')} best={best} bound={bound} laps={laps}"
        )


if __name__ == "__main__":
    lines = []
    for n, line in enumerate(jobs()):
        print(n, line[-60:], file=sys.stderr, flush=True)
        lines.append(line)
    OUT.write_text("\n".join(lines) + "\n")
