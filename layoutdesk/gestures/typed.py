"""What may be typed into a field; whatever cannot be meant is refused with a sentence."""

from __future__ import annotations

import math
from typing import Final

from layoutdesk.errors import EditError
from layoutdesk.gestures.gesture import Field, Value
from layoutdesk.units import LIMIT_MM

MOST: Final = 10_000
"""The largest count, and the longest list, that a field takes."""


def checked(field: Field, value: Value) -> Value:
    """Return a typed value when the field can hold it.

    Raises:
        EditError: with one sentence about what the field takes.
    """
    match field.kind:
        case "length" | "angle":
            number = _number(field, value)
            if abs(number) > LIMIT_MM:
                raise EditError(f"The {field.name} is more than any site is long")
            return number
        case "count":
            number = _number(field, value)
            if number != int(number) or not 1 <= number <= MOST:
                raise EditError(f"The {field.name} is a whole number from 1 to {MOST}")
            return int(number)
        case "lengths":
            if not isinstance(value, tuple) or not value or len(value) > MOST:
                raise EditError(f"The {field.name} are one to {MOST} lengths")
            if not all(math.isfinite(v) and abs(v) <= LIMIT_MM for v in value):
                raise EditError(f"The {field.name} must be lengths that can be measured")
            return value
        case "choice":
            found = [o for o in field.options if o.lower().startswith(str(value).strip().lower())]
            if not found or not str(value).strip():
                raise EditError(f"The {field.name} is one of: {', '.join(field.options)}")
            return found[0]
        case "text" | "chain":
            return str(value)


def _number(field: Field, value: Value) -> float:
    if isinstance(value, str | tuple) or not math.isfinite(value):
        raise EditError(f"The {field.name} must be a number")
    return float(value)
