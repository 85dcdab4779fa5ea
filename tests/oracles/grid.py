#!/usr/bin/env python3
"""Holds `hullwire solve` against the power flow of pandapower (Newton-Raphson on the admittance matrix).

usage: grid.py HULLWIRE [COUNT] [SEED]

Two-wire installations without a transformer: the samples that are such, and COUNT random ones. A pair of conductors becomes
one line with the impedance of the way out and back; a cable without a size joins two buses; the power flow's per-unit
figures hold for one phase as for three. Volts to 1e-6 of nominal, source watts to 1e-6 of the largest figure.
"""

import logging
import random
import sys
import warnings

import numpy as np
import pandapower as pp

from check import Network, ask, impedance, random_list, samples

warnings.filterwarnings("ignore")
logging.disable(logging.WARNING)


def grid(net):
    """The network as buses, lines and loads; and the bus of each tag."""
    out = pp.create_empty_network(sn_mva=1e-3, f_hz=net.hertz)
    kv = net.nominal / 1e3
    bus = {tag: pp.create_bus(out, vn_kv=kv, name=tag) for tag in net.order}

    def join(a, b, z):
        if z == 0:
            pp.create_switch(out, bus=a, element=b, et="b", closed=True)
        else:
            pp.create_line_from_parameters(
                out, a, b, length_km=1.0, r_ohm_per_km=2 * z.real, x_ohm_per_km=2 * z.imag, c_nf_per_km=0.0, max_i_ka=1e3)

    row = net.rows[net.feeding]
    source = bus[net.feeding]
    cord = row.get("conductor") or "none"
    if row["kind"] == "shore-inlet" and cord != "none":
        basis = net.head.get("resistance", "published")
        usual = 70.0 if net.hertz == 50 else 75.0
        source = pp.create_bus(out, vn_kv=kv, name="pedestal")
        z = impedance(cord, float(row["length_m"]), float(row.get("insulation_c") or usual), basis, net.hertz)
        join(source, bus[net.feeding], complex(z))
    pp.create_ext_grid(out, source, vm_pu=float(row.get("volts") or net.nominal) / net.nominal)
    for tag in net.order[1:]:
        join(bus[net.parent[tag]], bus[tag], complex(net.z[tag]))
    for tag, _, s, kind in net.loads():
        # A shunt is a constant impedance whatever else is on its bus.
        create = pp.create_shunt if kind == "impedance" else pp.create_load
        create(out, bus[tag], p_mw=s.real / 1e6, q_mvar=s.imag / 1e6)
    return out, bus


def compare(program, text, label):
    """Largest difference in volts, as a share of nominal; None where the network is not of this kind."""
    net = Network(text)
    kinds = {net.rows[tag]["kind"] for tag in net.order}
    if net.split or "isolation-transformer" in kinds:
        return None
    theirs, bus = grid(net)
    pp.runpp(theirs, algorithm="nr", tolerance_mva=1e-11, max_iteration=50, init="flat", numba=False)
    volts = theirs.res_bus.vm_pu * net.nominal
    ours = ask(program, text, label)
    worst = 0.0
    for tag in net.order:
        difference = abs(volts[bus[tag]] - ours["parts"][tag]["volts"]) / net.nominal
        worst = max(worst, difference)
        assert difference < 1e-6, f"{label}: {tag} has {ours['parts'][tag]['volts']} V, pandapower {volts[bus[tag]]} V"
    watts = float(np.sum(theirs.res_ext_grid.p_mw)) * 1e6
    difference = abs(watts - ours["sources"][net.feeding]["watts"])
    assert difference < 1e-6 * max(1000.0, watts), f"{label}: {ours['sources'][net.feeding]['watts']} W, pandapower {watts} W"
    return worst


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 100
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 20260301
    rng = random.Random(seed)
    worst = [w for name, text in samples() if (w := compare(program, text, name)) is not None]
    assert worst, "no sample is a two-wire installation"
    count, drawn = len(worst) + count, 0
    while len(worst) < count:
        w = compare(program, random_list(rng), f"random {drawn} of seed {seed}")
        drawn += 1
        if w is not None:
            worst.append(w)
    print(f"{len(worst)} two-wire networks against pandapower, largest difference {max(worst):.1e} of nominal")


main()
