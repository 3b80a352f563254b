"""Masses, loads of concrete, prices and shares: as they are typed and as they are shown to be typed again."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final

from layoutdesk.errors import LengthError
from layoutdesk.units.system import KG_PER_POUND, Units
from layoutdesk.units.typed import NUMBER

_CUBIC_FOOT: Final = float(Fraction(3048, 10_000) ** 3)
_CUBIC_YARD: Final = 27 * _CUBIC_FOOT
_LOADS: Final = {"yard": _CUBIC_YARD, "foot": _CUBIC_FOOT, "metre": 1.0, "litre": 0.001}
_MASSES: Final = {"pound": KG_PER_POUND, "kilo": 1.0}
_MOST: Final = 1e9


def format_load(m3: float, units: Units) -> str:
    """Return concrete as trucks bring it: in cubic yards or cubic metres, with no more decimals than it needs."""
    return f"{_plain(m3 / _load(units), 2 if units == 'ft-in' else 3)} {load_unit(units)}"


def load_unit(units: Units) -> str:
    """Return what concrete in trucks is counted in."""
    return "cu yd" if units == "ft-in" else "m³"


def parse_load(text: str, units: Units) -> float:
    """Return concrete in m³, from a number of cubic yards or cubic metres, or of feet or litres with their unit.

    Raises:
        LengthError: when it is no such number, or less than nothing.
    """
    m = _read(
        text,
        r"(?P<yard>cu\s*yd|yd3|yd³)|(?P<foot>cu\s*ft|ft3|ft³)|(?P<metre>m3|m³)|(?P<litre>l|litres?|liters?)",
    )
    if m is None:
        raise LengthError(text, f"is no amount in {load_unit(units)}", "0.25")
    unit = next((size for name, size in _LOADS.items() if m[name]), _load(units))
    return float(m["n"]) * unit


def load_price(price_m3: float, units: Units) -> str:
    """Return the price of a cubic yard or a cubic metre; nothing for one that was not asked."""
    return money(price_m3 * _load(units))


def parse_load_price(text: str, units: Units) -> float:
    """Return the price of a cubic metre from that of a cubic yard or a cubic metre; 0 for nothing typed.

    Raises:
        LengthError: when it is no number, or less than nothing.
    """
    return parse_money(text) / _load(units)


def money(amount: float) -> str:
    """Return an amount in the money of the job; nothing for one that was not asked."""
    return "" if amount == 0 else f"{amount:.2f}".removesuffix(".00")


def parse_money(text: str) -> float:
    """Return an amount in the money of the job; 0 for nothing typed.

    Raises:
        LengthError: when it is no number, or less than nothing.
    """
    if not text.strip():
        return 0.0
    m = _read(re.sub(r"^\s*[$€£]|[$€£]\s*$", "", text), None)
    if m is None:
        raise LengthError(text, "is no price", "6.45")
    return float(m["n"])


def exact_mass(kg: float, units: Units) -> str:
    """Return a mass as text to edit, in pounds or kilograms."""
    return f"{_plain(kg / KG_PER_POUND)} lb" if units == "ft-in" else f"{_plain(kg)} kg"


def parse_mass(text: str, units: Units) -> float:
    """Return a mass in kg, from a number of pounds or kilograms, with or without its unit.

    Raises:
        LengthError: when it is no such number, or less than nothing.
    """
    m = _read(text, r"(?P<pound>lbs?|pounds?)|(?P<kilo>kgs?|kilograms?)")
    if m is None:
        raise LengthError(text, "is no mass", "80 lb" if units == "ft-in" else "25 kg")
    usual = KG_PER_POUND if units == "ft-in" else 1.0
    return float(m["n"]) * next((size for name, size in _MASSES.items() if m[name]), usual)


def format_share(share: float, *, tenths: bool = False) -> str:
    """Return a share of one in hundredths, to a tenth where it is small.

    Args:
        share: of one.
        tenths: whether small whole hundredths have their tenth too, as in a column of such.
    """
    percent = 100 * share
    if 0 < percent < 0.05:
        return "<0.1%"
    whole = abs(percent - round(percent)) < 0.05 and not tenths
    return f"{percent:.0f}%" if percent >= 9.95 or whole else f"{percent:.1f}%"


def parse_share(text: str) -> float:
    """Return a share of one from hundredths, with or without the sign.

    Raises:
        LengthError: when it is no number.
    """
    m = re.fullmatch(rf"(?P<sign>[-−]?)\s*(?P<n>{NUMBER})\s*%?", text.strip())
    if m is None:
        raise LengthError(text, "is no share in hundredths", "5%")
    return (-1 if m["sign"] else 1) * float(m["n"]) / 100


def parse_minutes(text: str) -> float:
    """Return a time in minutes, from a number with or without its unit.

    Raises:
        LengthError: when it is no number.
    """
    m = _read(text, r"min|minutes?")
    if m is None:
        raise LengthError(text, "is no time in minutes", "10")
    return float(m["n"])


def _load(units: Units) -> float:
    return _CUBIC_YARD if units == "ft-in" else 1.0


def _plain(value: float, decimals: int = 3) -> str:
    """Return a number with so many decimals at most, and none that say nothing."""
    return f"{value:.{decimals}f}".rstrip("0").rstrip(".")


def _read(text: str, unit: str | None) -> re.Match[str] | None:
    """Return a typed number with a unit, or None where it is none or beyond all sense."""
    m = re.fullmatch(
        rf"(?P<n>{NUMBER})\s*(?:{unit})?" if unit else rf"(?P<n>{NUMBER})", text.strip(), re.IGNORECASE
    )
    return m if m is not None and float(m["n"]) <= _MOST else None
