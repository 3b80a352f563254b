"""Reinforcing bars by size, as two standards have them: ASTM A615 by number, EN 10080 by millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.reckoning import ReckoningError
from layoutdesk.engine.shipped import shipped
from layoutdesk.units import KG_PER_POUND, MM_PER_FOOT, MM_PER_INCH, Units

Standard: TypeAlias = Literal["astm", "en"]

STEEL_DENSITY: Final = 7850.0
"""Mass of steel in kg to the m³ (EN 10080:2005, 7.3.2)."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A size of bar: nominal diameter in mm, area in mm², mass in kg to the metre."""

    name: str
    standard: Standard
    diameter: float
    area: float
    mass: float


@cache
def bars(standard: Standard) -> tuple[Bar, ...]:
    """Return the sizes of a standard, thinnest first; their source stands in the file of sizes."""
    sizes = shipped("steel")[standard]["sizes"]
    if standard == "en":
        return tuple(Bar(s["name"], "en", float(s["d_mm"]), s["area_mm2"], s["kg_per_m"]) for s in sizes)
    foot = KG_PER_POUND / (MM_PER_FOOT / 1000)
    return tuple(
        Bar(s["name"], "astm", s["d_in"] * MM_PER_INCH, s["area_in2"] * MM_PER_INCH**2, s["lb_per_ft"] * foot)
        for s in sizes
    )


def bar(name: str) -> Bar:
    """Return a bar by its name, such as ``No. 4`` or ``12 mm``.

    Raises:
        ReckoningError: when no standard has it.
    """
    known = {one.name: one for one in (*bars("astm"), *bars("en"))}
    if name not in known:
        raise ReckoningError(f"There is no bar “{name}”; the sizes are {', '.join(known)}.")
    return known[name]


def usual_standard(units: Units) -> Standard:
    """Return the standard whose bars are sold where a plan's units are used."""
    return "astm" if units == "ft-in" else "en"
