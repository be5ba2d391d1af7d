"""Random block lines solved another way, as the fixture block_lines.json.

Needs numpy and scipy. Run: python3 block_lines.py > block_lines.json

The program settles an energy of displacements made of beam elements. Here there are no elements: it is
the force method. The hull is a cantilever held at her after end, deflections follow from the unit load
theorem (the integral of m M / EI + v V / GAs), and the unknowns are the forces of the blocks. A
non-negative least-squares solution names the bearing set; the set's own equations are then solved, and
the result is kept only if every force pushes, every gap is open and the forces balance.
"""

import json
import sys

import numpy as np
from scipy.optimize import nnls

G = 9.80665
POINTS, SHARES = np.polynomial.legendre.leggauss(5)


def tail(lengths, x):
    """Force and moment about x (t, t m) of the part of the lengths forward of x."""
    force = moment = 0.0
    for a, b, mass, centre in lengths:
        if a == b:
            if a > x:
                force += mass
                moment += mass * (a - x)
            continue
        low = max(a, x)
        if low >= b:
            continue
        # The density is a line; its value at both ends of the part gives the part's trapezoid.
        long = b - a
        at = lambda s: mass / long + 12 * mass * (centre - (a + b) / 2) / long**3 * (s - (a + b) / 2)
        near, far, run = at(low), at(b), b - low
        force += (near + far) / 2 * run
        moment += run**2 * (near + 2 * far) / 6 + (low - x) * (near + far) / 2 * run
    return force, moment


def solve(case):
    strips = []
    for number, (x, y, k, gap, width) in enumerate(case["blocks"]):
        if width == 0:
            strips.append((number, x, y, k, gap))
        else:
            arm = width / np.sqrt(12)
            strips.append((number, x, y - arm, k / 2, gap))
            strips.append((number, x, y + arm, k / 2, gap))
    owner = np.array([s[0] for s in strips])
    xs, ys, ks, gaps = (np.array([s[n] for s in strips]) for n in (1, 2, 3, 4))
    aft = case["hull"][0][0]

    breaks = {aft, *xs.tolist()}
    for a, b, *_ in case["hull"] + case["weight"] + case["buoyancy"]:
        breaks |= {a, b}
    breaks = sorted(breaks)
    flexibility = np.zeros((len(xs), len(xs)))
    down = np.zeros(len(xs))
    for low, high in zip(breaks, breaks[1:]):
        middle = (low + high) / 2
        _, _, bending, shear = next(h for h in case["hull"] if h[0] <= middle <= h[1])
        for point, share in zip(POINTS, SHARES):
            x = middle + point * (high - low) / 2
            weight = share * (high - low) / 2
            m = np.maximum(xs - x, 0.0)
            v = (xs > x).astype(float)
            force, moment = (w - b for w, b in zip(tail(case["weight"], x), tail(case["buoyancy"], x)))
            flexibility += weight * (np.outer(m, m) / bending + np.outer(v, v) / shear)
            down += weight * G * (m * moment / bending + v * force / shear)

    total = sum(w[2] for w in case["weight"]) - sum(b[2] for b in case["buoyancy"])
    turn = sum(w[2] * w[3] for w in case["weight"]) - sum(b[2] * b[3] for b in case["buoyancy"])
    rows = [np.ones(len(xs)), xs - aft]
    result = [total * G, (turn - total * aft) * G]
    if np.ptp(ys) > 0:
        rows.append(ys)
        result.append(case["athwart_tm"] * G)
    else:
        assert case["athwart_tm"] == 0 and ys[0] == 0
    rows, result = np.array(rows), np.array(result)

    give = flexibility + np.diag(1 / ks)
    lower = np.linalg.cholesky(give)
    pull = 1e4 * np.sqrt(np.trace(give) / len(xs)) / np.abs(rows).max(axis=1)
    left = np.vstack([lower.T, pull[:, None] * rows])
    right = np.concatenate([np.linalg.solve(lower, down - gaps), pull * result])
    size = np.linalg.norm(left, axis=0).max()
    bears = nnls(left / size, right / size, maxiter=100000)[0] > 1e-7 * total * G

    for _ in range(1000):
        active = np.flatnonzero(bears)
        # Where nothing that bears resists heel, she stays upright.
        felt = np.abs(rows[:, active]).max(axis=1) > 0
        few, n = int(felt.sum()), len(active)
        matrix = np.zeros((n + few, n + few))
        matrix[:n, :n] = give[np.ix_(active, active)]
        matrix[:n, n:] = -rows[felt][:, active].T
        matrix[n:, :n] = rows[felt][:, active]
        solved = np.linalg.solve(matrix, np.concatenate([(down - gaps)[active], result[felt]]))
        forces = np.zeros(len(xs))
        forces[active] = solved[:n]
        pressed = rows[felt].T @ solved[n:] + down - flexibility @ forces - gaps
        wrong_force = np.where(bears, -forces, 0.0) / (total * G)
        wrong_gap = np.where(bears, 0.0, pressed) / 0.01
        wrong = np.maximum(wrong_force, wrong_gap)
        if wrong.max() <= 0:
            break
        bears[np.argmax(wrong)] ^= True
    else:
        raise SystemExit("no bearing set found")
    assert np.allclose(rows @ forces, result, rtol=1e-10, atol=1e-8 * total * G)

    loads = np.zeros(len(case["blocks"]))
    under = np.zeros(len(case["blocks"]))
    for number in range(len(loads)):
        mine = owner == number
        loads[number] = forces[mine].sum()
        under[number] = pressed[mine].mean()
    remaining = np.where(loads > 0, 0.0, -under)
    return loads, remaining


def curve(rng, low, high, count, total):
    edges = np.sort(np.round(rng.uniform(low, high, count - 1), 2))
    edges = [low, *edges.tolist(), high]
    shares = rng.uniform(0.3, 1.0, count)
    shares *= total / shares.sum()
    made = []
    for a, b, mass in zip(edges, edges[1:], shares):
        if b - a < 0.05:
            continue
        centre = (a + b) / 2 + rng.uniform(-0.95, 0.95) * (b - a) / 6
        made.append([a, b, round(mass, 2), round(centre, 4)])
    return made


def make(rng, number):
    long = round(rng.uniform(30, 130), 1)
    cuts = [0.0, *np.sort(np.round(rng.uniform(0.1, 0.9, rng.integers(1, 5)) * long, 1)).tolist(), long]
    hull = [
        [a, b, float(f"{10 ** rng.uniform(8, 9.6):.4g}"), float(f"{10 ** rng.uniform(6.6, 7.5):.4g}")]
        for a, b in zip(cuts, cuts[1:])
        if b > a
    ]
    blocks, x = [], rng.uniform(0.0, 0.08) * long
    wide = 1.2 if number % 3 == 0 else 0.0
    kind = float(f"{10 ** rng.uniform(4.6, 5.6):.4g}")
    while x < long * rng.uniform(0.9, 1.0) and len(blocks) < 40:
        gap = round(rng.uniform(0, 0.012) * (rng.random() < 0.7), 4)
        blocks.append([round(x, 3), 0.0, round(kind * rng.uniform(0.6, 1.5)), gap, wide])
        x += rng.uniform(1.0, 4.5)
    if number % 2 == 0:
        for place in np.sort(rng.uniform(0.25, 0.75, rng.integers(1, 5))):
            station, off = round(place * long, 2), round(rng.uniform(2, 6), 2)
            for side in (-1, 1):
                gap = round(rng.uniform(0, 0.02), 4)
                width = 0.8 if wide else 0.0
                blocks.append([station, side * off, round(kind * 0.4), gap, width])
    total = long * rng.uniform(15, 60)
    weight = curve(rng, 0.0, long, int(rng.integers(3, 12)), total)
    for _ in range(rng.integers(0, 4)):
        at = round(rng.uniform(0.05, 0.95) * long, 2)
        weight.append([at, at, round(rng.uniform(5, 0.06 * total), 1), at])
    buoyancy = []
    if number % 4 == 1:
        part = rng.uniform(0.1, 0.7) * total
        buoyancy = curve(rng, round(0.03 * long, 2), round(0.97 * long, 2), int(rng.integers(1, 6)), part)
    bilge = number % 2 == 0
    athwart = round(rng.uniform(-0.02, 0.02) * total, 2) if bilge and wide else 0.0
    return {"hull": hull, "blocks": blocks, "weight": weight, "buoyancy": buoyancy, "athwart_tm": athwart}


def stands(case):
    """Whether the centre of what the blocks carry lies over the line of keel blocks."""
    parts = [(w, 1) for w in case["weight"]] + [(b, -1) for b in case["buoyancy"]]
    total = sum(sign * part[2] for part, sign in parts)
    centre = sum(sign * part[2] * part[3] for part, sign in parts) / total
    keel = [block[0] for block in case["blocks"] if block[1] == 0]
    return min(keel) < centre < max(keel)


def main():
    rng = np.random.default_rng(20310409)
    cases = []
    while len(cases) < 40:
        case = make(rng, len(cases))
        if not stands(case):
            continue
        loads, gaps = solve(case)
        case["loads_kn"] = [float(f"{load:.11g}") for load in loads]
        case["gaps_m"] = [float(f"{gap:.9g}") for gap in gaps]
        cases.append(case)
    lifted = sum(load == 0 for case in cases for load in case["loads_kn"])
    blocks = sum(len(case["blocks"]) for case in cases)
    print(f"{len(cases)} cases, {blocks} blocks, {lifted} do not bear", file=sys.stderr)
    print("[")
    print(",\n".join(json.dumps(case) for case in cases))
    print("]")


main()
