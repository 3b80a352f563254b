"""Heights as the Levels page writes and reads them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from layoutdesk.desk.notebook.lengths import LengthText
from layoutdesk.errors import EditError
from layoutdesk.units import parse_length

if TYPE_CHECKING:
    from layoutdesk.engine.levels.entries import GroundFrom, GroundPlane, HeightRole
    from layoutdesk.plan.heights import SetupMethod, StringRule, TopRule

METHODS: Final[dict[SetupMethod, str]] = {
    "level": "level or laser",
    "water level": "water level",
    "string": "tape down from a level string",
}
TOPS: Final[dict[TopRule, str]] = {
    "reveal": "the ground",
    "level": "one level",
    "string": "the string",
}
STRINGS: Final[dict[StringRule, str]] = {"level": "level", "beam": "parallel to the beam"}
FROM: Final[dict[GroundFrom, str]] = {
    "reading": "read",
    "typed": "typed",
    "surface": "interpolated",
    "beyond the spots": "beyond the spots",
    "none": "not known",
}
ROLES: Final[dict[HeightRole, str]] = {
    "benchmark": "the benchmark",
    "ground": "the ground",
    "pier top": "the top of the pier as built",
    "support": "the side supports",
    "mark": "a mark",
    "turning point": "a turning point",
}
NO_HEIGHT: Final = "–"


def height(mm: float | None, text: LengthText) -> str:
    """Return an elevation for the eye, with its sign; a dash where there is none."""
    if mm is None or math.isnan(mm):
        return NO_HEIGHT
    shown = text(abs(mm))
    if shown == text(0.0):
        return shown
    return f"{'−' if mm < 0 else '+'}{shown}"


def read_height(typed: str, text: LengthText) -> float | None:
    """Return an elevation as it was typed, a plus in front of it or not; None for an empty box.

    Raises:
        LengthError: when it cannot be read.
    """
    clean = typed.strip().removeprefix("+").strip()
    return parse_length(clean, text.units) if clean else None


def exact_height(mm: float | None, text: LengthText) -> str:
    """Return an elevation as text to edit; nothing where there is none."""
    return "" if mm is None else text.exact(mm)


def falls_away(plane: GroundPlane) -> tuple[str, float]:
    """Return what the ground does, in words that stand over a number, and that number: never less than nothing."""
    if plane.away is None:
        if plane.along is None:
            return "The ground falls", plane.slope
        way = "along" if plane.along >= 0 else "back along"
        return f"The ground falls {way} the baseline", abs(plane.along)
    if plane.away < 0:
        return "The ground falls towards the house", -plane.away
    return "The ground falls away from the house", plane.away


def plain_number(typed: str, example: str) -> float:
    """Return a plain number.

    Raises:
        EditError: when it is none.
    """
    try:
        value = float(typed.strip().replace(",", "."))
    except ValueError as error:
        raise EditError(f"“{typed[:20]}” is no number; type for example {example}") from error
    if not math.isfinite(value):
        raise EditError(f"“{typed[:20]}” is no number; type for example {example}")
    return value
