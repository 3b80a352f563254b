"""The steel of a pier, piece by piece: bars, hoops and dowels, with what is cut for each and what they weigh."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from layoutdesk.engine.reckoning import ReckoningError, more_than_nothing, not_negative
from layoutdesk.engine.steel.bends import Hook, hooked_length
from layoutdesk.engine.steel.sizes import STEEL_DENSITY, Bar
from layoutdesk.units import Units, format_length, format_mass

_MOST: Final = 100_000


@dataclass(frozen=True, slots=True)
class Pieces:
    """Pieces of one kind: ``cut`` is the length in mm that each is cut to before it is bent."""

    what: str
    bar: Bar
    count: int
    cut: float

    @property
    def mass(self) -> float:
        """Return what all of them weigh, in kg."""
        return self.count * self.cut / 1000 * self.bar.mass

    @property
    def volume(self) -> float:
        """Return the concrete in mm³ whose place they take, from their mass and the density of steel."""
        return self.mass / STEEL_DENSITY * 1e9


def pieces(what: str, bar: Bar, *, count: int, cut: float) -> Pieces:
    """Return pieces of one kind.

    Raises:
        ReckoningError: when there are less than none or more than 100,000, or they have no length.
    """
    if not 0 <= count <= _MOST:
        raise ReckoningError(f"{count:,} pieces of {bar.name} are not a number that is cut; at most {_MOST:,} are.")
    return Pieces(what, bar, count, more_than_nothing("The length of a piece of steel", cut))


def upright_length(
    top: float, bottom: float, *, cover_top: float, cover_bottom: float, stands_out: float = 0.0
) -> float:
    """Return how long in mm an upright is, end to end or over its hooks.

    Args:
        top: the height of the pier's top as a depth, negative above the ground.
        bottom: the depth of the hole.
        cover_top: over the end of the bar.
        cover_bottom: under it.
        stands_out: how far it goes on above the pier, instead of the cover there.

    Raises:
        ReckoningError: when nothing is left between the covers.
    """
    not_negative("The cover at the ends", min(cover_top, cover_bottom))
    above = -not_negative("What stands out", stands_out) if stands_out else cover_top
    length = (bottom - cover_bottom) - (top + above)
    if length <= 0:
        raise ReckoningError("Nothing is left of the bars between the cover at the top and that at the bottom.")
    return length


def uprights(bar: Bar, *, count: int, length: float, hooks: tuple[Hook, ...] = ()) -> Pieces:
    """Return the bars that run with a pier.

    Args:
        bar: their size.
        count: how many.
        length: out to out, in mm.
        hooks: at their ends, none, one or two.
    """
    return pieces("bar", bar, count=count, cut=hooked_length(length, hooks))


@dataclass(frozen=True, slots=True)
class Cage:
    """All steel of a pier, or of many."""

    kinds: tuple[Pieces, ...]

    @property
    def mass(self) -> float:
        """Return the mass in kg."""
        return math.fsum(one.mass for one in self.kinds)

    @property
    def volume(self) -> float:
        """Return the concrete in mm³ whose place it takes."""
        return math.fsum(one.volume for one in self.kinds)

    def times(self, piers: int) -> Cage:
        """Return the steel of so many piers."""
        return Cage(tuple(pieces(k.what, k.bar, count=k.count * piers, cut=k.cut) for k in self.kinds))


def together(cages: Sequence[Cage]) -> Cage:
    """Return the steel of several cages; pieces of one kind, size and length are counted once."""
    found: dict[tuple[str, Bar, float], int] = {}
    for cage in cages:
        for one in cage.kinds:
            key = (one.what, one.bar, one.cut)
            found[key] = found.get(key, 0) + one.count
    return Cage(tuple(pieces(what, bar, count=n, cut=cut) for (what, bar, cut), n in found.items()))


def cage_sentences(cage: Cage, *, units: Units, rounding: float) -> tuple[str, ...]:
    """Return one sentence for each kind of piece, and one for the whole."""
    told = [_piece_sentence(one, units, rounding) for one in cage.kinds]
    return (*told, f"Steel in all: {format_mass(cage.mass, units, decimals=1)}.")


def _piece_sentence(one: Pieces, units: Units, rounding: float) -> str:
    """Return one kind of piece in a sentence."""
    cut = format_length(one.cut, units, rounding, pretty=True)
    return f"{one.count:,} × {one.what} {one.bar.name}, each cut {cut}: {format_mass(one.mass, units, decimals=1)}."
