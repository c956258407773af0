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
from scipy.spatial import ConvexHull

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

for left, right, new in [(1.0, 1.5, 2.5), (0.7, 0.6, 2.0)]:
    reading("pad", f"left={left}mm", f"right={right}mm", f"new={new}mm", "least=0.5mm",
            worn=(np.interp(min(left, right), [0.5, new], [100, 0]), "%"), apart=(np.ptp([left, right]), "mm"))
for gaps in [(0.1, 0.45), (0.3, 0.2)]:
    reading("gap", f"left={gaps[0]}mm", f"right={gaps[1]}mm", "runout=0.05mm", whole=(np.sum(gaps), "mm"),
            move=(np.mean(gaps) - min(gaps), "mm"), clear=(min(gaps) - 0.05, "mm"))
for push, unit, master, slave in [(500, "N", 5, 25), (60, "lbf", 9.5, 22)]:
    area = math.pi * (Q(master, "mm") / 2) ** 2
    pressure = Q(push, unit.replace("lbf", "force_pound")) / area
    on_pad = pressure * math.pi * (Q(slave, "mm") / 2) ** 2
    reading("lever", f"push={push}{unit}", f"master={master}mm", f"slave={slave}mm",
            pressure=(pressure.to("bar").magnitude, "bar"), force=(on_pad.to("N").magnitude, "N"))
for kmh, metres, kg, drop in [(24, 4.5, 100, 100), (31.5, 9, 140, 430)]:
    # Constant slowing: the one whose way to standstill is the way measured.
    v = Q(kmh, "km/h").to("m/s").magnitude
    slowing = brentq(lambda a: v * (v / a) - a * (v / a) ** 2 / 2 - metres, 0.1, 100, xtol=1e-14, rtol=1e-14)
    reading("stopping", f"speed={kmh}km/h", f"distance={metres}m", f"mass={kg}kg", f"descent={drop}m",
            slowing=(slowing / G * 100, "%"), heat=((0.5 * Q(kg, "kg") * Q(kmh, "km/h") ** 2).to("J").magnitude, "J"),
            descent_heat=((Q(kg, "kg") * Q(1, "standard_gravity") * Q(drop, "m")).to("Wh").magnitude, "Wh"))
for newton, kmh, wh, use, eff, kg, crr, cda, grade in [(5, 25, 500, 10, 80, 90, 0.005, 0.5, 0), (2.5, 15, 625, 8.5, 75, 100, 0.005, 0.5, 5)]:
    v, f = Q(kmh, "km/h"), Q(newton, "N")
    slope = math.atan2(grade, 100)
    weight = Q(kg, "kg") * Q(1, "standard_gravity")
    road = weight * math.sin(slope) + crr * weight * math.cos(slope) + 0.5 * Q(1.225, "kg/m**3") * Q(cda, "m**2") * v**2
    per_km = Q(use, "Wh/km") + f / (eff / 100)
    reading("drag", f"force={newton}N", f"speed={kmh}km/h", f"battery={wh}Wh", f"use={use}Wh/km", f"efficiency={eff}%",
            f"mass={kg}kg", f"crr={crr}", f"cda={cda}m2", f"grade={grade}%",
            power=((f * v).to("W").magnitude, "W"), per_km=(f.to("Wh/km").magnitude, "Wh/km"),
            range=((Q(wh, "Wh") / per_km).to("km").magnitude, "km"), road=((road * v).to("W").magnitude, "W"))

# ----------------------------------------------------------------------- tyres

for kg, mm, share, surface in [(50, 37, 1, "smooth"), (45.36, 28, 1, "smooth"), (60, 47, 0.8, "rough")]:
    psi = 600 * of(kg, "kg", "lb") / mm**2 + 0.75 * mm - 25
    reading("tyre-pressure", f"load={kg}kg", f"width={mm}mm", f"surface={surface}", by_load=(of(psi * share, "psi", "bar"), "bar"))
for p, unit, a, b, deg in [(598.675, "kPa", 18, 35, "C"), (20, "psi", 70, 130, "F"), (3.2, "bar", 31, -4, "C")]:
    kelvin = [Q(t, "degC" if deg == "C" else "degF").to("K").magnitude for t in (a, b)]
    after = (si(p, unit) + ATM) / kelvin[0] * kelvin[1] - ATM
    reading("tyre-warmth", f"pressure={p}{unit}", f"from={a}°{deg}", f"to={b}°{deg}", pressure=(of(after, "Pa", unit), unit))
for tyre, rim in [((37, 622), (19, 622)), ((25, 622), (17, 622)), ((55, 584), (30, 584))]:
    radius = tyre[1] / 2 + tyre[0] + (2.5 if tyre[0] < 28 else 0)
    reading("tyre-fit", "tyre=%d-%d" % tyre, "rim=%d-%d" % rim, turn=(2 * math.pi * radius / 1000, "m"), share=(tyre[0] / rim[0], ""))
reading("tyre-room", "left=1/4 in", "right=9mm", "above=12mm", "runout=1mm",
        room=(of(0.25, "inch", "mm") - 1, "mm"), aside=(abs(9 - of(0.25, "inch", "mm")) / 2, "mm"))

# ---------------------------------------------------------------------- wheels

reading("wheel-true", "sideways=1/32 in", "up=0.4mm", sideways=(of(1 / 32, "inch", "mm"), "mm"))
reading("dish", "left=48mm", "right=51mm", off=(np.mean([48, 51]) - 48, "mm"))
left, right = [62, 60, 64, 55], [110, 108, 112, 95]
mean = np.mean(left)
reading("spoke-tension", "left=" + ",".join(map(str, left)) + "kgf", "right=" + ",".join(map(str, right)) + " kgf",
        "left-offset=36mm", "right-offset=20mm", mean_left=(of(mean, "kgf", "N"), "N"), ratio=(mean / np.mean(right), ""),
        worst_left=(max((t / mean - 1 for t in left), key=abs) * 100, "%"),
        # Two flanges pulling on one rim: the angle of the spokes is small, so sine is offset over length.
        ratio_by_hub=(20 / 36, ""))
for erd, flange, offset, spokes, crosses, hole in [(602, 45, 35, 32, 3, 2.5), (538.5, 58, 21, 28, 2, 2.4), (600, 100, 30, 36, 4, 2.6)]:
    # Both ends as points in space; one flange carries half of the spokes.
    turned = 2 * math.pi * crosses / (spokes / 2)
    at_hub = np.array([flange / 2 * math.cos(turned), flange / 2 * math.sin(turned), offset])
    length = np.linalg.norm(at_hub - np.array([erd / 2, 0, 0])) - hole / 2
    reading("spoke-length", f"rim={erd}mm", f"flange={flange}mm", f"offset={offset}mm", f"spokes={spokes}",
            f"crosses={crosses}", f"hole={hole}mm", length=(length, "mm"))
reading("broken-spokes", "broken=1", "spokes=32", share=(100 * np.mean([1] + [0] * 31), "%"))

# ----------------------------------------------------------------------- gears

for ring, sprocket, turn, rpm in [(38, 19, 2.187, 60), (50, 11, 2.10, 90), (32, 51, 2.29, 75)]:
    way = Q(turn, "m") / Q(1, "turn") * ring / sprocket
    reading("gear", f"ring={ring}", f"sprocket={sprocket}", f"turn={turn}m", f"cadence={rpm}rpm",
            way=((way * Q(1, "turn")).to("m").magnitude, "m"), speed=((way * Q(rpm, "turn/minute")).to("km/h").magnitude, "km/h"))
reading("assist-limit", "ends=15.5mph", "set=2.2m", "turn=2.15m", real=(of(15.5, "mph", "km/h") * 2.15 / 2.2, "km/h"), most=(27.5, "km/h"))
reading("derailleur-capacity", "rings=48,38,28", "sprockets=11,13,15,18,21,24,28,32", "capacity=43", needed=(np.ptp([48, 28]) + np.ptp([11, 32]), ""))
reading("cable-pull", "travel=19.6mm", "clicks=7", "ratio=1.7", "pitch=4.8mm", moved=(np.diff(np.linspace(0, 19.6 * 1.7, 8))[0], "mm"), drift=(19.6 * 1.7 - 7 * 4.8, "mm"))
reading("hanger", "gaps=12,14,20,13mm", "rim=600mm", spread=(np.ptp([12, 14, 20, 13]), "mm"), tilt=(math.degrees(math.atan2(8, 600)), "°"))
reading("chain-line", "front=45mm", "smallest=60mm", "biggest=26mm", "stay=430mm", rear=(np.mean([60, 26]), "mm"),
        to_smallest=(np.degrees(np.arctan2(60 - 45, 430)), "°"), to_biggest=(np.degrees(np.arctan2(26 - 45, 430)), "°"))

# ------------------------------------------------------------- chain, once more

for ring, sprocket, stay in [(50, 34, 430), (32, 51, 435.5), (44, 16, 457.2)]:
    # A band drawn tight about two circles is the hull of both.
    turned = np.linspace(0, 2 * math.pi, 40_000, endpoint=False)
    circle = lambda teeth, x: np.c_[x + teeth * 12.7 / (2 * math.pi) * np.cos(turned), teeth * 12.7 / (2 * math.pi) * np.sin(turned)]
    hull = ConvexHull(np.vstack([circle(ring, 0), circle(sprocket, stay)]))
    # In the plane the `area` of a hull is the length of its edge.
    reading("chain-length", f"ring={ring}", f"sprocket={sprocket}", f"stay={stay}mm", band=(round(hull.area / 12.7, 6), ""),
            needed=(2 * math.ceil((hull.area / 12.7 + 2) / 2), ""))
grown = np.polynomial.Polynomial.fit([0, 1500], [0, 0.3], 1)
reading("chain-waiting", "worn=0.3%", "ridden=1500km", "limit=0.5%", "chain=35", "set=80", "chains=4",
        to_limit=((grown - 0.5).roots()[0] - 1500, "km"), to_sprockets=((grown - 1.0).roots()[0] - 1500, "km"),
        in_time=((4 * 35 + 80) / (4 * (grown - 0.5).roots()[0]) * 1000, ""), waiting=((35 + 80) / (grown - 1.0).roots()[0] * 1000, ""))

# ------------------------------------------------------- suspension, once more

for psi, chamber, hose in [(140, 90, 8), (55, 240, 5)]:
    mixed = lambda before: (before * chamber + ATM * hose) / (chamber + hose) - ATM - si(psi, "psi")
    before = brentq(mixed, 1e4, 1e8, xtol=1e-9, rtol=1e-14) - ATM
    reading("pump-loss", f"shown={psi}psi", f"chamber={chamber}cm3", f"hose={hose}cm3", before=(of(before, "Pa", "psi"), "psi"))
for kg, travel, stroke, rate, preload in [(55, 150, 60, 450, 2), (62.5, 170, 65, 500, 0)]:
    force = Q(kg, "kg") * Q(1, "standard_gravity") * travel / stroke
    stiff = Q(rate, "force_pound/inch")
    sag = brentq(lambda mm: (stiff * Q(mm + preload, "mm") - force).to("N").magnitude, 0, stroke, xtol=1e-13, rtol=1e-14)
    wanted = force / Q(0.3 * stroke + preload, "mm")
    reading("coil", f"load={kg}kg", f"travel={travel}mm", f"stroke={stroke}mm", f"rate={rate}lbf/in", f"preload={preload}mm",
            sag=(sag / stroke * 100, "%"), wanted=(wanted.to("N/mm").magnitude, "N/mm"))

# -------------------------------------------------------------- electric drive

# A cell of size 21700 at rest: Sunil, Pattipati and Balasingam 2025, data of the authors.
CHARGE = np.array([0, 0.0050, 0.0352, 0.0854, 0.1357, 0.2915, 0.4523, 0.8392, 0.9548, 1]) * 100
VOLTS = [2.5, 2.8080, 3.1179, 3.3182, 3.4193, 3.5826, 3.6941, 4.0664, 4.1121, 4.2]
for volts, cells in [(36.9, 10), (51.3, 13), (23.4, 7), (56.2, 14)]:
    at_rest = brentq(lambda percent: np.interp(percent, CHARGE, VOLTS) - volts / cells, 0, 100, xtol=1e-12, rtol=1e-14)
    reading("pack-volts", f"volts={volts}V", f"cells={cells}", charge=(at_rest, "%"), full=(np.sum([4.2] * cells), "V"))
for rest, load, amps in [(38.2, 35.1, 15), (53.0, 44.9, 22)]:
    # A source behind a resistance: the resistance that leaves these volts at this current.
    ohm = brentq(lambda r: rest - amps * r - load, 0, 10, xtol=1e-15, rtol=1e-14)
    reading("load-drop", f"rest={rest}V", f"load={load}V", f"current={amps}A", resistance=(Q(ohm, "ohm").to("milliohm").magnitude, ""),
            share=(100 * np.ptp([rest, load]) / rest, "%"), lost=((Q(amps, "A") ** 2 * Q(ohm, "ohm")).to("W").magnitude, "W"))
for output, cells in [(42, 10), (54.6, 10), (58.8, 14)]:
    reading("charger", f"output={output}V", f"cells={cells}", full=(np.sum([4.2] * cells), "V"), off=(100 * (output / (4.2 * cells) - 1), "%"))
for volts, charge, unit, amps in [(48, 10, "Ah", 5), (36, 14000, "mAh", 2.5)]:
    held = Q(volts, "V") * Q(charge, unit.replace("Ah", "A*h"))
    reading("pack-energy", f"volts={volts}V", f"charge={charge}{unit}", f"current={amps}A", energy=(held.to("Wh").magnitude, "Wh"),
            time=((held / Q(volts, "V") / Q(amps, "A")).to("h").magnitude, "h"))
reading("range", "battery=500Wh", "use=11.74Wh/km", range=((Q(500, "Wh") / Q(11.74, "Wh/km")).to("km").magnitude, "km"))
# The ride's share of the charge, carried on to the charge shown.
reading("range", "battery=625Wh", "went=24km", "took=40%", "shown=65%", "kept=85%",
        range=((Q(24, "km") * 65 / 40).to("km").magnitude, "km"), use=((Q(625 * 0.85 * 0.40, "Wh") / Q(24, "km")).to("Wh/km").magnitude, "Wh/km"))
reading("pack-left", "gave=1200000J", "new=500Wh", "warmth=64°F", left=((Q(1200000, "J") / Q(500, "Wh")).to("percent").magnitude, "%"))
reading("pack-left", "went=40km", "once=60km", "warmth=17°C", left=((Q(40, "km") / Q(60, "km")).to("percent").magnitude, "%"))
reading("magnet-gap", "gap=1/4 in", "least=5mm", "most=17mm", room=(17 - of(0.25, "inch", "mm"), "mm"))
for times, kg, metres in [((7.8, 7.9, 7.8), 150, 20), ((6.1,), 112, 20), ((11, 12), 130, 30)]:
    mean = np.mean(times)
    # The even quickening that covers the stretch in this time; its work over that time.
    quick = brentq(lambda a: a * mean**2 / 2 - metres, 1e-3, 100, xtol=1e-14, rtol=1e-14)
    reading("start-power", "times=" + ",".join(map(str, times)) + "s", f"mass={kg}kg", f"distance={metres}m",
            power=((0.5 * Q(kg, "kg") * Q(quick * mean, "m/s") ** 2 / Q(mean, "s")).to("W").magnitude, "W"))

# ------------------------------------------------------------------- fasteners

for number, unit, text in [(44, "force_pound*inch", "44 in-lbf"), (5, "N*m", "5 N.m"), (29.5, "force_pound*foot", "29.5 ft-lbf")]:
    torque = Q(number, unit)
    reading("torque", f"torque={text}", "lever=250mm", "extension=40mm", newton_metres=(torque.to("N*m").magnitude, "N.m"),
            inch_pounds=(torque.to("force_pound*inch").magnitude, "in-lbf"), foot_pounds=(torque.to("force_pound*foot").magnitude, "ft-lbf"),
            kilogram_metres=(torque.to("kilogram_force*m").magnitude, "kgf.m"), pull=((torque / Q(250, "mm")).to("N").magnitude, "N"),
            # One hand on both: the same pull turns the wrench about its own square, 40 mm nearer.
            setting=((torque / Q(250, "mm") * Q(210, "mm")).to("N*m").magnitude, "N.m"))
reading("bolt", "maker=44 in-lbf", "turned=4N.m", "part=seat-clamp", share=(4 / of(44, "force_pound*inch", "N*m") * 100, "%"))
reading("bolt", "maker=30N.m", "undone=18 ft-lbf", "part=axle", "end=rear", share=(of(18, "force_pound*foot", "N*m") / 30 * 100, "%"))
for size, pitch, torque, mu, limit in [(4, 0.7, 2.5, 0.14, 3.0), (5, 0.8, 5, 0.12, 5.9), (6, 1, 8, 0.18, 10), (8, 1.25, 20, 0.10, 25)]:
    def pull(moment, friction):
        """Balance of forces on a flank of 30 degrees and a turned slope, for one newton along the bolt."""
        flank = size - 2 * 3 / 8 * math.sqrt(3) / 2 * pitch
        slope = np.arctan2(pitch, math.pi * flank)
        rub = friction / math.cos(math.radians(30))
        # Along the bolt and around it: normal force and the force that turns.
        along = [math.cos(slope) - rub * math.sin(slope), 0]
        around = [math.sin(slope) + rub * math.cos(slope), -1]
        _, turning = np.linalg.solve([along, around], [1, 0])
        return moment * 1000 / (turning * flank / 2 + friction * 1.3 * size / 2)
    reading("preload", f"size=M{size}", f"torque={torque}N.m", f"friction={mu}", preload=(pull(torque, mu), "N"),
            share=(pull(torque, mu) / pull(limit, 0.14) * 100, "%"))
for part, kind, diameter, pitch in [("pedal-left", "common", Q(9 / 16, "inch"), Q(1 / 20, "inch")), ("bracket-right", "english", Q(1.370, "inch"), Q(1 / 24, "inch")),
                                    ("bracket-left", "french", Q(35, "mm"), Q(1, "mm"))]:
    reading("thread", f"part={part}", f"kind={kind}", diameter=(diameter.to("mm").magnitude, "mm"), pitch=(pitch.to("mm").magnitude, "mm"),
            count=((1 / pitch).to("1/inch").magnitude, "tpi"))
reading("insertion", "part=post", "diameter=27.2mm", "inside=3 1/2 in", least=(np.sum([27.2] * 2), "mm"), spare=(of(3.5, "inch", "mm") - 54.4, "mm"))
reading("insertion", "part=stem", "diameter=22.2mm", "inside=60mm", "mark=65mm", least=(65, "mm"), rule=(2.5 * 22.2, "mm"))

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
