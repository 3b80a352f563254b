"""What everybody may ask of the ground."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from layoutdesk.engine.levels.entries import Contour, GroundFrom, GroundPlane, GroundSpot
from layoutdesk.geometry.vector import Vector

if TYPE_CHECKING:
    from layoutdesk.engine.columns import Floats


class GroundBelow(Protocol):
    """What strings and side views ask of the ground; elevations are mm above the zero of the job."""

    def at(self, place: Vector) -> tuple[float | None, GroundFrom, float]:
        """Return the elevation at a place, how it is known, and within what (NaN where it is not known)."""
        ...

    def profile(self, a: Vector, b: Vector) -> tuple[tuple[Vector, ...], ...]:
        """Return the ground from a to b as (distance from a, elevation) at every break, in parts."""
        ...


class Ground(GroundBelow, Protocol):
    """What is known of the ground; elevations are mm above the zero of the job, NaN in columns where not known.

    Between the places where it was taken it is the surface over them, beyond them the fitted plane.
    """

    @property
    def spots(self) -> tuple[GroundSpot, ...]:
        """Return every place where the ground was taken: spots, then piers."""
        ...

    @property
    def plane(self) -> GroundPlane | None:
        """Return the plane that fits best; None while fewer than two places are known."""
        ...

    @property
    def contours(self) -> tuple[Contour, ...]:
        """Return lines of equal height, from the lowest up."""
        ...

    @property
    def interval(self) -> float:
        """Return the step of the contours in mm."""
        ...

    @property
    def hull(self) -> tuple[Vector, ...]:
        """Return the outline of all places, anticlockwise."""
        ...

    def heights(self, xy: Floats) -> Floats:
        """Return the elevations at many places, (k, 2) to (k,) in mm."""
        ...

    def lowest(self, place: Vector, radius: float) -> float | None:
        """Return the lowest ground within a circle; None where nothing is known."""
        ...

    def lowest_many(self, xy: Floats, radius: Floats) -> Floats:
        """Return the lowest ground within many circles, (k, 2) and (k,) to (k,) in mm."""
        ...
