"""Steady heat flow into the cup of a stand, by finite volumes on a fine grid.

An independent second method for the network's section: reads cases as JSON
from standard input, prints W/K for each. Numbers of the cases are lengths in
m, conductivities in W/(m K), coefficients in W/(m2 K). The room is at 1, the
store at 0, the plate in between.
"""
import json
import sys

import numpy as np
import scipy.sparse as sp
import scipy.sparse.linalg as sl


def solve(c):
    step = c["step"]
    outer, height, cup, depth = c["outer"], c["height"], c["cup"], c["depth"]
    base = height - depth
    nr, nz = round(outer / step), round(height / step)
    r, z = (np.arange(nr) + 0.5) * step, (np.arange(nz) + 0.5) * step
    R, Z = np.meshgrid(r, z, indexing="ij")
    k = np.full((nr, nz), c["polymer"])
    if c["filling"]:
        s, rim = c["skin"], c["rim"]
        k[(R > cup + s) & (R < outer - s) & (Z > s) & (Z < height - rim)] = c["filling"]
        k[(R < cup) & (Z > s) & (Z < base - s)] = c["filling"]
    solid = ~((R < cup) & (Z > base))
    index = -np.ones((nr, nz), int)
    index[solid] = np.arange(solid.sum())
    n = solid.sum()
    rows, cols, vals = [], [], []
    diagonal, source, into = np.zeros(n), np.zeros(n), np.zeros(n)

    def couple(p, q, g):
        rows.extend((p, q)); cols.extend((q, p)); vals.extend((-g, -g))
        diagonal[p] += g; diagonal[q] += g

    def fix(p, area, h, kk, temperature, store=False):
        g = area / (1 / h + step / 2 / kk)
        diagonal[p] += g
        source[p] += g * temperature
        if store:
            into[p] += g

    for i in range(nr):
        ring = np.pi * ((i + 1) ** 2 - i ** 2) * step ** 2
        for j in range(nz):
            p = index[i, j]
            if p < 0:
                continue
            side = 2 * np.pi * (i + 1) * step * step
            if i + 1 == nr:
                fix(p, side, c["h_side"], k[i, j], 1)
            elif index[i + 1, j] >= 0:
                couple(p, index[i + 1, j], side * 2 / step / (1 / k[i, j] + 1 / k[i + 1, j]))
            if i > 0 and index[i - 1, j] < 0 and z[j] - base < c["level"]:
                fix(p, 2 * np.pi * i * step * step, c["h_in"], k[i, j], 0, True)
            if j == 0:
                fix(p, ring, c["h_under"], k[i, j], 1)
            if j + 1 == nz:
                if r[i] < c["plate"]:
                    fix(p, ring, c["h_contact"], k[i, j], c["plate_temperature"])
                else:
                    fix(p, ring, c["h_side"], k[i, j], 1)
            elif index[i, j + 1] >= 0:
                couple(p, index[i, j + 1], ring * 2 / step / (1 / k[i, j] + 1 / k[i, j + 1]))
            else:
                fix(p, ring, c["h_in"], k[i, j], 0, True)
    matrix = sp.csr_matrix((vals, (rows, cols)), shape=(n, n)) + sp.diags(diagonal)
    temperature = sl.spsolve(matrix.tocsc(), source)
    return float((into * temperature).sum())


print(json.dumps([solve(c) for c in json.load(sys.stdin)]))
