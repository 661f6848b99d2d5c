"""Short circuit and load flow of radial networks by pandapower, in an environment of its own.

Reads JSON from the standard input: a list of networks, each
  voltage_V     line to line (or line to neutral for that loop)
  source_ohm    [r, x] of the source's loop
  lines         list of {"from": name, "to": name, "ohm": [r, x]}, loop impedances, the first "from" is the source
  load          {"at": name, "current_A": ..., "power_factor": ...} or null
and prints JSON: for each network {"fault_A": {name: current}, "drop_V": number or null}.

A single-phase loop is put in as one phase of a balanced three-phase line: nominal voltage sqrt(3) times the loop's.
The voltage factor of IEC 60909 is put into the source and taken out of its result.
"""

from __future__ import annotations

import json
import math
import sys
from typing import Any

import pandapower
from pandapower import shortcircuit

FACTOR = 1.05
"""Voltage factor c for low voltage with a tolerance of 6 %."""


def built(network: dict[str, Any]) -> tuple[Any, dict[str, int]]:
    """The network in pandapower, and its buses by name."""
    kilovolt = math.sqrt(3) * network["voltage_V"] / 1000
    r, x = network["source_ohm"]
    net = pandapower.create_empty_network(f_hz=60)
    first = network["lines"][0]["from"] if network["lines"] else "source"
    buses = {first: pandapower.create_bus(net, vn_kv=kilovolt)}
    power = FACTOR * kilovolt**2 / math.hypot(r, x)
    ratio = r / x
    pandapower.create_ext_grid(
        net, buses[first], s_sc_max_mva=power, s_sc_min_mva=power, rx_max=ratio, rx_min=ratio, vm_pu=1.0
    )
    for line in network["lines"]:
        buses[line["to"]] = pandapower.create_bus(net, vn_kv=kilovolt)
        pandapower.create_line_from_parameters(
            net,
            buses[line["from"]],
            buses[line["to"]],
            length_km=1.0,
            r_ohm_per_km=line["ohm"][0],
            x_ohm_per_km=line["ohm"][1],
            c_nf_per_km=0.0,
            max_i_ka=100.0,
        )
    return net, buses


def faults(network: dict[str, Any]) -> dict[str, float]:
    """Three-phase fault current at each bus, which is the loop's own current."""
    net, buses = built(network)
    shortcircuit.calc_sc(net, case="max", fault="3ph", lv_tol_percent=6)
    return {name: float(net.res_bus_sc.ikss_ka[bus]) * 1000 / FACTOR for name, bus in buses.items()}


def drop(network: dict[str, Any]) -> float | None:
    """Voltage lost between the source's bus and the load, which draws its current at the voltage it gets."""
    load = network.get("load")
    if load is None:
        return None
    net, buses = built(network)
    volts = network["voltage_V"]
    lost = 0.0
    bus = buses[load["at"]]
    index = pandapower.create_load(net, bus, p_mw=0.0, q_mvar=0.0)
    for _ in range(40):
        before = lost
        apparent = 3 * load["current_A"] * (volts - lost) / 1e6
        net.load.loc[index, "p_mw"] = apparent * load["power_factor"]
        net.load.loc[index, "q_mvar"] = apparent * math.sin(math.acos(load["power_factor"]))
        pandapower.runpp(net, numba=False, tolerance_mva=1e-12)
        lost = volts * (1 - float(net.res_bus.vm_pu[bus]))
        if abs(lost - before) < 1e-9 * volts:
            return lost
    raise RuntimeError("the load flow does not settle")


def main() -> None:
    """Read, compute, print."""
    networks = json.load(sys.stdin)
    json.dump([{"fault_A": faults(n), "drop_V": drop(n)} for n in networks], sys.stdout)


if __name__ == "__main__":
    main()
