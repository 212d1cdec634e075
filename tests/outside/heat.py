"""U-values worked again with mpmath and numpy (PyPI), for tests/warm_roof.rs.

The combined method of EN ISO 6946 as a network of resistances: the upper limit joins the two sections only at both ends,
the lower limit joins them at every layer. Each network is solved as a set of linear equations for the heat that passes at one
degree of difference, instead of by the closed formula.

    python3 -m venv venv && venv/bin/pip install mpmath numpy && venv/bin/python tests/outside/heat.py > tests/outside/heat.json
"""

import json
import random

import numpy


def conductance(joins, nodes):
    """Heat from node 0 to node `nodes` - 1 at one degree of difference. `joins`: (node, node, conductance)."""
    matrix = numpy.zeros((nodes, nodes))
    for a, b, g in joins:
        matrix[a, a] += g
        matrix[b, b] += g
        matrix[a, b] -= g
        matrix[b, a] -= g
    inner = matrix[1:-1, 1:-1]
    held = -matrix[1:-1, 0]
    temperatures = numpy.concatenate([[1.0], numpy.linalg.solve(inner, held) if nodes > 2 else [], [0.0]])
    return float(matrix[0] @ temperatures)


def upper(inside, outside, layers, timber):
    heat = 0.0
    for column, share in ((0, 1 - timber), (1, timber)):
        chain = [inside] + [layer[column] for layer in layers] + [outside]
        heat += share * conductance([(i, i + 1, 1 / r) for i, r in enumerate(chain)], len(chain) + 1)
    return 1 / heat


def lower(inside, outside, layers, timber):
    joins = [(0, 1, 1 / inside)]
    for i, (clear, wood) in enumerate(layers, 1):
        joins += [(i, i + 1, (1 - timber) / clear), (i, i + 1, timber / wood)]
    last = len(layers) + 1
    joins.append((last, last + 1, 1 / outside))
    return 1 / conductance(joins, last + 2)


def case(inside, outside, layers, timber):
    ru, rl = upper(inside, outside, layers, timber), lower(inside, outside, layers, timber)
    return {
        "inside": str(inside), "outside": str(outside), "timber": str(timber),
        "layers": [[repr(c), repr(w)] for c, w in layers],
        "upper": ru, "lower": rl, "u": 2 / (ru + rl),
    }


def whole(thickness, conductivity):
    r = round(thickness / 1000 / conductivity, 12)
    return (r, r)


def bridged(thickness, conductivity, timber=0.13):
    return (round(thickness / 1000 / conductivity, 12), round(thickness / 1000 / timber, 12))


random.seed(6946)
cases = []
for _ in range(60):
    layers = [whole(random.choice([9.5, 12.5, 15]), 0.21)]
    layers.append(bridged(random.choice([50, 75, 100, 125, 150, 200]), random.choice([0.022, 0.032, 0.038, 0.044])))
    if random.random() < 0.5:
        layers.append((0.16, round(random.choice([25, 50, 75]) / 1000 / 0.13, 12)))
    layers.append(whole(18, 0.13))
    if random.random() < 0.7:
        layers.append(whole(random.choice([50, 80, 100, 120, 150]), 0.022))
    cases.append(case(0.1, 0.04, layers, random.choice([0.0, 0.05, 0.08, 0.1175, 0.15, 0.2])))
print(json.dumps(cases, indent=1))
