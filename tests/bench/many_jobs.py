"""Very many jobs in one run: how many a second, how much memory by the thousand, what becomes of broken ones, of a run that is killed
half way and taken up again, and of one in which nothing has changed.

    cargo build --locked --release
    python3 tests/bench/many_jobs.py target/release/wetout /tmp/many [HOW MANY] [PHOTOGRAPHS EACH]

The demo jobs are copied in turn, each under a reference of its own, into the folder that is named second (10,000 jobs take 3 GB of disk);
three of them are broken. Photographs are of 3 million pixels and need PyPI pillow. Prints Markdown; no part of CI.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[2]
BROKEN = {"a price book": "merchant: {name: Nobody}\narticles: []\n", "a tab": "reference: 1\n\ttitle: Tab\n", "nothing": ""}


def filed(folder, count, photographs):
    """The jobs, a hundred in a folder; the places of those that are broken."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    for name in ("firm.yaml", "prices.yaml", "logo.png"):
        shutil.copy(HOUSE / "jobs" / name, folder)
    demos = [(p, p.read_text()) for p in sorted((HOUSE / "jobs").glob("*/job.yaml"))]
    at = [count // 5, count // 2, count - 2]
    for n in range(count):
        place = folder / f"{n // 100:03}" / f"{n:05}"
        place.mkdir(parents=True)
        if n in at:
            (place / "job.yaml").write_text(list(BROKEN.values())[at.index(n)])
            continue
        source, text = demos[n % len(demos)]
        text = re.sub(r"(?m)^reference: .*", f"reference: {n // 1000 + 30}-{n % 1000:03}", text, count=1)
        if photographs:
            text += "\nphotos:\n" + "".join(f"  - {{file: {i}.jpg, caption: Photograph {i}}}\n" for i in range(photographs))
            for i in range(photographs):
                (place / f"{i}.jpg").write_bytes(photograph(n * photographs + i))
        (place / "job.yaml").write_text(text)
    return [folder / f"{n // 100:03}" / f"{n:05}" for n in at]


NOISE = None


def photograph(n):
    """A photograph of 2000 by 1500 dots, unlike the others."""
    import io

    from PIL import Image

    global NOISE
    NOISE = NOISE or [Image.effect_noise((200, 150), 60).resize((2000, 1500)).convert("RGB").rotate(i) for i in range(10)]
    out = io.BytesIO()
    NOISE[n % 10].save(out, "jpeg", quality=80, comment=str(n).encode())
    return out.getvalue()


def held(pid):
    try:
        return int(re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{pid}/status").read_text())[1]) / 1024
    except (OSError, TypeError):
        return 0


def run(program, folder, kill_at=None):
    """Runs `make FOLDER`; gives the lines told, what was told of faults, s of the clock and of CPU, and the most MB by each tenth."""
    total = sum(1 for _ in folder.glob("*/*/job.yaml"))
    began = time.monotonic()
    before = os.times()
    with open(folder.with_suffix(".err"), "w") as faults:
        child = subprocess.Popen([program, "make", folder], stdout=subprocess.PIPE, stderr=faults, text=True)
    told, most, over = [], [0] * 11, threading.Event()

    def watch():
        while not over.wait(0.02):
            tenth = min(len(told) * 10 // max(total, 1), 10)
            most[tenth] = max(most[tenth], held(child.pid))

    watcher = threading.Thread(target=watch)
    watcher.start()
    for line in child.stdout:
        if ": quote.pdf, " in line:
            told.append(line)
        if kill_at and len(told) >= kill_at:
            child.send_signal(signal.SIGKILL)
            break
        last = line
    child.stdout.close()
    child.wait()
    over.set()
    watcher.join()
    after = os.times()
    cpu = after.children_user + after.children_system - before.children_user - before.children_system
    return told, folder.with_suffix(".err").read_text(), time.monotonic() - began, cpu, most, last, child.returncode


def made(folder):
    return sum(1 for place in folder.glob("*/*/out") if all((place / f"{kind}.pdf").exists() for kind in ("quote", "order", "method")))


def strays(folder):
    return [p for p in folder.rglob(".wetout-*") if p.name not in (".wetout-made", ".wetout-lock")]


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2]).resolve() / "jobs"
    count = int(sys.argv[3]) if len(sys.argv) > 3 else 10_000
    photographs = int(sys.argv[4]) if len(sys.argv) > 4 else 0
    model = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text())
    cores = os.cpu_count()
    print(f"{time.strftime('%-d %B %Y')}; {model[1] if model else ''}, {cores} cores, load {os.getloadavg()[0]:.1f}\n", flush=True)
    broken = filed(folder, count, photographs)
    told, faults, clock, cpu, most, last, code = run(program, folder)
    assert len(told) == made(folder) == count - len(broken), (len(told), made(folder))
    print(f"- {count} jobs, {photographs} photographs each: {len(told)} made in {clock:.0f} s, {len(told) / clock:.0f} a second;")
    print(f"  {cpu:.0f} s of CPU, {cpu / count * 1000:.1f} ms a job; ended with {code}; last said: {last.strip()}")
    print(f"- most memory by tenths of the jobs, MB: {' '.join(f'{m:.0f}' for m in most if m)}")
    faulty = set(re.findall(r"(?m)^\d+ problems? in (\S+)/job\.yaml", faults))
    print(f"- {len(broken)} jobs are broken; told with their faults, at the end: {sorted(faulty) == sorted(map(str, broken))}")
    told, faults, clock, cpu, most, last, code = run(program, folder)
    print(f"- again, nothing changed: {len(told)} told as made, {clock:.1f} s, {cpu:.1f} s of CPU, {max(most):.0f} MB; last said: {last.strip()}")
    for out in folder.glob("*/*/out"):
        shutil.rmtree(out)
    told, *_ = run(program, folder, kill_at=count // 2)
    there, left = made(folder), len(strays(folder))
    print(f"- killed when {len(told)} were told: {there} have all documents, {left} hidden folders stand")
    told, faults, clock, cpu, most, last, code = run(program, folder)
    print(f"- taken up again: {made(folder)} have all documents, {len(strays(folder))} hidden folders stand, {clock:.0f} s; last said: {last.strip()}")


if __name__ == "__main__":
    main()
