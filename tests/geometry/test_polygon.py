"""Outlines as polygons."""

from __future__ import annotations

import pytest

from layoutdesk.geometry.polygon import area_within, on_grid


def test_bow_tie_keeps_both_its_halves() -> None:
    assert area_within([((0, 0), (2, 2), (2, 0), (0, 2))]).area == pytest.approx(2)


def test_outline_without_area_holds_nothing() -> None:
    assert area_within([((0, 0), (1, 0), (2, 0))]).area == 0


def test_outlines_that_share_an_edge_become_one() -> None:
    both = area_within([((0, 0), (1, 0), (1, 1), (0, 1)), ((1, 0), (2, 0), (2, 1), (1, 1 + 1e-9))])
    assert both.geom_type == "Polygon"
    assert both.area == pytest.approx(2)


def test_numbers_next_to_nought_become_nought() -> None:
    assert on_grid((2.2e-308, -4e-7)) == (0, 0)
    assert on_grid((1234.56789012, 1.0)) == (1234.56789, 1.0)
