"""The job in whole numbers, so that what fits and what costs the same is never a matter of rounding."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.cutting.contract import CuttingError, Piece, Stock

STEP: Final = 1e-9
"""Lengths are whole numbers of this, in mm."""
FITS: Final = 1000
"""A piece that is longer than its room by no more than so many steps fits: 1e-6 mm."""
MONEY: Final = 1e-6
"""Costs are whole numbers of this, in mm or in money."""
LONGEST: Final = 1e6
"""No length is over 1 km: so many steps still add up exactly."""
MOST: Final = 100_000
"""So many pieces are cut at most."""


@dataclass(frozen=True, slots=True)
class Cut:
    """How pieces of stock are cut alike: from which stock, how many of each kind, and how many such pieces."""

    stock: int
    counts: tuple[int, ...]
    times: int


@dataclass(frozen=True, slots=True)
class Job:
    """One job; kinds of pieces from the longest down, stock from the shortest up.

    ``sizes`` are lengths with one saw cut each and ``rooms`` stock with one saw cut more, in steps, so that a
    piece of stock is big enough when its room is not less than the sizes in it. ``costs`` are whole numbers of
    ``unit``; ``limits`` how many pieces of each stock can be used, and ``limited`` whether that is less than
    one could need.
    """

    sizes: Indices
    counts: Indices
    labels: tuple[tuple[tuple[str, float], ...], ...]
    rooms: Indices
    costs: Floats
    limits: Indices
    limited: tuple[bool, ...]
    stock: tuple[Stock, ...]
    unit: float
    kerf: float

    def cheapest(self, counts: Sequence[int], free: Sequence[int]) -> int | None:
        """Return the cheapest stock that holds these pieces and is still to be had, the shorter of equal ones."""
        need = int(np.dot(self.sizes, counts))
        able = [s for s, room in enumerate(self.rooms.tolist()) if room >= need and free[s] > 0]
        return min(able, key=lambda s: (self.costs[s], s), default=None)

    def cost(self, cuts: Sequence[Cut]) -> int:
        """Return what all this stock costs, in units."""
        return round(sum(float(self.costs[cut.stock]) * cut.times for cut in cuts))

    def rounded_up(self, bound: float) -> int:
        """Return the least whole cost that is not under a bound; a millionth of a unit counts as rounding."""
        return math.ceil(bound - 1e-6 * max(1.0, abs(bound) * 1e-3))


def job_of(demand: Sequence[Piece], stock: Sequence[Stock], *, kerf: float) -> Job | None:
    """Return the job in whole numbers, or None when nothing is wanted.

    Raises:
        CuttingError: a length, count or price that makes no sense, or a piece longer than all stock.
    """
    wanted = [piece for piece in demand if piece.count]
    _check(wanted, stock, kerf)
    if not wanted:
        return None
    kinds: Counter[int] = Counter()
    labels: dict[int, list[tuple[str, float]]] = {}
    for piece in wanted:
        size = round((piece.length + kerf) / STEP)
        kinds[size] += piece.count
        labels.setdefault(size, []).extend([(piece.label, piece.length)] * piece.count)
    able = sorted(
        (one for one in stock if one.available is None or one.available > 0),
        key=lambda one: (one.length, one.price or 0.0),
    )
    rooms = np.array([round((one.length + kerf) / STEP) + FITS for one in able], dtype=np.int64)
    sizes = np.array(sorted(kinds, reverse=True), dtype=np.int64)
    longest = int(rooms.max()) if able else 0
    _say_too_long([piece for piece in wanted if round((piece.length + kerf) / STEP) > longest])
    total = sum(kinds.values())
    costs = [round((one.length if one.price is None else one.price) / MONEY) for one in able]
    common = math.gcd(*costs) or 1
    limits = [total if one.available is None else min(one.available, total) for one in able]
    return Job(
        sizes=sizes,
        counts=np.array([kinds[size] for size in sizes.tolist()], dtype=np.int64),
        labels=tuple(tuple(labels[size]) for size in sizes.tolist()),
        rooms=rooms,
        costs=np.array([cost // common for cost in costs], dtype=np.float64),
        limits=np.array(limits, dtype=np.int64),
        limited=tuple(limit < total for limit in limits),
        stock=tuple(able),
        unit=common * MONEY,
        kerf=kerf,
    )


def _check(wanted: Sequence[Piece], stock: Sequence[Stock], kerf: float) -> None:
    if not (math.isfinite(kerf) and 0 <= kerf <= LONGEST):
        raise CuttingError("The width of a saw cut is a length of zero or more.")
    for piece in wanted:
        if not (math.isfinite(piece.length) and 0 < piece.length <= LONGEST):
            raise CuttingError(f"{_named(piece)} needs a length of more than zero and at most 1 km.")
        if piece.count < 0:
            raise CuttingError(f"{_named(piece)} is wanted {piece.count} times; a count is zero or more.")
    if (total := sum(piece.count for piece in wanted)) > MOST:
        raise CuttingError(
            f"{total:,} pieces are more than the {MOST:,} that are cut in one list; make it several."
        )
    for one in stock:
        if not (math.isfinite(one.length) and 0 < one.length <= LONGEST):
            raise CuttingError("Every length of stock is more than zero and at most 1 km.")
        if one.price is not None and not (math.isfinite(one.price) and 0 <= one.price <= LONGEST):
            raise CuttingError("The price of a piece of stock is zero or more and at most a million.")
        if one.available is not None and one.available < 0:
            raise CuttingError("How many pieces of stock can be had is zero or more.")
    if len({one.price is None for one in stock}) > 1:
        raise CuttingError("Give every length of stock a price, or none of them.")


def _named(piece: Piece) -> str:
    return f"The piece “{piece.label}”" if piece.label else "A piece"


def _say_too_long(pieces: Sequence[Piece]) -> None:
    names = list(dict.fromkeys(piece.label or "a piece without a name" for piece in pieces))
    if not names:
        return
    shown = ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
    raise CuttingError(f"No stock is long enough for {shown}; add a longer length.")
