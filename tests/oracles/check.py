#!/usr/bin/env python3
"""Holds `hullwire solve` against two oracles that share no code with it.

usage: check.py HULLWIRE [COUNT] [SEED]

1. scipy: every conductor of every cable is an element of a modified nodal analysis (sparse LU, injected load currents,
   repeated until nothing moves); volts to 1e-6 of nominal, amperes and source watts to 1e-6 of the largest figure.
2. ngspice: the same network as an AC analysis with each load as the admittance that it settled at; volts to 1e-4 of nominal.

Held against them: the samples, and COUNT random installations of all three systems (split-phase with broken balance,
isolation transformers, mixed kinds of load, open breakers). The random lists come from SEED, so a run can be repeated.
"""

import cmath
import csv
import io
import json
import math
import pathlib
import random
import subprocess
import sys
import tempfile

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as spl

ROOT = pathlib.Path(__file__).resolve().parents[2]
NOMINAL = {"120V60Hz": 120.0, "120/240V60Hz": 120.0, "230V50Hz": 230.0}
HERTZ = {"120V60Hz": 60.0, "120/240V60Hz": 60.0, "230V50Hz": 50.0}
THREE_WIRE_BY_DEFAULT = {"shore-inlet", "generator", "inverter", "selector", "panel", "junction", "isolation-transformer"}
CONDUCTORS = {"L1": ("L1", "N"), "L2": ("L2", "N"), "L1-L2": ("L1", "L2"), "L1-L2-N": ("L1", "L2", "N")}
SOURCES = {"shore-inlet", "generator", "inverter"}


def table(name):
    with open(ROOT / "assets" / "tables" / name, newline="", encoding="utf-8") as file:
        return [list(row.values()) for row in csv.DictReader(file)]


AWG_R = {row[0]: float(row[1]) for row in table("awg_resistance.csv")}
AWG_X = {row[0]: float(row[1]) for row in table("awg_reactance.csv")}
MM2_R = {float(row[0]): float(row[1]) for row in table("mm2_resistance.csv")}
PER_KFT = 1.0 / 304.8  # ohm per 1000 ft to ohm per metre


def impedance(size, metres, insulation, basis, hertz):
    """One conductor, ohms, by the "Resistance" paragraph of the circuit list."""
    warm = min(insulation, 75.0)
    awg = size.endswith("AWG")
    name = size.rsplit(" ", 1)[0]
    if basis == "formula":
        if awg:
            n = -(int(name[0]) - 1) if "/" in name else int(name)
            area = math.pi / 4 * (0.127 * 92 ** ((36 - n) / 39)) ** 2
        else:
            area = float(name)
        return metres * 1.7241e-2 / area * (1 + 0.00393 * (warm - 20))
    if awg:
        r = AWG_R[name] * PER_KFT * (1 + 0.00323 * (warm - 75))
        x = AWG_X.get(name, AWG_X["14"]) * PER_KFT * hertz / 60
    else:
        r = MM2_R[float(name)] / 1000 * (1 + 0.00393 * (warm - 20))
        x = 0.08e-3
    return metres * complex(r, x)


class Network:
    """A circuit list, read afresh, as nodes and elements."""

    def __init__(self, text):
        lines = text.splitlines()
        self.head = dict(
            (part.strip() for part in line[1:].split(":", 1)) for line in lines if line.startswith("#") and ":" in line
        )
        body = "\n".join(line for line in lines if not line.startswith("#"))
        self.rows = {row["tag"]: row for row in csv.DictReader(io.StringIO(body))}
        self.system = self.head["system"]
        self.nominal, self.hertz = NOMINAL[self.system], HERTZ[self.system]
        self.split = self.system.startswith("120/240")
        basis = self.head.get("resistance", "published")
        sources = [t for t, r in self.rows.items() if r["kind"] in SOURCES and not r["fed_from"]]
        self.feeding = self.head.get("feeding", sources[0] if len(sources) == 1 else "")
        self.parent, self.z, self.leg = {}, {}, {}
        self.edges = []
        usual = 70.0 if self.hertz == 50 else 75.0
        for tag, row in self.rows.items():
            feeds = [f for f in row["fed_from"].split("|") if f]
            for i, feed in enumerate(feeds):
                cell = lambda key: (row.get(key) or "").split("|")[min(i, len((row.get(key) or "").split("|")) - 1)]
                size = cell("conductor")
                z = 0.0
                if size and size != "none":
                    z = impedance(size, float(cell("length_m")), float(cell("insulation_c") or usual), basis, self.hertz)
                self.edges.append((feed, tag, z))
        self.walk()

    def value(self, tag, key, default):
        text = self.rows[tag].get(key) or ""
        return float(text) if text else default

    def upstream(self, tag):
        seen, open_ = {tag}, [tag]
        while open_:
            at = open_.pop()
            for a, b, _ in self.edges:
                if b == at and a not in seen:
                    seen.add(a)
                    open_.append(a)
        return seen

    def walk(self):
        """What is fed, from where: only the feeding source, closed breakers, the chosen inlet of a selector."""
        root = self.feeding
        self.order = [root]
        three = self.split and (self.rows[root].get("leg") or "L1-L2-N") == "L1-L2-N"
        self.leg[root] = (self.rows[root].get("leg") or ("L1-L2-N" if self.split else "L1")) if three or self.split else "L1"
        for at in self.order:
            row = self.rows[at]
            if at != root and row["kind"] == "breaker" and row.get("on") == "no":
                continue
            for a, b, z in self.edges:
                if a != at or b in self.parent:
                    continue
                if self.rows[b]["kind"] == "selector" and root not in self.upstream(a):
                    continue
                self.parent[b], self.z[b] = a, z
                self.order.append(b)
                if not self.split:
                    self.leg[b] = "L1"
                else:
                    fallback = "L1-L2-N" if self.rows[b]["kind"] in THREE_WIRE_BY_DEFAULT else self.leg[a]
                    if self.rows[b]["kind"] not in THREE_WIRE_BY_DEFAULT and fallback == "L1-L2-N":
                        fallback = "L1"
                    self.leg[b] = self.rows[b].get("leg") or fallback

    def loads(self):
        """(tag, conductor pair, S at nominal, kind) of all that draws."""
        for tag in self.order:
            row = self.rows[tag]
            watts, kind = 0.0, row.get("load_kind") or "power"
            if row["kind"] == "appliance" and row.get("on") != "no":
                watts = self.value(tag, "run_w", 0.0)
            elif row["kind"] == "inverter" and tag != self.feeding:
                watts, kind = self.value(tag, "charge_w", 0.0), "power"
            if watts:
                pf = self.value(tag, "pf", 1.0)
                yield tag, self.leg[tag], complex(watts, watts * math.tan(math.acos(pf))), kind


class Nodal:
    """Modified nodal analysis at the level of single conductors."""

    def __init__(self, net):
        self.net = net
        self.up = {}
        self.elements, self.transformers = [], []
        self.ground = set()
        root = net.feeding
        source = (root, "pedestal")
        row = net.rows[root]
        cord = row.get("conductor") or "none"
        if row["kind"] == "shore-inlet" and cord != "none":
            basis = net.head.get("resistance", "published")
            usual = 70.0 if net.hertz == 50 else 75.0
            z = impedance(cord, float(row["length_m"]), float(row.get("insulation_c") or usual), basis, net.hertz)
            for c in CONDUCTORS[net.leg[root]]:
                self.join((source, c), (root, c), z)
        else:
            for c in CONDUCTORS[net.leg[root]]:
                self.join((source, c), (root, c), 0.0)
        self.source = source
        self.ground.add(self.find((source, "N")))
        for tag in net.order[1:]:
            feed = net.parent[tag]
            transformer = net.rows[feed]["kind"] == "isolation-transformer"
            here = (feed, "secondary") if transformer else feed
            for c in CONDUCTORS[net.leg[tag]]:
                self.join((here, c), (tag, c), net.z[tag])
            if net.rows[tag]["kind"] == "isolation-transformer":
                self.transformers.append(tag)
        for tag in self.transformers:
            self.ground.add(self.find(((tag, "secondary"), "N")))
        self.ground = {self.find(g) for g in self.ground}
        self.number()

    def find(self, node):
        while self.up.get(node, node) != node:
            node = self.up[node]
        return node

    def join(self, a, b, z):
        if z == 0:
            self.up[self.find(b)] = self.find(a)
        else:
            self.elements.append((a, b, z))

    def number(self):
        nodes = []
        for a, b, _ in self.elements:
            nodes += [a, b]
        for tag, leg, _, _ in self.net.loads():
            nodes += [(tag, c) for c in CONDUCTORS[leg]]
        for tag in self.net.order:
            nodes += [(tag, c) for c in CONDUCTORS[self.net.leg[tag]]]
        for tag in self.transformers:
            nodes += [((tag, "secondary"), c) for c in CONDUCTORS[self.net.leg[tag]]]
        nodes += [(self.source, c) for c in CONDUCTORS[self.net.leg[self.net.feeding]]]
        self.ground = {self.find(g) for g in self.ground}
        self.index = {}
        for node in nodes:
            top = self.find(node)
            if top not in self.ground and top not in self.index:
                self.index[top] = len(self.index)

    def at(self, node):
        return self.index.get(self.find(node), -1)

    def solve(self):
        net, n = self.net, len(self.index)
        rows, cols, vals = [], [], []

        def put(i, j, y):
            if i >= 0 and j >= 0:
                rows.append(i), cols.append(j), vals.append(y)

        def admittance(a, b, y):
            put(a, a, y), put(b, b, y), put(a, b, -y), put(b, a, -y)

        for a, b, z in self.elements:
            admittance(self.at(a), self.at(b), 1 / z)
        injected = []
        for tag, leg, s, kind in net.loads():
            plus, minus = (self.at((tag, c)) for c in (CONDUCTORS[leg][0], CONDUCTORS[leg][-1]))
            volts = net.nominal * (2 if leg in ("L1-L2", "L1-L2-N") else 1)
            if leg == "L1-L2-N":
                minus = self.at((tag, "L2"))
            if kind == "impedance":
                admittance(plus, minus, s.conjugate() / volts**2)
            else:
                injected.append((plus, minus, s))
        size = n
        rhs = []
        self.source_rows = []
        e = float(net.rows[net.feeding].get("volts") or net.nominal)
        for c, emf in (("L1", e), ("L2", -e)):
            if c in CONDUCTORS[net.leg[net.feeding]]:
                k = self.at((self.source, c))
                put(k, size, -1), put(size, k, 1)
                rhs.append((size, emf))
                self.source_rows.append((size, emf))
                size += 1
        for tag in self.transformers:
            ratio = (float(net.rows[tag].get("volts") or net.nominal)) / net.nominal
            leg = net.leg[tag]
            p, q = (self.at((tag, c)) for c in (("L1", "L2") if leg == "L1-L2-N" else (CONDUCTORS[leg][0], CONDUCTORS[leg][-1])))
            windings = [("L1", 0.5), ("L2", -0.5)] if leg == "L1-L2-N" else [(CONDUCTORS[leg][0], 1.0)]
            for c, share in windings:
                s = self.at(((tag, "secondary"), c))
                k = ratio * share
                put(size, s, 1), put(size, p, -k), put(size, q, k)
                put(s, size, -1), put(p, size, k), put(q, size, -k)
                size += 1
        matrix = spl.splu(sp.csc_matrix((vals, (rows, cols)), shape=(size, size), dtype=complex))
        base = np.zeros(size, dtype=complex)
        for k, emf in rhs:
            base[k] = emf
        v = matrix.solve(base)
        for _ in range(2000):
            b = base.copy()
            for plus, minus, s in injected:
                across = (v[plus] if plus >= 0 else 0) - (v[minus] if minus >= 0 else 0)
                i = (s / across).conjugate()
                if plus >= 0:
                    b[plus] -= i
                if minus >= 0:
                    b[minus] += i
            new = matrix.solve(b)
            done = np.max(np.abs(new[:n] - v[:n]), initial=0) < 1e-11 * net.nominal
            v = new
            if done:
                break
        else:
            raise SystemExit("the oracle itself did not settle")
        self.v, self.injected = v, injected
        return self

    def volt(self, node):
        k = self.at(node)
        return self.v[k] if k >= 0 else 0.0

    def across(self, tag):
        leg = self.net.leg[tag]
        pair = ("L1", "L2") if leg == "L1-L2-N" else (CONDUCTORS[leg][0], CONDUCTORS[leg][-1])
        return self.volt((tag, pair[0])) - self.volt((tag, pair[1]))

    def spice(self):
        """The same network for an AC analysis, each load as the admittance that it settled at."""
        w = 2 * math.pi * self.net.hertz
        name = lambda k: "0" if k < 0 else f"n{k}"
        out = ["* hullwire", f".param w={w}"]
        count = [0]

        def series(a, b, z):
            count[0] += 1
            k = count[0]
            if z.imag:
                out.append(f"R{k} {name(a)} m{k} {z.real:.15g}")
                out.append(f"L{k} m{k} {name(b)} {z.imag / w:.15g}")
            else:
                out.append(f"R{k} {name(a)} {name(b)} {z.real:.15g}")

        for a, b, z in self.elements:
            series(self.at(a), self.at(b), complex(z))
        for tag, leg, s, kind in self.net.loads():
            plus, minus = self.at((tag, CONDUCTORS[leg][0])), self.at((tag, CONDUCTORS[leg][-1]))
            if leg == "L1-L2-N":
                minus = self.at((tag, "L2"))
            across = self.across(tag)
            volts = self.net.nominal * (2 if leg in ("L1-L2", "L1-L2-N") else 1)
            y = s.conjugate() / (volts**2 if kind == "impedance" else abs(across) ** 2)
            count[0] += 1
            out.append(f"R{count[0]} {name(plus)} {name(minus)} {1 / y.real:.15g}")
            if y.imag < -1e-12:
                out.append(f"L{count[0]} {name(plus)} {name(minus)} {-1 / (y.imag * w):.15g}")
        e = float(self.net.rows[self.net.feeding].get("volts") or self.net.nominal)
        for c, emf, angle in (("L1", e, 0), ("L2", e, 180)):
            if c in CONDUCTORS[self.net.leg[self.net.feeding]]:
                out.append(f"V{c} {name(self.at((self.source, c)))} 0 AC {emf} {angle}")
        for t, tag in enumerate(self.transformers):
            ratio = (float(self.net.rows[tag].get("volts") or self.net.nominal)) / self.net.nominal
            leg = self.net.leg[tag]
            p, q = (self.at((tag, c)) for c in (("L1", "L2") if leg == "L1-L2-N" else (CONDUCTORS[leg][0], CONDUCTORS[leg][-1])))
            windings = [("L1", 0.5), ("L2", -0.5)] if leg == "L1-L2-N" else [(CONDUCTORS[leg][0], 1.0)]
            for c, share in windings:
                s, k, label = self.at(((tag, "secondary"), c)), ratio * share, f"{t}{c}"
                out.append(f"E{label} x{label} 0 {name(p)} {name(q)} {k}")
                out.append(f"VX{label} x{label} {name(s)} 0")
                out.append(f"F{label} {name(p)} {name(q)} VX{label} {k}")
        out += [f".ac lin 1 {self.net.hertz} {self.net.hertz}", ".print ac " + " ".join(f"vr(n{k}) vi(n{k})" for k in range(len(self.index)))]
        out.append(".end")
        return "\n".join(out)


def run_spice(nodal):
    deck = nodal.spice().splitlines()[:-3]
    n = len(nodal.index)
    control = [".control", "set numdgt=14", f"ac lin 1 {nodal.net.hertz} {nodal.net.hertz}"]
    control += [f"print v(n{k})" for k in range(n)] + [".endc", ".end"]
    with tempfile.NamedTemporaryFile("w", suffix=".cir") as file:
        file.write("\n".join(deck + [f".ac lin 1 {nodal.net.hertz} {nodal.net.hertz}"] + control) + "\n")
        file.flush()
        text = subprocess.run(["ngspice", "-b", file.name], capture_output=True, text=True, timeout=60).stdout
    found = {}
    for line in text.splitlines():
        if line.startswith("v(n") and "=" in line:
            key, value = line.split("=", 1)
            re, im = (float(x) for x in value.strip().split(","))
            found[int(key.strip()[3:-1])] = complex(re, im)
    if len(found) != n:
        raise SystemExit("ngspice did not answer:\n" + text[-2000:])
    return found


def random_list(rng):
    system = rng.choice(["120V60Hz", "120/240V60Hz", "230V50Hz"])
    split, mm2 = system.startswith("120/240"), system == "230V50Hz"
    sizes = [f"{a} mm2" for a in ("1.5", "2.5", "4", "6", "10")] if mm2 else [f"{a} AWG" for a in ("14", "12", "10", "8", "6", "1/0")]
    fields = "tag kind fed_from volts run_w pf load_kind charge_w rating_a leg conductor length_m insulation_c on".split()
    rows, counter = [], {}

    def add(kind, letter, feed, **more):
        counter[letter] = counter.get(letter, 0) + 1
        tag = f"{letter}{counter[letter]}"
        row = {"tag": tag, "kind": kind, "fed_from": feed}
        if feed or kind == "shore-inlet":
            if rng.random() < 0.75:
                row |= {"conductor": rng.choice(sizes), "length_m": round(rng.uniform(0.3, 25), 2), "insulation_c": rng.choice([60, 70, 75, 90, 105])}
            else:
                row |= {"conductor": "none"}
        row |= {k: v for k, v in more.items() if v != ""}
        rows.append(row)
        return tag

    volts = rng.choice(["", "", round(rng.uniform(0.95, 1.05) * (230 if mm2 else 120), 1)])
    kind = rng.choice(["shore-inlet", "generator"])
    head = add(kind, "X" if kind == "shore-inlet" else "G", "", volts=volts, run_w=20000)
    # A heavy feeder keeps random loads within what a cable of this length can supply.
    ends = [(head, "L1-L2-N" if split else "L1")]
    if rng.random() < 0.4:
        t = add("isolation-transformer", "T", head, volts=rng.choice(["", round((230 if mm2 else 120) * rng.uniform(0.97, 1.04), 1)]))
        ends = [(t, ends[0][1])]
    for _ in range(rng.randint(3, 45)):
        feed, leg = rng.choice(ends)
        kind = rng.choice(["panel", "breaker", "breaker", "outlet", "junction", "appliance", "appliance", "appliance"])
        letter = {"panel": "A", "breaker": "Q", "outlet": "X", "junction": "X", "appliance": "E"}[kind]
        new = leg
        if split and leg == "L1-L2-N" and kind != "panel":
            new = rng.choice(["L1", "L1", "L2", "L1-L2", "L1-L2-N"]) if kind != "appliance" else rng.choice(["L1", "L2", "L1-L2"])
        more = {"leg": new if split else ""}
        if kind == "appliance":
            load = rng.choice(["power", "impedance", "motor"])
            pf = 1 if load == "impedance" and rng.random() < 0.7 else round(rng.uniform(0.5, 1), 3)
            more |= {"run_w": round(rng.uniform(5, 400), 1), "pf": pf, "load_kind": load}
        if kind in ("appliance", "breaker") and rng.random() < 0.12:
            more |= {"on": "no"}
        tag = add(kind, letter, feed, **more)
        if kind != "appliance":
            ends.append((tag, new))
    rng.shuffle(rows)
    out = io.StringIO()
    out.write(f"# system: {system}\n# resistance: {rng.choice(['published', 'formula'])}\n")
    writer = csv.DictWriter(out, fields, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def ask(program, text, label):
    """What the program says of a list."""
    with tempfile.NamedTemporaryFile("w", suffix=".csv", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        done = subprocess.run([program, "solve", file.name, "--format", "json"], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        raise SystemExit(f"{label}: hullwire said:\n{done.stderr}")
    return json.loads(done.stdout)


def samples():
    """Names and texts of the samples; that before its refit has lengths that are not known."""
    paths = (p for p in sorted((ROOT / "samples").glob("*.csv")) if "before" not in p.name)
    return [(p.name, p.read_text(encoding="utf-8")) for p in paths]


def compare(program, text, label, spice):
    net = Network(text)
    nodal = Nodal(net).solve()
    ours = ask(program, text, label)
    assert ours["converged"], label
    worst = 0.0
    for tag in net.rows:
        part = ours["parts"][tag]
        assert part["energised"] == (tag in net.order), f"{label}: {tag} energised {part['energised']}"
        if tag in net.order:
            difference = abs(abs(nodal.across(tag)) - part["volts"]) / net.nominal
            worst = max(worst, difference)
            assert difference < 1e-6, f"{label}: {tag} has {part['volts']} V, scipy {abs(nodal.across(tag))} V"
            if abs(part["volts"]) > 1e-9:
                reference = cmath.phase(nodal.across(tag))
                turn = (math.degrees(reference) - part["angle_deg"] + 180) % 360 - 180
                assert abs(turn) < 1e-4, f"{label}: {tag} stands at {part['angle_deg']}°, scipy {math.degrees(reference)}°"
    for tag in net.order[1:]:
        z = net.z[tag]
        if z:
            feed = net.parent[tag]
            here = (feed, "secondary") if net.rows[feed]["kind"] == "isolation-transformer" else feed
            amps = [abs(nodal.volt((here, c)) - nodal.volt((tag, c))) / abs(z) for c in CONDUCTORS[net.leg[tag]] if c != "N"]
            difference = abs(max(amps) - ours["cables"][tag]["amps"])
            assert difference < 1e-6 * max(10.0, max(amps)), f"{label}: cable to {tag} carries {ours['cables'][tag]['amps']} A, scipy {max(amps)} A"
    watts = sum((emf * nodal.v[k].conjugate()).real for k, emf in nodal.source_rows)
    difference = abs(watts - ours["sources"][net.feeding]["watts"])
    assert difference < 1e-6 * max(1000.0, watts), f"{label}: source {ours['sources'][net.feeding]['watts']} W, scipy {watts} W"
    if spice:
        for k, v in run_spice(nodal).items():
            assert abs(v - nodal.v[k]) < 1e-4 * net.nominal, f"{label}: ngspice node {k}: {v} against {nodal.v[k]}"
    return worst


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 20260301
    rng = random.Random(seed)
    worst, done, spiced = 0.0, 0, 0
    for name, text in samples():
        worst = max(worst, compare(program, text, name, True))
        done, spiced = done + 1, spiced + 1
    for i in range(count):
        spice = i % 8 == 0
        worst = max(worst, compare(program, random_list(rng), f"random {i} of seed {seed}", spice))
        done, spiced = done + 1, spiced + spice
    print(f"{done} networks against scipy ({spiced} also against ngspice), largest difference {worst:.1e} of nominal")
    print(f"{done} passed, 0 failed")


if __name__ == "__main__":
    main()
