"""Makes networks.json: made networks of the size of the knowledge, worked by a general library.

    python networks.py            writes networks.json beside this file
    python networks.py --sample   works the first two again and compares them with the file

The networks come from an own generator in whole numbers, so they are the same
everywhere. The library is told the model outright, by variables of its own, and
none of the engine's formulas: the facets of whoever fires a complaint, the link
that fires it, what a repair left over are all variables. Where a thing has more
parents than a table can hold, they are joined one after another by intermediate
variables, which changes nothing. Signs without degrees use the library's own
noisy-OR in its net form, where the numbers of the links do not contain the leak.

What nobody reported is given to the library as well; the file leaves it out.
"""

import argparse
import json
import sys
import time
from itertools import product
from pathlib import Path

import pyagrum as gum

FILE = Path(__file__).with_name("networks.json")
SAMPLE = 2
TOLERANCE = 1e-9


class Made:
    """Pseudo-random whole numbers (splitmix64)."""

    def __init__(self, seed):
        self.state = seed

    def next(self):
        mask = (1 << 64) - 1
        self.state = (self.state + 0x9E3779B97F4A7C15) & mask
        z = self.state
        z = ((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9) & mask
        z = ((z ^ (z >> 27)) * 0x94D049BB133111EB) & mask
        return z ^ (z >> 31)

    def between(self, low, high):
        """A whole number, both ends included."""
        return low + self.next() % (high - low + 1)

    def one_of(self, things):
        return things[self.next() % len(things)]

    def some_of(self, things, count):
        left = list(things)
        return sorted(left.pop(self.next() % len(left)) for _ in range(min(count, len(left))))

    def shares(self, count):
        """Shares in hundredths that sum to one, none of them zero."""
        parts = [self.between(1, 40) for _ in range(count)]
        hundredths = [max(1, p * 100 // sum(parts)) for p in parts]
        hundredths[hundredths.index(max(hundredths))] += 100 - sum(hundredths)
        return [h / 100 for h in hundredths]


# ---------------------------------------------------------------- the networks

# Parents of the complaints, few and many.
SIZES = [150, 140, 120, 110, 100, 90, 80, 70, 60, 50, 45, 40, 35, 30, 25, 20, 18, 15, 12, 10, 9, 8, 7, 6, 5]
SIGNS = 120

# name, seed, positions of the complaints reported, how each is reported, number
# of signs reported, the facets told (numbers of values), degrees, repairs.
PLANS = [
    dict(name="one complaint, everything", seed=1, events=[(3, "sure")], signs=4, facets={0: [4, 2]}, degrees=True, repairs=1),
    dict(name="the widest complaint", seed=2, events=[(0, "sure")], signs=5),
    dict(name="two complaints", seed=3, events=[(1, "sure"), (10, "sure")], signs=6),
    dict(name="three complaints", seed=4, events=[(2, "sure"), (8, "sure"), (14, "sure")], signs=3),
    dict(name="a soft complaint", seed=5, events=[(4, "soft"), (12, "sure")], signs=5),
    dict(name="a complaint that is absent", seed=6, events=[(0, "sure"), (5, "absent")], signs=8),
    dict(name="facets of two complaints", seed=7, events=[(1, "sure"), (9, "sure")], signs=4, facets={0: [4], 1: [3, 2]}),
    dict(name="facets told softly of a soft complaint", seed=8, events=[(6, "soft")], signs=5, facets={0: [4, 4, 2]}, vague=True),
    dict(name="signs with degrees", seed=9, events=[(2, "sure")], signs=6, degrees=True),
    dict(name="repairs that changed nothing", seed=10, events=[(0, "sure"), (11, "sure")], signs=4, repairs=3),
    dict(name="few causes, everything", seed=11, causes=9, events=[(20, "sure"), (22, "sure")], signs=5, facets={0: [4, 2], 1: [3]}, degrees=True, repairs=2, vague=True),
    dict(name="no complaint", seed=12, events=[], signs=8, degrees=True),
]

SURE = {"sure": [0.0, 1.0], "absent": [1.0, 0.0]}
SOFT = [[0.3, 0.7], [0.05, 0.6], [0.2, 0.8], [0.1, 0.35]]
SOFT_NOT = [[0.7, 0.3], [0.5, 0.15], [0.45, 0.02]]


def strength(made):
    return made.one_of([made.between(5, 100), made.between(100, 600), made.between(400, 980)]) / 1000


def thing(made, event, parents, background):
    """A complaint or a sign, of which nothing is reported yet."""
    return {"event": event, "background": background, "links": [[p, strength(made)] for p in parents]}


def make(plan):
    made = Made(plan["seed"])
    n = plan.get("causes") or made.between(240, 260)
    priors = [made.between(1, made.one_of([20, 100, 400, 2000])) / 10000 for _ in range(n)]
    complaints = [thing(made, True, made.some_of(range(n), size), made.between(1, 40) / 1000) for size in SIZES]
    signs = []
    for _ in range(SIGNS):
        near = made.between(0, n - 1)
        parents = made.some_of(range(max(0, near - 12), min(n, near + 13)), made.between(1, 9))
        if made.between(0, 3) == 0:
            parents = sorted(set(parents) | {made.between(0, n - 1)})
        signs.append(thing(made, False, parents, made.between(1, 80) / 1000))
    if plan.get("degrees"):
        for sign in signs:
            if made.between(0, 1) == 0:
                sign["slight"] = [made.between(10, 90) / 100 for _ in range(len(sign["links"]) + 1)]

    reported = []
    for place, (which, how) in enumerate(plan["events"]):
        event = complaints[which]
        event["report"] = SURE.get(how) or made.one_of(SOFT)
        if place in plan.get("facets", {}):
            counts = plan["facets"][place]
            event["shapes"] = [[made.shares(c) for c in counts] for _ in range(len(event["links"]) + 1)]
            event["reports"] = []
            for count in counts:
                told = made.between(0, count - 1)
                vague = [made.between(2, 30) / 100 for _ in range(count)]
                row = vague if plan.get("vague") else [0.0] * count
                row[told] = 0.85 if plan.get("vague") else 1.0
                event["reports"].append(row)
            event["report"] = [event["report"][0], 0.0, event["report"][1]]
        reported.append(event)
    # Signs are looked for where the complaint points.
    told = {p for e in reported for p, _ in e["links"]}
    fit = [s for s in range(SIGNS) if not told or any(p in told for p, _ in signs[s]["links"])]
    picked = made.some_of(fit, plan["signs"] + 3)
    asked = made.some_of(picked, 3)
    for s in picked:
        if s in asked:
            signs[s]["asked"] = True
            continue
        none, there = made.one_of([[0.0, 1.0], [1.0, 0.0], made.one_of(SOFT), made.one_of(SOFT_NOT)])
        if "slight" in signs[s]:
            slight = (none + 2 * there) / 3 if none and there else there
            signs[s]["report"] = [none, round(slight, 4), there]
        else:
            signs[s]["report"] = [none, there]
        reported.append(signs[s])
    repairs = []
    for r in range(plan.get("repairs", 0)):
        event = r % len(plan["events"])
        likely = [p for p, s in reported[event]["links"] if s > 0.2 and p not in [x["cause"] for x in repairs]]
        repairs.append({"cause": made.one_of(likely), "works": made.between(30, 95) / 100, "event": event})
    rest = [t for t in complaints + signs if "report" not in t and not t.get("asked")]
    return {
        "name": plan["name"],
        "priors": priors,
        "repairs": repairs,
        "items": reported,
        "asked": [signs[s] for s in asked],
    }, rest


# ----------------------------------------------------------------- the library


class Net:
    """The model as the library is told it."""

    def __init__(self, priors, repairs):
        self.bn = gum.BayesNet()
        self.count = 0
        self.was = [self.table("cause", [], 2, lambda p=p: [1 - p, p]) for p in priors]
        self.repairs = {}
        self.now = list(self.was)
        for repair in repairs:
            works = self.table("works", [], 2, lambda q=repair["works"]: [1 - q, q])
            cause = repair["cause"]
            self.now[cause] = self.table(
                "now", [self.was[cause], works], 2, lambda was, works: [0, 1] if was and not works else [1, 0]
            )
            self.repairs[cause] = repair["event"]

    def variable(self, kind, levels):
        self.count += 1
        return gum.RangeVariable(f"{kind}{self.count}", "", 0, levels - 1)

    def table(self, kind, parents, levels, chances):
        """A variable with a table, `chances` giving its row for the parents' values."""
        node = self.bn.add(self.variable(kind, levels))
        for parent in parents:
            self.bn.addArc(parent, node)
        names = [self.bn.variable(p).name() for p in parents]
        for values in product(*[range(self.bn.variable(p).domainSize()) for p in parents]):
            row = chances(*values)
            if names:
                self.bn.cpt(node)[dict(zip(names, values))] = row
            else:
                self.bn.cpt(node).fillWith(row)
        return node

    def noisy_or(self, kind, leak, weighted):
        node = self.bn.addNoisyORNet(self.variable(kind, 2), leak)
        for parent, weight in weighted:
            self.bn.addWeightedArc(parent, node, weight)
        return node

    def highest(self, a, b, levels):
        return self.table("upto", [a, b], levels, lambda x, y: [float(l == max(x, y)) for l in range(levels)])

    def sign(self, item):
        links = [(self.was[c], s) for c, s in item["links"]]
        if "slight" in item:
            def degree(share, s):
                return lambda there=1: [1 - s, s * share, s * (1 - share)] if there else [1, 0, 0]
            whole = self.table("bare", [], 3, degree(item["slight"][0], item["background"]))
            for (parent, s), share in zip(links, item["slight"][1:]):
                whole = self.highest(whole, self.table("step", [parent], 3, degree(share, s)), 3)
            return whole
        whole = self.noisy_or("sign", item["background"], links[:3])
        for start in range(3, len(links), 3):
            whole = self.noisy_or("sign", 0.0, [(whole, 1.0), *links[start:start + 3]])
        return whole

    def firing(self, parent, s, shape, reports):
        """Whoever fires a complaint: silent, fired (otherwise than reported), fired as reported."""
        fired = self.noisy_or("fires", 0.0, [(parent, s)]) if parent is not None else self.table("fires", [], 2, lambda: [1 - s, s])
        if shape is None:
            return fired
        facets = [self.table("facet", [], len(row), lambda row=row: row) for row in shape]
        def told(fired, *values):
            likelihood = 1.0
            for value, report in zip(values, reports):
                likelihood *= report[value]
            return [0, 1 - likelihood, likelihood] if fired else [1, 0, 0]
        return self.table("told", [fired, *facets], 3, told)

    def event(self, index, item):
        """The complaint, its firings by cause, and the background firing it alone."""
        shapes = item.get("shapes") or [None] * (len(item["links"]) + 1)
        reports = item.get("reports")
        levels = 2 if reports is None else 3
        firings, whole = [], None
        for (cause, s), shape in zip(item["links"], shapes[1:]):
            parent = self.now[cause] if self.repairs.get(cause) == index else self.was[cause]
            firing = self.firing(parent, s, shape, reports)
            # A repaired cause no longer brings anything, whichever complaint was tried.
            if cause in self.repairs:
                brings = self.table("brings", [self.now[cause], firing], 2, lambda n, f: [0, 1] if n and f == levels - 1 else [1, 0])
                firings.append((brings, 1))
            else:
                firings.append((firing, levels - 1))
            whole = firing if whole is None else self.highest(whole, firing, levels)
        bare = self.firing(None, item["background"], shapes[0], reports)
        top = levels - 1
        alone = self.table("alone", [whole, bare], 2, lambda w, b: [0, 1] if b == top and w < top else [1, 0])
        return self.highest(whole, bare, levels), firings, alone


def work(network, rest):
    """Adds to the network what the library says of it."""
    net = Net(network["priors"], network["repairs"])
    observed, events = {}, []
    for index, item in enumerate(network["items"]):
        if item["event"]:
            node, firings, alone = net.event(index, item)
            events.append((firings, alone))
        else:
            node = net.sign(item)
        observed[node] = item["report"]
    asked = [(net.sign(item), item) for item in network["asked"]]
    for item in rest:
        net.sign(item)
    touched = sorted({c for item in network["items"] for c, _ in item["links"]})

    engine = gum.LazyPropagation(net.bn)
    engine.setNumberOfThreads(1)
    engine.eraseAllTargets()
    for node, report in observed.items():
        engine.addEvidence(node, report)
    for node in {net.now[c] for c in touched} | {n for n, _ in asked}:
        engine.addTarget(node)
    for firings, alone in events:
        for node in {alone} | {f for f, _ in firings}:
            engine.addTarget(node)
    engine.makeInference()
    chance = lambda node, value: float(engine.posterior(node)[value])
    network["expected"] = {
        "evidence": float(engine.evidenceProbability()),
        "present": [[c, chance(net.now[c], 1)] for c in touched],
        "brings": [[chance(node, value) for node, value in firings] for firings, _ in events],
        "unlisted": [chance(alone, 1) for _, alone in events],
        "asked": [sum(chance(n, v) for v in range(1, 3 if "slight" in i else 2)) for n, i in asked],
    }
    return network


def known_example():
    """Four causes and four signs, worked by enumeration: is the library read rightly?"""
    links = [[0.70, 0.30, 0.05, 0.10], [0, 0.80, 0.25, 0.20], [0, 0.10, 0.60, 0], [0, 0, 0, 0.75]]
    reports = [[0.0, 1.0], [0.0, 1.0], [0.3, 0.7], [1.0, 0.0]]
    items = [
        {"event": place == 0, "background": b, "links": [[c, s] for c, s in enumerate(row) if s], "report": r}
        for place, (b, row, r) in enumerate(zip([0.02, 0.01, 0.01, 0.02], links, reports))
    ]
    network = work({"priors": [0.08, 0.05, 0.03, 0.06], "repairs": [], "items": items, "asked": []}, [])
    want = [0.00548152, 0.228290, 0.854164, 0.131352, 0.046242]
    got = [network["expected"]["evidence"], *[p for _, p in network["expected"]["present"]]]
    if any(abs(g - w) > 6e-7 for g, w in zip(got, want)):
        sys.exit(f"the library does not give the known example: {got}, want {want}")


def apart(old, new, place=""):
    """Places where two files differ, and the largest relative difference of their figures."""
    if isinstance(old, float) and isinstance(new, float):
        size = abs(old - new) / max(abs(old), abs(new), 1e-300)
        return ([f"{place}: {old!r} is now {new!r}"] if size > TOLERANCE else []), size
    if isinstance(old, dict) and isinstance(new, dict) and old.keys() == new.keys():
        pairs = [(old[k], new[k], f"{place}/{k}") for k in old]
    elif isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        pairs = [(a, b, f"{place}/{i}") for i, (a, b) in enumerate(zip(old, new))]
    else:
        return ([] if old == new else [f"{place}: {old!r:.60} is now {new!r:.60}"]), 0.0
    found = [apart(*pair) for pair in pairs]
    return [line for lines, _ in found for line in lines], max([size for _, size in found], default=0.0)


def main():
    parser = argparse.ArgumentParser(description="Makes networks.json, or compares its beginning.")
    parser.add_argument("--sample", action="store_true", help=f"compare the first {SAMPLE} networks with the file")
    sample = parser.parse_args().sample
    known_example()
    networks = []
    for plan in PLANS[:SAMPLE] if sample else PLANS:
        began = time.monotonic()
        networks.append(work(*make(plan)))
        print(f"{plan['name']}: {time.monotonic() - began:.1f} s", file=sys.stderr)
    if sample:
        # Read back from text, so that both sides are numbers of the same making.
        found, size = apart(json.loads(FILE.read_text())["networks"][:SAMPLE], json.loads(json.dumps(networks)))
        print("\n".join(found[:20] + [f"{len(found)} differences; largest relative difference {size:.1e}"]))
        sys.exit(1 if found else 0)
    head = {
        "about": "Made by networks.py; do not edit. Figures expected are the library's, not the engine's.",
        "library": "pyAgrum",
        "version": gum.__version__,
    }
    lines = ",\n".join(lay_out(network) for network in networks)
    FILE.write_text(json.dumps(head, indent=1)[:-2] + ',\n "networks": [\n' + lines + "\n]}\n")


def lay_out(network):
    """A line for each part, so that a change can be read."""
    def lines(things):
        return "[\n   " + ",\n   ".join(json.dumps(t) for t in things) + "]" if things else "[]"
    parts = []
    for key, value in network.items():
        if key in ("items", "asked"):
            parts.append(f'"{key}": {lines(value)}')
        elif key == "expected":
            inner = ",\n   ".join(f'"{k}": {json.dumps(v)}' for k, v in value.items())
            parts.append('"expected": {\n   ' + inner + "}")
        else:
            parts.append(f'"{key}": {json.dumps(value)}')
    return " {\n  " + ",\n  ".join(parts) + "}"


if __name__ == "__main__":
    main()
