#!/usr/bin/env python3
"""Times whole runs of the program, from its start to its last byte, and its peak of memory.

    cargo build --release
    python3 benches/whole.py target/release/hullwire [--times 1,10,100]

The sample with the most parts, and the same with each of its branch circuits ten and a hundred times: the copies hang on
panels of their own, so that the drawing stays one that could be built. Median of five runs (of one where it takes longer
than 5 s); Linux, for the peak of memory. A command that does not end within 300 s is said not to have ended.
"""

import argparse
import csv
import io
import os
import pathlib
import re
import statistics
import subprocess
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parents[1]
LIMIT_S = 300


def rows_of(text):
    head = [line for line in text.splitlines() if line.startswith("#")]
    body = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    return head, list(csv.DictReader(io.StringIO(body)))


def grown(text, times):
    """The list with everything below its largest panel so many times."""
    head, rows = rows_of(text)
    feeds = {r["tag"]: r["fed_from"].split("|") for r in rows}

    def below(tag, panel):
        return any(f == panel or (f and below(f, panel)) for f in feeds[tag])

    panels = [r for r in rows if r["kind"] == "panel"]
    main = max(panels, key=lambda p: sum(below(r["tag"], p["tag"]) for r in rows))
    branch = [r for r in rows if below(r["tag"], main["tag"]) and "|" not in r["fed_from"]]
    # What is below a selector fed from elsewhere stays single.
    branch = [r for r in branch if all(f == main["tag"] or any(b["tag"] == f for b in branch) for f in feeds[r["tag"]])]
    own = {r["tag"] for r in branch}

    def renamed(tag, k):
        letters, number = re.match(r"([A-Z]+)(\d+)", tag).groups()
        return f"{letters}{int(number) + 1000 * k}"

    out = list(rows)
    for k in range(1, times):
        panel = {key: "" for key in main} | {
            "tag": renamed(main["tag"], k), "kind": "panel", "fed_from": main["tag"], "conductor": "6 AWG", "length_m": "2",
            "insulation_c": "105",
        }
        out.append(panel)
        for r in branch:
            copy = dict(r) | {"tag": renamed(r["tag"], k), "on": "no" if r["kind"] == "appliance" else r.get("on", "")}
            copy["fed_from"] = renamed(r["fed_from"], k)
            out.append(copy)
    # Spaces and conditions of the head stay; what a condition says of the copies is that they are off.
    text = io.StringIO()
    text.write("".join(line + "\n" for line in head))
    writer = csv.DictWriter(text, list(rows[0]), lineterminator="\n")
    writer.writeheader()
    writer.writerows(out)
    return text.getvalue(), len(out), len(own)


def once(command):
    """Seconds and peak of memory in MiB; None where it took too long."""
    start = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE)
    while True:
        done, status, usage = os.wait4(child.pid, os.WNOHANG)
        taken = time.perf_counter() - start
        if done:
            break
        if taken > LIMIT_S:
            child.kill()
            os.wait4(child.pid, 0)
            return None
        time.sleep(0.0005)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise SystemExit(f"{' '.join(command)}:\n{child.stderr.read().decode()}")
    return taken, usage.ru_maxrss / 1024


def measure(command):
    first = once(command)
    if first is None:
        return f"not within {LIMIT_S} s"
    runs = [first] if first[0] > 5 else [first] + [once(command) for _ in range(4)]
    return f"{statistics.median(r[0] for r in runs) * 1e3:,.0f} ms, {max(r[1] for r in runs):,.0f} MiB"


def main():
    given = argparse.ArgumentParser()
    given.add_argument("program")
    given.add_argument("--times", default="1,10,100")
    given = given.parse_args()
    lists = {p: rows_of(p.read_text(encoding="utf-8"))[1] for p in (ROOT / "samples").glob("*.csv")}
    sample = max(lists, key=lambda p: len(lists[p]))
    with tempfile.TemporaryDirectory() as folder:
        for times in map(int, given.times.split(",")):
            text, parts, _ = grown(sample.read_text(encoding="utf-8"), times)
            path = pathlib.Path(folder) / f"{sample.stem}-{times}.csv"
            path.write_text(text, encoding="utf-8")
            print(f"{sample.stem} × {times}: {parts} parts", flush=True)
            for name, rest in {
                "solve": ["solve", path, "--format", "json"],
                "survey": ["survey", path, "--format", "json"],
                "import": ["import", path, "-o", path.with_suffix(".hullwire")],
                "open (survey of the drawing)": ["survey", path.with_suffix(".hullwire")],
                "pack": ["sheets", path.with_suffix(".hullwire"), "-o", path.with_suffix(".pdf")],
            }.items():
                if name.startswith(("open", "pack")) and not path.with_suffix(".hullwire").exists():
                    print(f"  {name}: there is no drawing", flush=True)
                    continue
                print(f"  {name}: {measure([given.program, *map(str, rest)])}", flush=True)


main()
