#!/usr/bin/env python3
"""The same radial networks solved by Hullwire and by general-purpose tools, in one run; prints ratios and compares results.

    pip install numpy scipy networkx numba pandapower
    python3 benches/peers/compare.py [--sizes 60,1000,10000,100000] [--skip pandapower]

Networks: random trees, constant power and constant impedance mixed, nodes in random order, loads scaled so that the weakest
node has 92 % of nominal. Every tool gets the same arrays and is asked for 1e-10 of nominal; ordering is part of the time
where the tool needs one. Hullwire and the numba loop are timed twice: with fresh memory for each solve, as the other tools
are, and in memory that is kept from one solve to the next, like with like. A tool that differs from the numba loop by more
than 1e-8 of nominal fails the run.
"""

import argparse
import json
import pathlib
import subprocess
import sys
import tempfile
import time

import networkx as nx
import numba
import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as spl

NOMINAL = 120.0
TOLERANCE = 1e-10
HERE = pathlib.Path(__file__).resolve()


@numba.njit
def order_into(parent, start, child, fill, out):
    n = len(parent)
    start[:] = 0
    for i in range(n):
        if parent[i] >= 0:
            start[parent[i] + 1] += 1
    for i in range(n):
        start[i + 1] += start[i]
    fill[:] = start
    k = 0
    for i in range(n):
        p = parent[i]
        if p >= 0:
            child[fill[p]] = i
            fill[p] += 1
        else:
            out[k] = i
            k += 1
    h = 0
    while h < k:
        a = out[h]
        h += 1
        for c in range(start[a], start[a + 1]):
            out[k] = child[c]
            k += 1


@numba.njit
def parent_first(parent):
    n = len(parent)
    out = np.empty(n, np.int64)
    order_into(parent, np.empty(n + 1, np.int64), np.empty(n, np.int64), np.empty(n + 1, np.int64), out)
    return out


@numba.njit
def sweeps_into(parent, order, z, power, admittance, nominal, tolerance, v, i):
    n = len(parent)
    v[:] = nominal
    for sweep in range(100):
        for k in range(n):
            i[k] = np.conj(power[k] / v[k]) + admittance[k] * v[k]
        for q in range(n - 1, -1, -1):
            a = order[q]
            if parent[a] >= 0:
                i[parent[a]] += i[a]
        change = 0.0
        for q in range(n):
            a = order[q]
            if parent[a] < 0:
                continue
            new = v[parent[a]] - 2.0 * z[a] * i[a]
            d = abs(new - v[a])
            if d > change:
                change = d
            v[a] = new
        if change <= tolerance * nominal:
            return sweep + 1
    return -1


@numba.njit
def flat_sweeps(parent, order, z, power, admittance, nominal, tolerance):
    n = len(parent)
    v = np.empty(n, np.complex128)
    i = np.empty(n, np.complex128)
    sweeps = sweeps_into(parent, order, z, power, admittance, nominal, tolerance, v, i)
    return v, sweeps


def by_numba(net):
    order = parent_first(net["parent"])
    return flat_sweeps(net["parent"], order, net["z"], net["power"], net["admittance"], NOMINAL, TOLERANCE)[0]


class KeptNumba:
    """The same in memory that is kept from one solve to the next."""

    def __init__(self, count):
        integers = (count + 1, count, count + 1, count)
        self.start, self.child, self.fill, self.order = (np.empty(n, np.int64) for n in integers)
        self.v, self.i = np.empty(count, np.complex128), np.empty(count, np.complex128)

    def solve(self, net):
        order_into(net["parent"], self.start, self.child, self.fill, self.order)
        sweeps_into(net["parent"], self.order, net["z"], net["power"], net["admittance"], NOMINAL, TOLERANCE, self.v, self.i)
        return self.v


def by_networkx(net):
    parent, z, power, admittance = (net[k] for k in ("parent", "z", "power", "admittance"))
    graph = nx.DiGraph()
    graph.add_nodes_from(range(len(parent)))
    graph.add_edges_from((int(p), k) for k, p in enumerate(parent) if p >= 0)
    order = list(nx.topological_sort(graph))
    feed = {k: next(iter(graph.predecessors(k)), None) for k in order}
    v = {k: NOMINAL + 0j for k in order}
    for _ in range(100):
        i = {k: (power[k] / v[k]).conjugate() + admittance[k] * v[k] for k in order}
        for k in reversed(order):
            if feed[k] is not None:
                i[feed[k]] += i[k]
        change = 0.0
        for k in order:
            if feed[k] is None:
                continue
            new = v[feed[k]] - 2 * z[k] * i[k]
            change = max(change, abs(new - v[k]))
            v[k] = new
        if change <= TOLERANCE * NOMINAL:
            break
    return np.array([v[k] for k in range(len(parent))])


def by_levels(net):
    parent, z, power, admittance = (net[k] for k in ("parent", "z", "power", "admittance"))
    order = parent_first(parent)
    depth = np.zeros(len(parent), np.int64)
    for k in order:
        if parent[k] >= 0:
            depth[k] = depth[parent[k]] + 1
    levels = [np.flatnonzero(depth == d) for d in range(1, depth.max() + 1)]
    v = np.full(len(parent), NOMINAL + 0j)
    for _ in range(100):
        i = np.conj(power / v) + admittance * v
        for level in reversed(levels):
            np.add.at(i, parent[level], i[level])
        change = 0.0
        for level in levels:
            new = v[parent[level]] - 2 * z[level] * i[level]
            change = max(change, np.abs(new - v[level]).max())
            v[level] = new
        if change <= TOLERANCE * NOMINAL:
            break
    return v


def by_sparse_lu(net):
    parent, z, power, admittance = (net[k] for k in ("parent", "z", "power", "admittance"))
    n = len(parent)
    child = np.flatnonzero(parent >= 0)
    y = 1.0 / (2.0 * z[child])
    up = parent[child]
    rows = np.concatenate([child, up, child, up, np.arange(n)])
    cols = np.concatenate([child, up, up, child, np.arange(n)])
    root = np.flatnonzero(parent < 0)
    data = np.concatenate([y, y, -y, -y, admittance])
    matrix = sp.csr_matrix((data, (rows, cols)), shape=(n, n)).tolil()
    for r in root:
        matrix.rows[r], matrix.data[r] = [int(r)], [1.0 + 0j]
    factor = spl.splu(matrix.tocsc())
    v = np.full(n, NOMINAL + 0j)
    for _ in range(100):
        rhs = -np.conj(power / v)
        rhs[root] = NOMINAL
        new = factor.solve(rhs)
        change = np.abs(new - v).max()
        v = new
        if change <= TOLERANCE * NOMINAL:
            break
    return v


def pandapower_net(net):
    import pandapower as pp

    parent, z, power, admittance = (net[k] for k in ("parent", "z", "power", "admittance"))
    grid = pp.create_empty_network(sn_mva=1e-3)
    n = len(parent)
    kv = NOMINAL / 1e3
    pp.create_buses(grid, n, vn_kv=kv)
    # Its backward/forward sweep takes the first bus for the source.
    root = int(np.flatnonzero(parent < 0)[0])
    bus = (np.arange(n) - root) % n
    pp.create_ext_grid(grid, 0, vm_pu=1.0)
    child = np.flatnonzero(parent >= 0)
    # Balanced three-phase stand-in: the loop of one conductor pair as the phase impedance, powers as total.
    pp.create_lines_from_parameters(
        grid, bus[parent[child]], bus[child], length_km=1.0, r_ohm_per_km=2 * z[child].real, x_ohm_per_km=2 * z[child].imag,
        c_nf_per_km=0.0, max_i_ka=1e6)
    rated = np.conj(admittance) * NOMINAL**2
    total = power + rated
    part = np.where(np.abs(total) > 0, np.abs(rated) / np.maximum(np.abs(total), 1e-300), 0) * 100
    drawing = np.flatnonzero(np.abs(total) > 0)
    pp.create_loads(
        grid, bus[drawing], p_mw=total[drawing].real / 1e6, q_mvar=total[drawing].imag / 1e6,
        const_z_p_percent=part[drawing], const_z_q_percent=part[drawing])
    return grid, bus


def by_pandapower(net, algorithm):
    import pandapower as pp

    grid, bus = net
    pp.runpp(grid, algorithm=algorithm, tolerance_mva=1e-11, max_iteration=100, init="flat", numba=True,
             calculate_voltage_angles=True)
    volts = grid.res_bus.vm_pu.to_numpy() * NOMINAL * np.exp(1j * np.deg2rad(grid.res_bus.va_degree.to_numpy()))
    return volts[bus]


def network(n):
    rng = np.random.default_rng(n)
    count = n + 1
    tree = np.array([-1] + [rng.integers(max(0, (i - 1) // 4), i) for i in range(1, count)])
    place = rng.permutation(count)
    parent = np.empty(count, np.int64)
    parent[place] = np.where(tree < 0, -1, place[np.maximum(tree, 0)])
    z = rng.uniform(0.005, 0.025, count) + 1j * rng.uniform(0.0005, 0.0025, count)
    z[parent < 0] = 0  # a source stands at nominal; no cable feeds it
    watts = rng.uniform(5, 20, count) * (1 + 0.3j)
    impedance = rng.random(count) < 0.4

    def loaded(scale):
        s = watts * scale
        return {"parent": parent, "z": z, "power": np.where(impedance, 0, s),
                "admittance": np.where(impedance, np.conj(s) / NOMINAL**2, 0)}

    low, high = 0.0, 10.0
    for _ in range(25):
        middle = (low + high) / 2
        net = loaded(middle)
        v, sweeps = flat_sweeps(parent, parent_first(parent), net["z"], net["power"], net["admittance"], NOMINAL, 1e-4)
        if sweeps < 0 or np.abs(v).min() < 0.92 * NOMINAL:
            high = middle
        else:
            low = middle
    return loaded(low)


def by_hullwire(program, net, repeats, folder):
    n = len(net["parent"])
    record = np.empty((n, 7))
    record[:, 0] = net["parent"]
    for k, key in enumerate(("z", "power", "admittance")):
        record[:, 1 + 2 * k], record[:, 2 + 2 * k] = net[key].real, net[key].imag
    path = pathlib.Path(folder) / f"{n}.network"
    path.write_bytes(np.concatenate([[n, NOMINAL], record.ravel()]).astype("<f8").tobytes())
    said = json.loads(subprocess.run([program, str(path), str(repeats)], check=True, capture_output=True, text=True).stdout)
    volts = np.frombuffer(pathlib.Path(f"{path}.volts").read_bytes(), "<f8").reshape(-1, 2)
    return volts[:, 0] + 1j * volts[:, 1], said


def timed(call, budget=2.0, most=50):
    times, answer = [], None
    end = time.perf_counter() + budget
    while len(times) < most and (not times or time.perf_counter() < end):
        start = time.perf_counter()
        answer = call()
        times.append(time.perf_counter() - start)
    return float(np.median(times)), answer


def build():
    out = subprocess.run(
        ["cargo", "bench", "--no-default-features", "--bench", "peers", "--no-run", "--message-format=json"],
        cwd=HERE.parents[2], check=True, capture_output=True, text=True).stdout
    return [m["executable"] for m in map(json.loads, out.splitlines()) if m.get("executable")][-1]


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sizes", default="60,1000,10000,100000")
    parser.add_argument("--ours", help="the built bench, where it is there already")
    parser.add_argument("--skip", default="", help="peers to leave out, comma between them")
    asked = parser.parse_args()
    skipped = set(filter(None, asked.skip.split(",")))
    program = asked.ours or build()
    wrong = []
    print("| branches | tool | time | tool / Hullwire | largest difference |")
    print("| ---: | --- | ---: | ---: | ---: |")
    for n in map(int, asked.sizes.split(",")):
        net = network(n)
        by_numba(net)
        with tempfile.TemporaryDirectory() as folder:
            volts, said = by_hullwire(program, net, 200 if n <= 10000 else 25, folder)
        ours, kept = said["fresh_s"], said["order_s"] + said["solve_s"]
        reference = by_numba(net)
        kept_numba = KeptNumba(len(net["parent"]))
        kept_numba.solve(net)
        peers = {"numba flat loop": lambda: by_numba(net), "numba flat loop, memory kept": lambda: kept_numba.solve(net),
                 "numpy by level": lambda: by_levels(net),
                 "networkx sweep": lambda: by_networkx(net), "scipy sparse LU": lambda: by_sparse_lu(net)}
        if "pandapower" not in skipped and n <= 10000:
            grid = pandapower_net(net)
            peers["pandapower bfsw"] = lambda: by_pandapower(grid, "bfsw")
            peers["pandapower nr"] = lambda: by_pandapower(grid, "nr")
        difference = np.abs(volts - reference).max() / NOMINAL
        print(f"| {n} | Hullwire ({said['sweeps']} sweeps) | {ours * 1e3:.3f} ms | 1 | {difference:.1e} |", flush=True)
        print(f"| {n} | Hullwire, memory kept (ordering {said['order_s'] * 1e3:.3f} ms) | {kept * 1e3:.3f} ms | 1 "
              f"| {difference:.1e} |", flush=True)
        if difference > 1e-8:
            wrong.append(f"Hullwire at {n}")
        for name, call in peers.items():
            if name.split()[0] in skipped:
                continue
            try:
                seconds, answer = timed(call)
            except Exception as error:  # a peer that gives up is said to; the others go on
                print(f"| {n} | {name} | {type(error).__name__} | – | – |", flush=True)
                continue
            difference = np.abs(answer - reference).max() / NOMINAL
            print(f"| {n} | {name} | {seconds * 1e3:.3f} ms | {seconds / (kept if 'kept' in name else ours):.1f} "
                  f"| {difference:.1e} |", flush=True)
            if difference > 1e-8:
                wrong.append(f"{name} at {n}")
    if wrong:
        sys.exit("results differ: " + ", ".join(wrong))


if __name__ == "__main__":
    main()
