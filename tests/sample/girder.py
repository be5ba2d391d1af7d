"""How she truly lay on the blocks: the hull as a beam with shear, upright, on springs that only push.

Plain and small: two-node elements with shear, at most 0.7 m long; contact by trying sets until none changes.
"""

import hull
import layers
import weights

G_M_PER_S2 = 9.80665
LONGEST_M = 0.7


class Ground:
    """A block as the beam meets it: where, how stiff, and the gap before anything bears."""

    def __init__(self, name, x_m, spring, gap_m):
        self.name, self.x_m, self.spring, self.gap_m = name, x_m, spring, gap_m


def line(points):
    """Least-squares straight line through (x, y): value and slope as a function of x."""
    n = len(points)
    mx, my = sum(x for x, _ in points) / n, sum(y for _, y in points) / n
    slope = sum((x - mx) * (y - my) for x, y in points) / sum((x - mx) ** 2 for x, _ in points)
    return lambda x: my + slope * (x - mx)


def standing(position):
    return [b for b in layers.read_blocks() if b["positions"] in ("", position.name)]


def grounds(position):
    """Blocks that stand in a position, with gaps measured from the line of the keel blocks."""
    here = standing(position)
    tops = line([(float(b["station_m"]), float(b["top_level_m"])) for b in here if b["row"] == "keel"])
    stacks = layers.stacks()
    out = []
    for block in here:
        station = float(block["station_m"])
        x = station - position.recorded.srp_station_m
        spring = layers.spring_kn_per_m(stacks.get(block["block"], stacks[block["row"]]))
        gap = hull.keel_rise_m(x)
        gap += float(block["clearance_mm"]) / 1000.0 if block["clearance_mm"] else tops(station) - float(block["top_level_m"])
        out.append(Ground(block["block"], x, spring, gap))
    return out


def nodes(marks):
    marks = sorted(set(round(m, 6) for m in marks))
    out = [marks[0]]
    for a, b in zip(marks, marks[1:]):
        parts = max(1, -int(-(b - a) // LONGEST_M))
        out += [a + (b - a) * k / parts for k in range(1, parts + 1)]
    return out


def element(length, ei, ga):
    """Stiffness of a beam element with shear: (w, slope) at each end."""
    phi = 12.0 * ei / (ga * length * length)
    c = ei / (length**3 * (1.0 + phi))
    a, b, near, far = 12.0 * c, 6.0 * length * c, (4.0 + phi) * length**2 * c, (2.0 - phi) * length**2 * c
    return [[a, b, -a, b], [b, near, -b, far], [-a, -b, a, -b], [b, far, -b, near]]


def solve_banded(rows, load, band=4):
    """Gauss elimination of a symmetric matrix held as {column: value} rows of small bandwidth."""
    n = len(rows)
    rows, load = [dict(r) for r in rows], list(load)
    for i in range(n):
        pivot = rows[i][i]
        for j in range(i + 1, min(n, i + band)):
            if i in rows[j]:
                factor = rows[j][i] / pivot
                for k, value in rows[i].items():
                    if k > i:
                        rows[j][k] = rows[j].get(k, 0.0) - factor * value
                load[j] -= factor * load[i]
    out = [0.0] * n
    for i in reversed(range(n)):
        out[i] = (load[i] - sum(v * out[k] for k, v in rows[i].items() if k > i)) / rows[i][i]
    return out


def spread(xs, load, a, b, mass, centre):
    """A length of the weight curve onto the nodes: linear from a to b, in small pieces, by the lever."""
    if a == b:
        pieces = [(a, mass)]
    else:
        count, step = 40, (b - a) / 40
        tilt = 12.0 * (centre - (a + b) / 2.0) / (b - a) ** 2
        mids = [a + (n + 0.5) * step for n in range(count)]
        parts = [1.0 + tilt * (x - (a + b) / 2.0) for x in mids]
        pieces = [(x, mass * p / sum(parts)) for x, p in zip(mids, parts)]
    for x, m in pieces:
        i = max(0, min(len(xs) - 2, next((k for k in range(len(xs)) if xs[k] >= x), 1) - 1))
        part = (x - xs[i]) / (xs[i + 1] - xs[i])
        load[2 * i] += m * G_M_PER_S2 * (1.0 - part)
        load[2 * i + 2] += m * G_M_PER_S2 * part


def rest(position, moved=(), buoyancy=()):
    """{block: (load t, gap m)} with weights moved as (x, mass) and buoyancy as (from, to, mass, centre)."""
    on = grounds(position)
    weigh = [row[:4] for row in weights.along()] + [(x, x, mass, x) for x, mass in moved]
    weigh += [(a, b, -mass, centre) for a, b, mass, centre in buoyancy]
    marks = [g.x_m for g in on] + [x for row in weigh for x in row[:2]] + [x for row in weights.STIFFNESS for x in row[:2]]
    xs = nodes(marks)
    base, load = [{} for _ in range(2 * len(xs))], [0.0] * (2 * len(xs))
    for i, (a, b) in enumerate(zip(xs, xs[1:])):
        _, _, moment, area = next(row for row in weights.STIFFNESS if row[0] <= (a + b) / 2.0 <= row[1])
        k = element(b - a, moment * weights.E_GPA * 1e6, area * weights.G_GPA * 1e6)
        for p in range(4):
            for q in range(4):
                base[2 * i + p][2 * i + q] = base[2 * i + p].get(2 * i + q, 0.0) + k[p][q]
    for row in weigh:
        spread(xs, load, *row)
    at = {g.name: min(range(len(xs)), key=lambda i: abs(xs[i] - g.x_m)) for g in on}
    bearing = {g.name for g in on}
    for _ in range(60):
        rows, force = [dict(r) for r in base], list(load)
        for g in on:
            if g.name in bearing:
                rows[2 * at[g.name]][2 * at[g.name]] += g.spring
                force[2 * at[g.name]] += g.spring * g.gap_m
        down = solve_banded(rows, force)
        touching = {g.name for g in on if down[2 * at[g.name]] > g.gap_m}
        if touching == bearing:
            break
        bearing = touching
    return {
        g.name: (max(0.0, down[2 * at[g.name]] - g.gap_m) * g.spring / G_M_PER_S2, max(0.0, g.gap_m - down[2 * at[g.name]]))
        for g in on
    }
