"""Steps of time of a frozen network by SciPy's sparse direct solver.

Reads capacity (J/K) of nodes, links [a, b, conductance] (b is -1 for one to a
fixed temperature), the heat (W) that flows into each node at the start, and the
steps, as JSON from standard input. Takes them by ROS2 (gamma = 1 - 1/sqrt(2)),
factorising anew at every step as a network whose conductances change must, and
prints the change of every temperature (K) and the seconds that the steps took.
"""
import json
import sys
import time

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as sl

c = json.load(sys.stdin)
capacity, start = np.array(c["capacity"]), np.array(c["heat"])
n, h, gamma = len(capacity), c["step"], 1 - 1 / np.sqrt(2)
a, b, g = (np.array(x) for x in zip(*c["links"]))
a, b = a.astype(int), b.astype(int)
inner = b >= 0
diagonal = np.bincount(a, g, n) + np.bincount(b[inner], g[inner], n)
rows, columns, values = np.r_[a[inner], b[inner]], np.r_[b[inner], a[inner]], np.r_[-g[inner], -g[inner]]
conductance = (sp.coo_matrix((values, (rows, columns)), (n, n)) + sp.diags(diagonal)).tocsc()

change = np.zeros(n)
began = time.perf_counter()
for _ in range(c["steps"]):
    solver = sl.splu(sp.diags(capacity).tocsc() + gamma * h * conductance)
    first = solver.solve(start - conductance @ change)
    second = solver.solve(start - conductance @ (change + h * first) - 2 * capacity * first)
    change = change + h * (1.5 * first + 0.5 * second)
json.dump({"change": change.tolist(), "seconds": time.perf_counter() - began}, sys.stdout)
