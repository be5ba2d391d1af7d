"""The share of pairs that are alike, with numpy: over all pairs one by one, where the program counts values. Prints JSON."""

import json

import numpy as np

rng = np.random.default_rng(2031)


def share(series):
    alike = sum(int(np.sum(np.triu(np.equal.outer(s, s), 1))) for s in series)
    pairs = sum(len(s) * (len(s) - 1) // 2 for s in series)
    return alike / pairs


cases = []
for spread, step in [(25, 1), (25, 5), (4, 1)]:
    series, begins = [], []
    for spots in (12, 20):
        middle = rng.normal(160, spread, spots)
        reading = np.round((middle[:, None] + rng.normal(0, 3, (spots, 3))) / step) * step
        series.append(reading.astype(int).ravel())
        begins.append(np.tile([True, False, False], spots))
    steps = np.concatenate([np.diff(s)[~b[1:]] for s, b in zip(series, begins)])
    cases.append(
        {
            "values": [s.tolist() for s in series],
            "begins": [b.tolist() for b in begins],
            "any": share(series),
            "step": max(share([steps]), share(series)),
        }
    )
print(json.dumps(cases))
