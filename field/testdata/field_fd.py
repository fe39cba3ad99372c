"""The same finite volumes by an independent program on SciPy.

Reads cases as JSON from standard input and prints the temperatures of each by
cell. All cells hold material; every face outside has one film to one
temperature, the inner face on an axis none. A case without "end" is steady
(sparse direct solver); with "end" it starts from one temperature and is
followed by a Runge-Kutta solver of high order and small tolerance. A latent
heat makes all cells melt at 273.15 K, with conductivity and heat capacity the
same in both phases.
"""
import json
import sys

import numpy as np
import scipy.integrate as si
import scipy.sparse as sp
import scipy.sparse.linalg as sl


def assemble(c):
    edges = [np.array(e) for e in c["edges"]]
    while len(edges) < 3:
        edges.append(np.array([0.0, 1.0]))
    axes = len(c["edges"])
    ring = c["geometry"] == 1
    shape = [len(e) - 1 for e in edges]
    number = np.arange(np.prod(shape)).reshape(shape, order="F")
    k = np.array(c["conductivity"]).reshape(-1, axes)
    width = [np.diff(e) for e in edges]
    if ring:
        radius = edges[0]
        node = np.sqrt((radius[1:] ** 2 + radius[1:] * radius[:-1] + radius[:-1] ** 2) / 3)
        cross = np.pi * np.diff(radius ** 2)
    n = number.size
    matrix = sp.lil_matrix((n, n))
    right, volume = np.zeros(n), np.zeros(n)
    for at in np.ndindex(*shape):
        p = number[at]
        w = [width[a][at[a]] for a in range(3)]
        volume[p] = cross[at[0]] * w[1] if ring else w[0] * w[1] * w[2]
        for a in range(axes):
            for up in (0, 1):
                def path(where):
                    """Area of the face of a cell and resistance to it, without k."""
                    x = [width[b][where[b]] for b in range(3)]
                    if ring and a == 0:
                        r = radius[at[0] + up]
                        area = 2 * np.pi * r * x[1]
                        if area == 0:
                            return 0, None
                        return area, abs(np.log(r / node[where[0]])) / (2 * np.pi * x[1])
                    area = cross[where[0]] if ring else x[0] * x[1] * x[2] / x[a]
                    return area, x[a] / 2 / area
                area, half = path(at)
                if area == 0:
                    continue
                beside = list(at)
                beside[a] += 2 * up - 1
                if 0 <= beside[a] < shape[a]:
                    q = number[tuple(beside)]
                    g = 1 / (half / k[p, a] + path(beside)[1] / k[q, a])
                    matrix[p, p] += g
                    matrix[p, q] -= g
                else:
                    g = 1 / (half / k[p, a] + 1 / (c["film"] * area))
                    matrix[p, p] += g
                    right[p] += g * c["outside"][2 * a + up]
    return matrix.tocsc(), right, volume


def solve(c):
    matrix, right, volume = assemble(c)
    if not c.get("end"):
        return sl.spsolve(matrix, right).tolist()
    heat, latent = c["heat"], c.get("latent", 0.0)

    def temperature(h):
        return 273.15 + np.where(h < 0, h, np.where(h <= latent, 0, h - latent)) / heat

    def rate(_, h):
        return (right - matrix @ temperature(h)) / volume

    start = np.full(len(volume), (c["start"] - 273.15) * heat)
    start[start > 0] += latent
    done = si.solve_ivp(rate, (0, c["end"]), start, method="RK45", rtol=1e-8, atol=1e-6 * heat)
    return temperature(done.y[:, -1]).tolist()


print(json.dumps([solve(c) for c in json.load(sys.stdin)]))
