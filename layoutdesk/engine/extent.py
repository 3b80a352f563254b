"""What all that is drawn spans."""

from __future__ import annotations

import numpy as np

from layoutdesk.engine.layout import Extent, House
from layoutdesk.engine.piers import NO_SIZE, sizes_by_detail
from layoutdesk.plan.model import Piece, Plan, places_of


def extent_of(plan: Plan, house: House) -> Extent:
    """Return the smallest upright rectangle round all pieces, the house and the full width of the piers, in mm."""
    known = sizes_by_detail(plan)
    pieces: tuple[Piece, ...] = (
        *plan.slabs,
        *plan.walls,
        *plan.keepouts,
        *plan.lines,
        *plan.attachments,
        *plan.controls,
    )
    places = [place for piece in pieces for place in places_of(piece)]
    places += [place for ring in house.outlines for place in ring]
    if plan.baseline is not None:
        places += [plan.baseline.origin, plan.baseline.toward]
    at = np.array(places + [pier.at for pier in plan.piers], dtype=np.float64).reshape(-1, 2)
    if not len(at):
        return Extent(0.0, 0.0, 0.0, 0.0)
    reach = np.zeros(len(at))
    reach[len(places) :] = [known.get(pier.detail, NO_SIZE).widest / 2 for pier in plan.piers]
    low, high = (at - reach[:, None]).min(axis=0), (at + reach[:, None]).max(axis=0)
    return Extent(float(low[0]), float(low[1]), float(high[0]), float(high[1]))
