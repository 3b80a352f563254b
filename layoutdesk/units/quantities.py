"""Volumes, and other quantities through pint, which is imported here and nowhere else."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Final

from layoutdesk.errors import LengthError
from layoutdesk.units.system import KG_PER_POUND, Units
from layoutdesk.units.typed import NUMBER

if TYPE_CHECKING:
    from pint import UnitRegistry

_CUBIC_FOOT = float(Fraction(3048, 10_000) ** 3)
_DUST: Final = 6
"""So many decimals beyond those shown are held true; what lies beyond is dust."""
_LITRES_PER_GALLON: Final = 3.785411784
_VOLUMES: Final[dict[Units, tuple[str, float, int]]] = {
    "ft-in": ("cu ft", _CUBIC_FOOT, 2),
    "m": ("m³", 1.0, 3),
    "mm": ("m³", 1.0, 3),
}
_SMALL_VOLUMES: Final[dict[Units, tuple[str, float, int]]] = {
    "ft-in": _VOLUMES["ft-in"],
    "m": ("l", 0.001, 1),
    "mm": ("l", 0.001, 1),
}


def format_volume(m3: float, units: Units, *, small: bool = False) -> str:
    """Return a volume in cubic feet or cubic metres.

    ``small`` is for what one bag makes: metric users get litres, and all decimals are shown that were printed on
    the bag, such as 0.375. The dust of floats is taken off first, so that volumes that are alike are written alike.
    """
    name, size, decimals = (_SMALL_VOLUMES if small else _VOLUMES)[units]
    value = m3 / size
    if small:
        decimals = next(
            (d for d in range(decimals, decimals + 4) if abs(round(value, d) - value) <= 1e-9 * value), decimals
        )
    return f"{round(value, decimals + _DUST):.{decimals}f} {name}"


def format_mass(kg: float, units: Units, *, decimals: int = 0) -> str:
    """Return a mass in pounds or kilograms."""
    return f"{kg / KG_PER_POUND:,.{decimals}f} lb" if units == "ft-in" else f"{kg:,.{decimals}f} kg"


def format_water(litres: float, units: Units) -> str:
    """Return water to mix with in US gallons or in litres, to a tenth."""
    return f"{litres / _LITRES_PER_GALLON:,.1f} gal" if units == "ft-in" else f"{litres:,.1f} l"


def parse_volume(text: str, units: Units) -> float:
    """Return in m³ what one bag makes, from a number of cubic feet or of litres, with or without its unit.

    Raises:
        LengthError: when it is no such number, or not more than nothing.
    """
    name, size, _ = _SMALL_VOLUMES[units]
    m = re.fullmatch(
        rf"(?P<n>{NUMBER})\s*(?:(?P<feet>cu\s*ft|ft3|ft³)|(?P<litres>l|litres?|liters?))?",
        text.strip(),
        re.IGNORECASE,
    )
    value = float(m["n"]) if m else 0.0
    if not m or not 0 < value <= 1000:
        raise LengthError(text, f"is no volume in {name}", "0.6" if units == "ft-in" else "12")
    if m["feet"] or m["litres"]:
        size = _CUBIC_FOOT if m["feet"] else 0.001
    return value * size


@cache
def registry() -> UnitRegistry[float]:
    """Return pint's registry, made when it is first needed: importing it takes half a second."""
    import pint

    return pint.UnitRegistry(cache_folder=None)


def to_unit(value: float, unit: str, target: str) -> float:
    """Return ``value`` of ``unit`` in ``target``, as in ``to_unit(0.6, "ft**3", "m**3")``.

    Serves volumes, masses, loads and prices per unit; lengths go through :func:`parse_length`.

    Raises:
        LengthError: when a unit is unknown or the two do not measure the same thing.
    """
    import pint

    try:
        return float(registry().Quantity(value, unit).to(target).magnitude)
    except (pint.errors.PintError, AssertionError, TypeError, ValueError) as error:
        raise LengthError(f"{value} {unit}", f"cannot be given in {target}", f"1 {target}") from error
