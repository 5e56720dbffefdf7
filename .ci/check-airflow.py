"""Solves ten random networks of channels by scipy and compares the flows.

Aim: the flows that the tests wrote (tests/airflow.rs), computed again by another library in another way: pressures as
unknowns, each link's flow found from its law by bracketing, the balance of the nodes by scipy.optimize.root.
Use: check-airflow.py NETWORKS.json
"""

import json
import sys

import numpy as np
from scipy.optimize import brentq, root


def loss(link, m):
    a, c = link["laminar"], link["turbulent"]
    size = abs(m)
    square = link["forward"] if m >= 0 else link["backward"]
    return np.sign(m) * (((a * size) ** 8 + (c * size**1.75) ** 8) ** 0.125 + square * size**2)


def flow(link, push):
    if push == 0:
        return 0.0
    end = np.sign(push) * 1e-6
    while abs(loss(link, end)) < abs(push):
        end *= 4
    low, high = sorted((0.0, end))
    return brentq(lambda m: loss(link, m) - push, low, high, xtol=1e-16, rtol=8.9e-16)


def check(number, network):
    given = network["given"]
    # Places that no opening reaches have no pressure and no flow.
    free = [i for i, p in enumerate(given) if p is None and network["pressures"][i] is not None]
    at = {node: k for k, node in enumerate(free)}
    live = [l for l in network["links"] if network["pressures"][l["from"]] is not None]
    if any(l["flow"] != 0 for l in network["links"] if l not in live):
        return f"network {number}: a flow where nothing can flow"

    def pressure(x, node):
        return x[at[node]] if node in at else given[node]

    def balance(x):
        net = np.zeros(len(free))
        for l in live:
            m = flow(l, pressure(x, l["from"]) - pressure(x, l["to"]) + l["drive"])
            for node, sign in ((l["from"], -1), (l["to"], 1)):
                if node in at:
                    net[at[node]] += sign * m
        return net * 1e3

    found = root(balance, np.full(len(free), 0.5), method="hybr", options={"xtol": 1e-13, "maxfev": 200000})
    if np.abs(found.fun).max() > 1e-8:
        found = root(balance, found.x, method="lm", options={"xtol": 1e-15, "ftol": 1e-15, "maxiter": 200000})
    flows = np.array([flow(l, pressure(found.x, l["from"]) - pressure(found.x, l["to"]) + l["drive"]) for l in live])
    ours = np.array([l["flow"] for l in live])
    scale = np.abs(ours).max()
    worst = np.abs(flows - ours).max() / scale
    print(f"  network {number}: {len(live)} links, largest difference {worst:.1e} of the largest flow")
    return None if worst < 1e-5 else f"network {number}: flows differ by {worst:.1e}"


with open(sys.argv[1], encoding="utf-8") as file:
    networks = json.load(file)
if len(networks) != 10:
    sys.exit(f"{len(networks)} networks, ten were expected")
faults = [fault for k, n in enumerate(networks) if (fault := check(k + 1, n))]
if faults:
    sys.exit("\n".join(faults))
