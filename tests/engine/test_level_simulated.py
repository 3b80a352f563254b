"""Level books of yards whose heights are known: what is within is within as often as it says."""

from __future__ import annotations

import numpy as np

from layoutdesk.plan.model import Plan, Reading, Setup
from tests.engine.level_runs import back, book, booked, fore

JOBS = 400
METHODS: tuple[dict[int, float], ...] = ({}, {2: 2.0}, {1: 0.7, 3: 3.0})
"""Deviations that some setups say; the others have the usual 1.5 mm."""


def yard(chance: np.random.Generator, deviations: dict[int, float]) -> tuple[Plan, dict[str, float]]:
    """Return a book of three setups with a closing shot, points seen twice and two benchmarks, and what is true."""
    truth = {name: float(chance.uniform(-800, 100)) for name in ("T1", "T2", "G1", "G2", "G3", "G4", "G5")}
    truth |= {"B1": 0.0, "B2": -340.0}
    sights = {1: ("B1", "G1", "G2", "T1"), 2: ("T1", "G2", "G3", "B2", "T2"), 3: ("T2", "G3", "G4", "G5", "B1")}
    readings: list[Reading] = []
    for setup, points in sights.items():
        line = float(chance.uniform(900, 1600))
        for n, point in enumerate(points):
            shown = line - truth[point] + float(chance.normal(0, deviations.get(setup, 1.5)))
            readings.append(back(setup, point, shown) if n == 0 else fore(setup, point, shown))
    setups = [Setup(setup=setup, deviation=deviation) for setup, deviation in deviations.items()]
    return booked(readings, {"B1": 0.0, "B2": -340.0}, setups=setups), truth


def test_heights_lie_within_what_they_say_in_95_of_100() -> None:
    """1.96 standard deviations from the covariance, for every point and every mixture of methods."""
    chance = np.random.default_rng(17)
    for deviations in METHODS:
        inside: dict[str, int] = {}
        for _ in range(JOBS):
            plan, truth = yard(chance, deviations)
            for point in book(plan).points:
                assert point.elevation is not None
                if point.role != "benchmark":
                    near = abs(point.elevation - truth[point.id]) <= point.within
                    inside[point.id] = inside.get(point.id, 0) + near
        assert len(inside) == 7
        # Four standard deviations of a share of 95 % in so many jobs.
        for count in inside.values():
            assert abs(count / JOBS - 0.95) <= 4 * (0.95 * 0.05 / JOBS) ** 0.5


def test_spreading_makes_heights_better_than_they_were_booked() -> None:
    chance = np.random.default_rng(18)
    booked_off, spread_off = [], []
    for _ in range(JOBS):
        plan, truth = yard(chance, {})
        for row in book(plan).rows:
            if row.point == "T2" and row.kind == "fore":
                assert row.booked is not None
                assert row.adjusted is not None
                booked_off.append(row.booked - truth["T2"])
                spread_off.append(row.adjusted - truth["T2"])
    assert np.std(spread_off) < 0.8 * np.std(booked_off)


def test_no_reading_of_a_sound_book_is_blamed() -> None:
    chance = np.random.default_rng(19)
    for _ in range(JOBS):
        plan, _ = yard(chance, {})
        assert all(row.trouble is None for row in book(plan).rows)
