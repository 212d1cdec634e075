"""Makes tests/outside/laps.txt: runs that may have laps they do not need, or come from several lengths with prices.

    python3 -m venv /tmp/outside && /tmp/outside/bin/pip install highspy==1.16.0 ortools==9.15.6755
    /tmp/outside/bin/python tests/outside/laps.py

The jobs are random, with a fixed seed; the answers are those of the CP-SAT solver of OR-Tools, by the assignment model
of cutting.py. Each line is one job in the form of cutting.txt: `best` is the cheapest plan found outside, `bound` what
was proven there, `laps` the fewest laps at that cost (-1 where that was not proven).
"""

import random
import sys
from pathlib import Path

from cutting import joined, words

OUT = Path(__file__).with_name("laps.txt")
dice = random.Random(20261126)

LENGTHS = [
    [(2000, 700), (3000, 1290)],
    [(2000, 905), (3000, 1290), (5000, 2050)],
    [(2500, 1120), (3000, 1290)],
    [(3000, 1310), (4000, 1695)],
    [(1500, 500), (3000, 1400)],
    [(1200, 640), (2400, 1100), (3000, 1390)],
]


def job(stock, kerf, shortest, extra, runs):
    unit = 10  # everything is in whole centimetres
    best, bound, laps = joined(
        [(s // unit, c) for s, c in stock], kerf // unit, 5, shortest // unit, extra, [(r // unit, s) for r, s in runs]
    )
    return (
        f"runs kerf={kerf} lap=50 shortest={shortest} extra={extra} stock={words(stock, ':')} "
        f"runs={words(runs, ':')} best={best} bound={bound} laps={laps}"
    )


def some_runs(most, longest, reach):
    """Runs of every length, one in eight of which may not be joined."""
    runs = []
    for _ in range(dice.randint(1, most)):
        single = dice.random() < 0.12
        runs.append((dice.randint(10, longest // 10 if single else reach // 10) * 10, int(single)))
    return runs


def jobs():
    for _ in range(120):  # one length, more laps than are needed
        stock, shortest = [(dice.choice([2400, 3000]), 1)], dice.choice([300, 300, 600, 900])
        runs = some_runs(5, stock[0][0], 7000)
        yield job(stock, dice.choice([0, 0, 10]), shortest, dice.randint(1, 2), runs)
    for _ in range(120):  # several lengths, more laps than are needed
        stock, shortest = dice.choice(LENGTHS), dice.choice([300, 300, 600])
        yield job(stock, dice.choice([0, 0, 10]), shortest, dice.randint(1, 2), some_runs(4, stock[-1][0], 6500))
    for _ in range(47):  # several lengths, no lap that is not needed
        stock = dice.choice(LENGTHS)
        yield job(stock, dice.choice([0, 0, 10]), 300, 0, some_runs(8, stock[-1][0], 9000))


if __name__ == "__main__":
    lines = []
    for n, line in enumerate(jobs()):
        print(n, line, file=sys.stderr, flush=True)
        lines.append(line)
    OUT.write_text("\n".join(lines) + "\n")
