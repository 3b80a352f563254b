"""Which stock lengths the columns are cut from: the least length bought, and of that the shortest pieces."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from layoutdesk.engine.levels.columns import stock_lengths
from layoutdesk.engine.levels.entries import ColumnCut, StockGroup
from layoutdesk.plan.model import Plan

MOST_KINDS: Final = 120
"""Beyond so many different lengths the pieces are filled one after the other."""
MOST_TOGETHER: Final = 8
"""So they are where more than so many of the shortest columns come from one piece of stock."""


def stock_groups(plan: Plan, cuts: Sequence[ColumnCut]) -> tuple[StockGroup, ...]:
    """Return the pieces to buy and what is cut from each, the shortest stock first.

    Columns that no stock is long enough for are left out: their ``stock`` is None.
    """
    able = [cut for cut in cuts if cut.stock is not None]
    if not able:
        return ()
    # numpy and scipy load late.
    from layoutdesk.engine.cutting import Piece, Stock, best_cutting, first_cutting

    kerf, lengths = plan.levels.columns.kerf, stock_lengths(plan)
    roughs = {round(cut.rough, 6) for cut in able}
    small = len(roughs) <= MOST_KINDS and lengths[-1] <= MOST_TOGETHER * (min(roughs) + kerf)
    cutting = (best_cutting if small else first_cutting)(
        [Piece(min(cut.rough, lengths[-1]), 1, cut.label) for cut in able],
        [Stock(length) for length in lengths],
        kerf=kerf,
    )
    groups = []
    for length in lengths:
        cut_so = [piece for piece in cutting.pieces if piece.stock.length == length]
        if cut_so:
            names = tuple(piece.cuts for piece in cut_so)
            waste = sum(piece.left_over + kerf * (len(piece.cuts) - 1) for piece in cut_so)
            groups.append(StockGroup(length, names, waste))
    return tuple(groups)
