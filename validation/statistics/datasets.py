"""Random data sets from a fixed seed, one JSON line each: ordinary ones and hostile ones.

python datasets.py > ASKED

Hostile: two persons, ties, nothing varies, raters far apart, all categories in one corner, far tails,
values of size 1e-6 and 1e8, a level a thousand times the spread. Numbers are text, so that
both sides read the same number to the last digit.
"""

import json
import sys

import numpy as np

RNG = np.random.default_rng(20261125)
SETS = 300  # of each kind; distributions have so many each
CONFIDENCE = [0.9, 0.95, 0.99]


def text(values):
    if isinstance(values, (list, np.ndarray)):
        return [text(v) for v in values]
    return repr(float(values))


def put(kind, **parts):
    line = {"kind": kind}
    for name, value in parts.items():
        line[name] = text(value) if isinstance(value, (float, np.ndarray)) else value
    sys.stdout.write(json.dumps(line) + "\n")


def scaled(values):
    """Another unit or another level now and then, and readings that are rounded as people round them."""
    pick = RNG.integers(6)
    if pick == 0:
        return np.round(values)
    if pick == 1:
        return values * 10.0 ** RNG.integers(-6, 9)
    if pick == 2:
        return values + 1000.0 * RNG.choice([-1.0, 1.0])
    return np.round(values, 1)


def confidence(i):
    return CONFIDENCE[i % 3]


def main():
    for i in range(SETS):
        n, k = (2, 2) if i % 12 == 0 else (int(RNG.integers(2, 31)), int(RNG.integers(2, 7)))
        people = RNG.normal(60, RNG.choice([0.0, 1.0, 10.0]), (n, 1))
        raters = RNG.normal(0, RNG.choice([0.0, 0.5, 8.0]), (1, k))
        rows = scaled(people + raters + RNG.normal(0, RNG.choice([0.3, 2.0]), (n, k)))
        put("icc", rows=rows, confidence=0.95)
    for i in range(SETS):
        n = 2 if i % 12 == 0 else int(RNG.integers(2, 60))
        first = RNG.normal(70, 12, n)
        second = first + RNG.normal(RNG.choice([0.0, 5.0]), RNG.choice([0.5, 4.0]), n)
        both = scaled(np.stack([first, second]))
        put("pairs", first=both[0], second=both[1], confidence=confidence(i))
    for i in range(SETS):
        k = int(RNG.integers(2, 7))
        n = int(RNG.choice([4, 20, 60, 200]))
        shares = RNG.dirichlet(np.full(k, RNG.choice([0.4, 2.0])))
        first = RNG.choice(k, n, p=shares)
        second = np.where(RNG.random(n) < RNG.choice([0.1, 0.5, 0.8]), first, RNG.choice(k, n, p=shares))
        counts = np.zeros((k, k), int)
        np.add.at(counts, (first, second), 1)
        put("kappa", counts=counts.tolist(), confidence=confidence(i))
    for i in range(SETS):
        before = RNG.uniform(20, 120)
        far = RNG.choice([1.0, 5.0, 40.0])
        put(
            "change",
            before=before,
            after=before + RNG.normal(0, far) if i % 9 else RNG.normal(0, 3),
            practice=float(RNG.choice([0.0, 1.5])),
            sem=RNG.uniform(0.3, 6),
            threshold=RNG.uniform(0, 8),
            mean=RNG.uniform(-2, 80),
            sd=RNG.uniform(0.5, 15),
            reliability=RNG.uniform(0, 1) if i % 20 else 1.0,
            measurements=int(RNG.integers(1, 7)),
            confidence=confidence(i),
        )
    for m in range(1, SETS + 1):
        put("many", m=m, confidence=confidence(m))
    for i in range(SETS):
        put(
            "place",
            x=RNG.normal(80, RNG.choice([8.0, 80.0, 200.0])),
            mean=RNG.uniform(60, 100),
            sd=RNG.uniform(1, 20),
            n=int(RNG.integers(2, 80)),
        )
    for i in range(SETS):
        of = int(RNG.choice([1, 2, 12, 100, 5000, 100000]))
        hits = int(RNG.choice([0, of, RNG.integers(0, of + 1)]))
        put("share", hits=hits, of=of, confidence=confidence(i))
    for i in range(SETS):
        most = int(RNG.choice([3, 12, 60, 400]))
        put("exact", table=RNG.integers(0, most, 4).tolist())
    for i in range(SETS):
        n = 3 if i % 12 == 0 else int(RNG.integers(3, 60))
        times = np.cumsum(RNG.integers(0 if i % 4 == 0 else 1, 9, n)).astype(float)
        values = RNG.normal(50, 4, n) + RNG.choice([0.0, -0.2]) * times
        values = np.round(values / 4) if i % 3 == 0 else scaled(values)
        put("trend", times=times, values=values, confidence=confidence(i))
    for i in range(SETS):
        n = 2 if i % 12 == 0 else int(RNG.integers(2, 80))
        put("mean", values=scaled(RNG.normal(20, 6, n)), confidence=confidence(i))
    for i in range(SETS):
        n = 4 if i % 12 == 0 else int(RNG.integers(4, 80))
        first = RNG.normal(20, 6, n)
        second = RNG.choice([-1.0, 0.0, 1.0]) * first + RNG.normal(0, RNG.choice([0.1, 6.0]), n)
        both = [scaled(first), scaled(second)]
        put("correlation", first=both[0], second=both[1], confidence=confidence(i))
    for name in ["normal", "t", "chi2", "f", "beta"]:
        for i in range(SETS):
            a, b = 10 ** RNG.uniform(-0.3, 3, 2)
            x = {
                "normal": RNG.uniform(-36, 36),
                "t": RNG.normal(0, 1) * 10 ** RNG.uniform(-2, 2),
                "chi2": a * 10 ** RNG.uniform(-1, 1),
                "f": 10 ** RNG.uniform(-2, 2),
                "beta": RNG.uniform(0, 1),
            }[name]
            least = -250 if name in ("normal", "chi2") else -12
            p = RNG.uniform(0.001, 0.999) if i % 2 else 10 ** RNG.uniform(least, -1)
            put("distribution", of=name, x=x, a=a, b=b, p=p)
    for i in range(SETS):
        n = 40 if i % 12 == 0 else int(RNG.integers(40, 400))
        noise = RNG.normal(0, 1, (2, n))
        walk = np.cumsum(noise, axis=1) * RNG.choice([0.05, 0.3])
        ml, ap = np.round(walk + RNG.normal(0, 0.05, (2, n)), 3) + RNG.choice([0.0, 30.0])
        order = int(RNG.integers(1, 9))
        put("sway", ml=ml, ap=ap, rate=100.0, order=order, hz=RNG.uniform(3, 20), confidence=confidence(i))
    for i in range(SETS):
        weight = RNG.uniform(400, 1000)
        flight = np.full(int(RNG.choice([0, 30, 60])), RNG.uniform(0, 4))
        n = int(RNG.integers(100, 400))
        t = np.arange(n) / 100
        fall = RNG.uniform(0.5, 8)
        ring = np.exp(-fall * t) * np.cos(2 * np.pi * RNG.uniform(1, 6) * t) * RNG.uniform(0.2, 2)
        force = np.maximum(weight * (1 + ring) + RNG.normal(0, 0.01 * weight, n), 0)
        put(
            "landing",
            force=np.concatenate([flight, force]),
            rate=100.0,
            weight=weight,
            contact=20.0,
            band=float(RNG.choice([0.05, 0.1])),
            hold=float(RNG.choice([0.25, 0.5, 1.0])),
        )


if __name__ == "__main__":
    main()
