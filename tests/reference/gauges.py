"""Figures of the gauges, reckoned anew with general-purpose libraries.

    python tests/reference/gauges.py            writes gauges.json
    python tests/reference/gauges.py --sample   compares one reading of each gauge with the file

pint converts the units, scipy solves and integrates. Nothing here is taken from the crate: where
it has a closed form, this file solves the equation behind it.
"""

import argparse
import json
import math
import sys
from pathlib import Path

import numpy as np
import pint
import scipy
from scipy.optimize import brentq

FILE = Path(__file__).with_name("gauges.json")
TOLERANCE = 1e-9

u = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
Q = u.Quantity
u.define("tooth_pitch = 0.5 inch")
ATM = Q(1, "atm").to("Pa").magnitude
G = Q(1, "standard_gravity").to("m/s**2").magnitude

READINGS = []


def reading(gauge, *pairs, **figures):
    """One reading: figures as `key=(number, unit)`; an underscore in a key stands for a hyphen."""
    READINGS.append({
        "gauge": gauge,
        "pairs": list(pairs),
        "figures": {key.replace("_", "-"): [float(number), unit] for key, (number, unit) in figures.items()},
    })


def si(number, unit):
    return Q(number, unit).to_base_units().magnitude


def of(number, unit, wanted):
    return Q(number, unit).to(wanted).magnitude


# ------------------------------------------------------------------ suspension


def air_spring(gauge_pressure, now, wanted, ratio, n):
    """The gauge pressure at full length that holds the same load at another sag, by root finding."""
    def load(p0, s):
        volume = 1 - s * (1 - 1 / ratio)
        return (p0 + ATM) / volume**n - ATM
    held = load(gauge_pressure, now)
    return brentq(lambda p0: load(p0, wanted) - held, 1e3, 1e8, xtol=1e-9, rtol=1e-14)


for psi, percent, target, ratio, n in [(160, 40, 30, 3, 1), (95, 22, 28, 2.5, 1.2), (210, 31, 25, 8, 1.4)]:
    new = air_spring(si(psi, "psi"), percent / 100, target / 100, ratio, n)
    reading("sag", f"percent={percent}%", f"pressure={psi}psi", f"target={target}%", f"ratio={ratio}", f"n={n}",
            pressure=(of(new, "Pa", "psi"), "psi"), sag=(percent, "%"))
reading("sag", "stroke=2 1/4 in", "sag=14 mm", sag=(of(14, "mm", "inch") / 2.25 * 100, "%"))

# ----------------------------------------------------------------------- chain

for length, unit, text, links in [(12 + 1 / 16, "inch", "12 1/16 in", 24), (307.848, "mm", "307.848 mm", 24), (1.28, "m", "1.28 m", 100)]:
    grown = Q(length, unit) / Q(links, "tooth_pitch")
    reading("chain-wear", f"length={text}", f"over={links}", elongation=((grown.to("").magnitude - 1) * 100, "%"))

# ---------------------------------------------------------------------- brakes

for thick, least, new in [(1.62, 1.5, 1.8), (1.9, 1.7, 2.0)]:
    gone = np.interp(thick, [least, new], [100, 0])
    reading("rotor", f"thickness={thick}mm", f"least={least}mm", f"new={new}mm", worn=(gone, "%"))

# ------------------------------------------------------------------------ file


def main():
    parser = argparse.ArgumentParser(description="Makes gauges.json, or compares one reading of each gauge.")
    parser.add_argument("--sample", action="store_true")
    sample = parser.parse_args().sample
    versions = {"pint": pint.__version__, "scipy": scipy.__version__}
    if not sample:
        lines = ",\n".join("  " + json.dumps(r) for r in READINGS)
        head = json.dumps({"about": "Made by gauges.py; do not edit.", "libraries": versions}, indent=1)[:-2]
        FILE.write_text(head + ',\n "readings": [\n' + lines + "\n ]\n}\n")
        return
    kept = {(r["gauge"], *r["pairs"]): r["figures"] for r in json.loads(FILE.read_text())["readings"]}
    seen, apart = set(), []
    for made in READINGS:
        if made["gauge"] in seen:
            continue
        seen.add(made["gauge"])
        old = kept.get((made["gauge"], *made["pairs"]), {})
        for key, (number, unit) in made["figures"].items():
            if key not in old or old[key][1] != unit or not math.isclose(old[key][0], number, rel_tol=TOLERANCE, abs_tol=1e-12):
                apart.append(f"{made['gauge']} {made['pairs']}: {key} is now {number} {unit}, was {old.get(key)}")
    print("\n".join(apart + [f"{len(seen)} gauges compared, {len(apart)} figures differ"]))
    sys.exit(1 if apart or not seen else 0)


if __name__ == "__main__":
    main()
