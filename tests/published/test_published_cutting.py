"""Cutting lists with a known optimum. Sources: shared/published.toml, beside each value."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.cutting import Piece, Stock, best_cutting, first_cutting
from layoutdesk.engine.cutting.job import job_of
from layoutdesk.engine.cutting.patterns import near_fillings
from tests.published.checks import published


def test_thirteen_widths_come_from_seventy_three_rolls() -> None:
    check = published()["cutting-thirteen-widths"]
    given, expected = check["inputs"], check["expected"]
    demand = [Piece(float(w), n, f"{w}") for w, n in zip(given["widths_mm"], given["counts"], strict=True)]
    stock = [Stock(float(given["stock_mm"]))]
    found = best_cutting(demand, stock, kerf=0.0)
    assert found.proven
    assert len(found.pieces) == expected["pieces"]
    assert found.waste / found.cost * 100 == pytest.approx(expected["waste_per_cent"], abs=check["tolerance"])
    assert len(first_cutting(demand, stock, kerf=0.0).pieces) >= expected["pieces"]


def test_the_patterns_of_thirteen_widths_are_as_many_as_published() -> None:
    """Every way to take at least one width from a roll."""
    check = published()["cutting-thirteen-widths"]
    given = check["inputs"]
    demand = [Piece(float(w), n, f"{w}") for w, n in zip(given["widths_mm"], given["counts"], strict=True)]
    job = job_of(demand, [Stock(float(given["stock_mm"]))], kerf=0.0)
    assert job is not None
    fillings = near_fillings(job, np.zeros(len(demand)), np.full(1, -1.0), most=10_000)
    assert fillings is not None
    assert int((fillings.sizes > 0).sum()) == check["expected"]["patterns"]


def test_four_widths_come_from_as_few_rolls_as_the_textbook_says() -> None:
    check = published()["cutting-four-widths"]
    given = check["inputs"]
    demand = [Piece(w * 25.4, n, f"{w}") for w, n in zip(given["widths_in"], given["counts"], strict=True)]
    found = best_cutting(demand, [Stock(given["stock_in"] * 25.4)], kerf=0.0)
    assert found.proven
    assert len(found.pieces) == check["expected"]["pieces"]
