"""The proven answer against every grouping on small lists, and against another formulation on a hundred lists."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.cutting import CuttingError, Piece, Stock, best_cutting, first_cutting
from tests.engine.cutting_jobs import check, flow, random_job, tried


@pytest.mark.parametrize("seed", range(40))
def test_no_grouping_is_cheaper_nor_shorter_nor_plainer(seed: int) -> None:
    """Oracle: all ways to put up to eight pieces together, with lengths of any fineness."""
    rng = np.random.default_rng(seed)
    kinds = int(rng.integers(1, 5))
    left = 7
    demand = []
    for k in range(kinds):
        count = min(left, int(rng.integers(1, 4)))
        if count:
            length = float(rng.uniform(500, 2300)) if seed % 2 else float(rng.integers(5, 23) * 100)
            demand.append(Piece(length, count, f"K{k}"))
            left -= count
    stock = [Stock(2400.0), Stock(3000.0), Stock(3600.0), Stock(4800.0)]
    if seed % 4 == 0:
        stock = [Stock(2400.0, 4.99), Stock(3600.0, 7.45), Stock(4800.0, 9.98)]
    kerf = float(rng.choice([0.0, 3.175]))
    found = best_cutting(demand, stock, kerf=kerf)
    check(found, demand, stock, kerf)
    cost, squares, patterns = tried(demand, stock, kerf)
    assert found.proven
    assert found.cost == pytest.approx(cost, abs=1e-6)
    assert sum(piece.stock.length**2 for piece in found.pieces) == pytest.approx(squares)
    lengths = {piece.label: piece.length for piece in demand}
    kinds_cut = {(p.stock, tuple(sorted(lengths[name] for name in p.cuts))) for p in found.pieces}
    assert len(kinds_cut) == patterns


@pytest.mark.parametrize("seed", range(100))
def test_a_hundred_lists_cost_what_the_flow_along_the_stock_says(seed: int) -> None:
    """Oracle: the flow formulation, solved whole; with and without prices, with and without scarce stock."""
    demand, stock, kerf = random_job(seed)
    least = flow(demand, stock, kerf)
    if least is None:
        with pytest.raises(CuttingError, match="not enough"):
            best_cutting(demand, stock, kerf=kerf)
        return
    found = best_cutting(demand, stock, kerf=kerf)
    check(found, demand, stock, kerf)
    assert found.proven
    assert found.cost == pytest.approx(least, abs=1e-6)
    first = first_cutting(demand, stock, kerf=kerf)
    check(first, demand, stock, kerf)
    assert first.bound <= least + 1e-6
    assert first.cost >= least - 1e-6
    assert not first.proven or first.cost == pytest.approx(least, abs=1e-6)
