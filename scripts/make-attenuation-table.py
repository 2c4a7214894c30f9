"""Writes src/physics/attenuation-table.ts: mass attenuation of the elements, from xraylib.

Run: /usr/bin/python3 scripts/make-attenuation-table.py   (Debian package python3-xraylib, 4.0.0)
then: npx biome check --write src/physics/attenuation-table.ts

Source: xraylib CS_Total (photoelectric + coherent + incoherent), BSD licence. The check is
another source: src/physics/attenuation.test.ts compares with grid values of NIST SRD 126.
An absorption edge is two points, just below and just above, so log-log interpolation never
smears it.
"""
import pathlib

import xraylib

ELEMENTS = (
    "H Be B C N O Al Si S Ar Ca Ti Fe Co Ni Cu Zn Br Mo Pd Ag Sn Sb I Cs Ba Gd Ta W Au Pb Bi"
).split()
GRID = [*range(5, 41), *range(42, 61, 2), *range(65, 165, 5)]
# xraylib moves its edges by up to 1e-4 of the energy it gives for them: stay clear of that.
EDGE_MARGIN = 2e-4
SHELLS = (xraylib.K_SHELL, xraylib.L1_SHELL, xraylib.L2_SHELL, xraylib.L3_SHELL)


def edges(z):
    found = []
    for shell in SHELLS:
        try:
            kev = xraylib.EdgeEnergy(z, shell)
        except ValueError:
            continue
        if GRID[0] < kev < GRID[-1]:
            found.append(kev)
    return found


def points(z):
    kevs = [float(e) for e in GRID]
    for edge in edges(z):
        kevs += [edge * (1 - EDGE_MARGIN), edge * (1 + EDGE_MARGIN)]
    kevs.sort()
    return [(kev, xraylib.CS_Total(z, kev)) for kev in kevs]


def number(x):
    return f"{x:.6g}"


lines = [
    "// Written by scripts/make-attenuation-table.py; do not edit.",
    f"// Source: xraylib {xraylib.__version__}, CS_Total (BSD licence).",
    "",
    "/** One element: density in g/cm3, and mass attenuation in cm2/g against photon energy in keV, rising. */",
    "export interface ElementAttenuation {",
    "  readonly densityGPerCm3: number;",
    "  readonly kev: readonly number[];",
    "  readonly massAttenuationCm2PerG: readonly number[];",
    "}",
    "",
    "/** Mass attenuation 5-160 keV. An absorption edge is a pair of points, 2e-4 of its energy to either side. */",
    "export const attenuationTable: Readonly<Record<string, ElementAttenuation>> = {",
]
for symbol in ELEMENTS:
    z = xraylib.SymbolToAtomicNumber(symbol)
    rows = points(z)
    lines += [
        f"  {symbol}: {{",
        f"    densityGPerCm3: {number(xraylib.ElementDensity(z))},",
        "    kev: [" + ", ".join(f"{e:.8g}" for e, _ in rows) + "],",
        "    massAttenuationCm2PerG: [" + ", ".join(number(m) for _, m in rows) + "],",
        "  },",
    ]
lines += ["};", ""]
out = pathlib.Path(__file__).resolve().parent.parent / "src/physics/attenuation-table.ts"
out.write_text("\n".join(lines))
print(out.name, len(lines), "lines")
