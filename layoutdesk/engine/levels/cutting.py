"""Which stock lengths the columns are cut from: the least length bought, and of that the shortest pieces.

Every way to cut one piece of stock is a pattern; how often each is used is a small whole-number problem, solved by
scipy's ``milp`` (branch and bound). Jobs with too many patterns for that are filled piece by piece, longest first.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final

from layoutdesk.engine.levels.columns import stock_lengths
from layoutdesk.engine.levels.entries import ColumnCut, StockGroup
from layoutdesk.plan.model import Plan

MOST_PATTERNS: Final = 4000
"""Beyond so many patterns the pieces are filled one after the other."""
MOST_KINDS: Final = 120
"""So do they beyond so many different lengths."""
_FITS_MM: Final = 1e-6


def stock_groups(plan: Plan, cuts: Sequence[ColumnCut]) -> tuple[StockGroup, ...]:
    """Return the pieces to buy and what is cut from each, the shortest stock first.

    Columns that no stock is long enough for are left out: their ``stock`` is None.
    """
    able = sorted((cut for cut in cuts if cut.stock is not None), key=lambda cut: -cut.rough)
    if not able:
        return ()
    kerf, stock = plan.levels.columns.kerf, stock_lengths(plan)
    pieces = _best(able, stock, kerf) or _filled(able, stock, kerf)
    groups = []
    for length in stock:
        cut_so = [piece for bought, piece in pieces if bought == length]
        if cut_so:
            used = sum(cut.rough for piece in cut_so for cut in piece)
            names = tuple(tuple(cut.label for cut in piece) for piece in cut_so)
            groups.append(StockGroup(length, names, length * len(cut_so) - used))
    return tuple(groups)


def _need(piece: Sequence[ColumnCut], kerf: float) -> float:
    """Return how long a piece must be for some columns: the saw goes between them."""
    return sum(cut.rough for cut in piece) + kerf * (len(piece) - 1)


def _shortest(piece: Sequence[ColumnCut], stock: Sequence[float], kerf: float) -> float | None:
    need = _need(piece, kerf)
    return next((length for length in stock if length >= need - _FITS_MM), None)


_Piece = tuple[float, tuple[ColumnCut, ...]]


def _filled(able: Sequence[ColumnCut], stock: Sequence[float], kerf: float) -> list[_Piece]:
    """Return pieces filled one after the other, the longest column first, each then as short as it can be."""
    pieces: list[list[ColumnCut]] = []
    for cut in able:
        home = next((piece for piece in pieces if _need([*piece, cut], kerf) <= stock[-1] + _FITS_MM), None)
        if home is None:
            pieces.append([cut])
        else:
            home.append(cut)
    return [(length, tuple(piece)) for piece in pieces if (length := _shortest(piece, stock, kerf)) is not None]


def _best(able: Sequence[ColumnCut], stock: Sequence[float], kerf: float) -> list[_Piece] | None:
    """Return the pieces of least length, or None when there are too many ways to cut."""
    kinds = Counter(round(cut.rough, 6) for cut in able)
    lengths = sorted(kinds, reverse=True)
    if len(lengths) > MOST_KINDS:
        return None
    patterns = []
    for counts in _patterns(lengths, [kinds[length] for length in lengths], stock[-1], kerf):
        patterns.append(counts)
        if len(patterns) > MOST_PATTERNS:
            return None
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    table = np.array(patterns, dtype=float).T
    needs = np.array(lengths) @ table + kerf * (table.sum(axis=0) - 1)
    bought = np.array([next(length for length in stock if length >= need - _FITS_MM) for need in needs])
    # Among equal lengths shorter pieces win, because they are easier to carry.
    cost = bought * (1 + 1e-6 * bought / bought.max())
    want = np.array([kinds[length] for length in lengths], dtype=float)
    found = milp(
        cost,
        integrality=np.ones(len(patterns)),
        bounds=Bounds(0, len(able)),
        constraints=LinearConstraint(table, want, want),
        options={"mip_rel_gap": 1e-9},
    )
    if found.x is None:
        return None
    left = {length: [cut for cut in able if round(cut.rough, 6) == length] for length in lengths}
    pieces = []
    for k in np.flatnonzero(np.round(found.x)).tolist():
        for _ in range(round(found.x[k])):
            piece = [left[length].pop(0) for length, n in zip(lengths, patterns[k], strict=True) for _ in range(n)]
            pieces.append((float(bought[k]), tuple(piece)))
    return pieces


def _patterns(
    lengths: Sequence[float], counts: Sequence[int], longest: float, kerf: float
) -> Iterator[tuple[int, ...]]:
    """Yield every way to take columns out of one piece, as counts of each length; never the empty one."""

    def grown(k: int, room: float) -> Iterator[tuple[int, ...]]:
        if k == len(lengths):
            yield ()
            return
        most = min(counts[k], int((room + kerf + _FITS_MM) // (lengths[k] + kerf)))
        for n in range(most, -1, -1):
            for rest in grown(k + 1, room - n * (lengths[k] + kerf)):
                yield (n, *rest)

    for pattern in grown(0, longest):
        if any(pattern):
            yield pattern
