"""What a dimension's style makes of a measured number, as far as that is certain.

The variables and what they mean are those of the published DXF reference; which bit leaves out which zero, and
that a negative factor counts on paper only, is from memory.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any, Final

from ezdxf.document import Drawing as Document
from ezdxf.lldxf.const import DXFError

from layoutdesk.importers.dxf_codes import plain_lines
from layoutdesk.importers.linework import DimensionKind

_DECIMAL, _ENGINEERING, _ARCHITECTURAL, _FRACTIONS, _SYSTEM = 2, 3, 4, 5, 6
_LEADING, _TRAILING = 4, 8
_LONGEST: Final = 1e12


@dataclass(frozen=True, slots=True)
class Style:
    """The variables of a dimension style that shape its text, with those that one dimension changes."""

    values: dict[str, Any] = field(default_factory=dict)

    def number(self, name: str, default: float) -> float:
        """Return a variable; the default when it is not given or no number."""
        value = self.values.get(name)
        return float(value) if isinstance(value, (int, float)) and math.isfinite(value) else default

    def whole(self, name: str, default: int) -> int:
        """Return a whole variable."""
        return int(self.number(name, default))

    def factor(self, *, on_paper: bool) -> float:
        """Return what measured lengths are multiplied by before they are written."""
        factor = self.number("dimlfac", 1.0)
        if factor < 0:
            factor = -factor if on_paper else 1.0
        return factor or 1.0


def style_of(entity: Any, document: Document) -> Style:
    """Return the style of a dimension, with what the dimension itself changes of it."""
    name = vars(entity.dxf).get("dimstyle", "Standard")
    try:
        entry = document.dimstyles.get(name)
    except (DXFError, ValueError, TypeError):
        return Style()
    values = dict(vars(entry.dxf))
    try:
        values.update(entity.get_acad_dstyle(entry))
    except (DXFError, ValueError, TypeError, KeyError, AttributeError, IndexError):
        return Style(values)
    return Style(values)


def formatted(style: Style, kind: DimensionKind, value: float) -> str:
    """Return a number as the style writes it; empty when the style's way is not known here."""
    if not 0 <= value < _LONGEST:
        return ""
    if kind == "angle":
        if style.whole("dimaunit", 0):
            return ""
        return f"{_decimals(value, max(0, style.whole('dimadec', 0)), 0, '.')}°"
    step = style.number("dimrnd", 0.0)
    if step > 0:
        value = math.floor(value / step + 0.5) * step
    number = _length(style, value)
    if not number:
        return ""
    post = str(style.values.get("dimpost", "") or "")
    if "<>" in post:
        number = post.replace("<>", number, 1)
    elif post:
        number += post
    elif kind in {"diameter", "radius"}:
        number = ("Ø" if kind == "diameter" else "R") + number
    return " ".join(plain_lines(number))


def _length(style: Style, value: float) -> str:
    system = style.whole("dimlunit", style.whole("dimunit", _DECIMAL))
    places = min(8, max(0, style.whole("dimdec", 4)))
    zeros = style.whole("dimzin", 0)
    if system in {_DECIMAL, _SYSTEM}:
        sign = style.whole("dimdsep", ord("."))
        return _decimals(value, places, zeros, chr(sign) if 32 < sign < 127 else ".")
    if system == _ENGINEERING:
        feet, inches = divmod(round(value, places), 12)
        return _feet(int(feet), _decimals(inches, places, zeros & _TRAILING, "."), inches == 0, zeros)
    if system == _ARCHITECTURAL:
        parts = math.floor(value * 2**places + 0.5)
        feet, rest = divmod(parts, 12 * 2**places)
        return _feet(feet, _fraction(rest, places), rest == 0, zeros)
    if system == _FRACTIONS:
        return _fraction(math.floor(value * 2**places + 0.5), places)
    return ""


def _decimals(value: float, places: int, zeros: int, sign: str) -> str:
    text = f"{value:.{places}f}"
    if zeros & _TRAILING and "." in text:
        text = text.rstrip("0").removesuffix(".")
    if zeros & _LEADING and text.startswith("0."):
        text = text[1:]
    return text.replace(".", sign)


def _fraction(parts: int, places: int) -> str:
    """Return so many parts of 2^-places as a whole number and a fraction."""
    whole, rest = divmod(parts, 2**places)
    if not rest:
        return str(whole)
    under = 2**places
    shared = math.gcd(rest, under)
    return f"{whole} {rest // shared}/{under // shared}" if whole else f"{rest // shared}/{under // shared}"


def _feet(feet: int, inches: str, no_inches: bool, zeros: int) -> str:  # noqa: FBT001 - read beside its number
    """Return feet and inches; of the two lowest bits, 0 leaves out both zeros, 1 none, 2 inches, 3 feet."""
    drop_feet, drop_inches = zeros & 3 in {0, 3}, zeros & 3 in {0, 2}
    if no_inches and drop_inches and feet:
        return f"{feet}'"
    if not feet and drop_feet:
        return f'{inches}"'
    return f"{feet}'-{inches}\""
