"""Yards for tests of the ground: plans with spots, and hypothesis strategies for them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from hypothesis import strategies as st

from layoutdesk.engine.columns import Floats
from layoutdesk.engine.levels.entries import GroundFrom
from layoutdesk.engine.levels.ground import Ground, ground_of
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.heights import SpotHeight
from layoutdesk.plan.model import Plan


def spots(places: Sequence[Vector], heights: Sequence[float]) -> tuple[SpotHeight, ...]:
    """Return spots S1, S2 … with typed heights."""
    return tuple(
        SpotHeight(id=f"S{k}", at=(float(x), float(y)), elevation=float(z))
        for k, ((x, y), z) in enumerate(zip(places, heights, strict=True), start=1)
    )


def yard(places: Floats, heights: Floats, plan: Plan | None = None) -> Ground:
    """Return the ground of a plan with typed spots."""
    whole = (plan or Plan(units="mm", rounding=1.0)).with_(spots=spots(places.tolist(), heights.tolist()))
    return ground_of(whole, None, None)


def height_at(ground: Ground, place: Vector, how: GroundFrom | None = None) -> float:
    """Return the elevation at a place, which must be known, and known so if that is said."""
    z, known, _ = ground.at(place)
    assert z is not None
    assert how is None or known == how
    return z


def rough_yard(seed: int, count: int = 25, *, size: float = 8000.0, rough: float = 40.0) -> tuple[Floats, Floats]:
    """Return places and heights of a yard that falls 3 % and is rough by so much, one standard deviation; mm."""
    rng = np.random.default_rng(seed)
    places = rng.uniform(-size / 2, size / 2, (count, 2))
    return places, 100.0 - 0.03 * places[:, 1] + 0.01 * places[:, 0] + rng.normal(0.0, rough, count)


@st.composite
def yards(draw: st.DrawFn, *, least: int = 3, most: int = 12) -> tuple[Floats, Floats]:
    """Return places on a grid of 100 mm, each once, with heights: many of them on one circle or in one line."""
    cell = st.tuples(st.integers(-30, 30), st.integers(-30, 30))
    cells = draw(st.lists(cell, min_size=least, max_size=most, unique=True))
    heights = draw(st.lists(st.integers(-500, 500), min_size=len(cells), max_size=len(cells)))
    return np.array(cells, dtype=np.float64) * 100.0, np.array(heights, dtype=np.float64)
