"""In which lengths bars are sold, and what a saw cut takes of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from layoutdesk.engine.shipped import shipped
from layoutdesk.units import Units


@dataclass(frozen=True, slots=True)
class StockSold:
    """Lengths of bars that are sold, the shortest first, and what a saw cut takes; in mm."""

    lengths: tuple[float, ...]
    kerf: float


@cache
def stock_sold(units: Units) -> StockSold:
    """Return in which lengths bars are sold where these units are used: common practice, no source."""
    figures = shipped("steel")["stock"]["imperial" if units == "ft-in" else "metric"]
    return StockSold(tuple(float(one) for one in figures["lengths_mm"]), float(figures["kerf_mm"]))
