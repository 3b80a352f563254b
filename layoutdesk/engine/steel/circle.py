"""Bars on a circle inside a round pier: how far apart they stand, how many fit, and how much concrete covers them.

Clear spacing is that between neighbours across the chord: 2 r sin(π / n) - d, where r is the radius through the
middles of n bars of diameter d. Least clear spacing: columns by ACI 318-19, 25.2.3; bars of EN 10080 by
EN 1992-1-1:2004, 8.2. Least cover: ACI 318-19, table 20.5.1.3.1.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative
from layoutdesk.engine.steel.sizes import Bar
from layoutdesk.units import MM_PER_INCH, Units, format_small

Against: TypeAlias = Literal["earth", "formed"]

USUAL_STONE: Final = 0.75 * MM_PER_INCH
"""Largest stone in mm of usual concrete for piers: common practice, no source; bags of mix hold smaller ones."""
_NO_5: Final = 16.0
"""Bars up to this diameter in mm count as No. 5 and smaller."""
_MOST: Final = 1000
"""More bars than this are not put into a pier."""
_HAIR: Final = 1e-6


def least_cover(bar: Bar, *, against: Against, units: Units) -> float:
    """Return the least cover in mm: ACI 318-19, table 20.5.1.3.1; local code decides.

    Args:
        bar: the outermost bar, as a rule the tie.
        against: ``earth`` for concrete cast against the ground and for good in contact with it, ``formed`` for
            concrete that was formed and stands in weather or ground, as in a tube.
        units: the code has round figures in each system.
    """
    imperial = units == "ft-in"
    if against == "earth":
        return 3 * MM_PER_INCH if imperial else 75.0
    if bar.diameter <= _NO_5:
        return 1.5 * MM_PER_INCH if imperial else 40.0
    return 2 * MM_PER_INCH if imperial else 50.0


def cover_sentence(cover: float, bar: Bar, *, against: Against, units: Units, rounding: float) -> str:
    """Return whether a cover is enough, in one sentence with its numbers.

    What is written as the least cover is enough: half of the step to which lengths are rounded is let pass.
    """
    least = least_cover(bar, against=against, units=units)
    has = format_small(cover, units, rounding)
    needs = format_small(least, units, rounding)
    where = "cast against the ground" if against == "earth" else "formed and exposed to weather or ground"
    if cover >= least - rounding / 2:
        return f"Cover of {has} is enough: ACI 318-19 asks {needs} where concrete is {where}."
    return (
        f"Cover of {has} is {format_small(least - cover, units, rounding)} too little: "
        f"ACI 318-19 asks {needs} where concrete is {where}."
    )


def least_clear(bar: Bar, *, stone: float = USUAL_STONE) -> float:
    """Return the least clear spacing in mm between bars that run with a pier.

    Args:
        bar: the bars.
        stone: the largest stone in the concrete, in mm.
    """
    more_than_nothing("The largest stone", stone)
    if bar.standard == "en":
        return max(bar.diameter, stone + 5, 20.0)
    return max(1.5 * MM_PER_INCH, 1.5 * bar.diameter, 4 / 3 * stone)


@dataclass(frozen=True, slots=True)
class Circle:
    """Bars on a circle; lengths in mm.

    Attributes:
        count: how many bars.
        radius: through the middles of the bars.
        clear: between neighbours; infinite for a single bar.
        least: what it must be.
        most: how many bars would fit.
    """

    count: int
    radius: float
    clear: float
    least: float
    most: int

    @property
    def fits(self) -> bool:
        """Return whether the bars stand far enough apart."""
        return self.count <= self.most


def on_circle(
    width: float,
    *,
    cover: float,
    tie: Bar | None,
    bar: Bar,
    count: int,
    lapped: bool = False,
    stone: float = USUAL_STONE,
) -> Circle:
    """Return how bars stand inside a round pier.

    Args:
        width: the diameter of the pier where it is narrowest.
        cover: from the concrete's face to the outermost steel.
        tie: the hoops around the bars; None for none.
        bar: the bars.
        count: how many of them.
        lapped: whether a second bar lies beside each, on the circle.
        stone: the largest stone in the concrete.

    Raises:
        ReckoningError: when nothing is left inside cover and hoop, or the count is no number of bars.
    """
    more_than_nothing("The width of a pier", width)
    not_negative("The cover", cover)
    if not 1 <= count <= _MOST:
        raise ReckoningError(f"{count:,} bars cannot stand on a circle; between 1 and {_MOST:,} can.")
    around = 0.0 if tie is None else tie.diameter
    radius = width / 2 - cover - around - bar.diameter / 2
    if radius < bar.diameter / 2:
        raise ReckoningError("Nothing is left inside the cover and the hoop for a bar to stand in.")
    least = least_clear(bar, stone=stone)
    taken = bar.diameter * (2 if lapped else 1)
    clear = math.inf if count == 1 else 2 * radius * math.sin(math.pi / count) - taken
    return Circle(count, radius, clear, least, _most(radius, taken + least))


def _most(radius: float, chord: float) -> int:
    """Return how many bars fit whose middles are a chord apart."""
    if chord > 2 * radius + _HAIR:
        return 1
    return math.floor(math.pi / math.asin(min(1.0, chord / (2 * radius))) + _HAIR)


def circle_sentence(circle: Circle, bar: Bar, *, units: Units, rounding: float) -> str:
    """Return whether the bars fit, in one sentence with its numbers."""
    across = format_small(2 * circle.radius, units, rounding)
    least = format_small(circle.least, units, rounding)
    code = "ACI 318-19, 25.2.3" if bar.standard == "astm" else "EN 1992-1-1, 8.2"
    if circle.count == 1:
        return f"One bar {bar.name} stands in the middle."
    many = f"{circle.count} bars {bar.name} on a circle of {across}"
    if circle.fits:
        clear = format_small(circle.clear, units, rounding)
        return f"{many} stand {clear} clear of each other; {least} is the least ({code})."
    if circle.clear < 0:
        found = "do not go side by side"
    else:
        found = f"stand only {format_small(circle.clear, units, rounding)} clear of each other"
    most = "1 fits" if circle.most == 1 else f"{circle.most} fit"
    return f"{many} {found}; at least {least} must be clear between two ({code}): {most}."
