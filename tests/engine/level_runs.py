"""Level books for tests: runs and loops written as on paper."""

from __future__ import annotations

from collections.abc import Sequence

from layoutdesk.engine.levels.book import level_book
from layoutdesk.engine.levels.entries import LevelBook
from layoutdesk.plan.model import Benchmark, HeightSettings, Levels, Plan, Reading, Setup, SpotHeight


def back(setup: int, point: str, reading: float) -> Reading:
    """Return a backsight."""
    return Reading(setup=setup, point=point, kind="back", reading=reading)


def fore(setup: int, point: str, reading: float) -> Reading:
    """Return a foresight."""
    return Reading(setup=setup, point=point, kind="fore", reading=reading)


def run(backs: Sequence[float], fores: Sequence[float], names: Sequence[str]) -> list[Reading]:
    """Return the readings of a run over points, setup by setup: one more name than setups."""
    readings = []
    for n, (b, f) in enumerate(zip(backs, fores, strict=True)):
        readings += [back(n + 1, names[n], b), fore(n + 1, names[n + 1], f)]
    return readings


def booked(
    readings: Sequence[Reading],
    benchmarks: dict[str, float],
    *,
    setups: Sequence[Setup] = (),
    spots: Sequence[SpotHeight] = (),
    plan: Plan | None = None,
) -> Plan:
    """Return a plan in mm with a level book that may miss 3 mm for one setup."""
    marks = tuple(Benchmark(id=name, elevation=height) for name, height in benchmarks.items())
    settings = HeightSettings(misclosure=3.0)
    levels = Levels(benchmarks=marks, readings=tuple(readings), setups=tuple(setups), settings=settings)
    return (plan or Plan(units="mm", rounding=1.0)).with_(levels=levels, spots=tuple(spots))


def book(plan: Plan) -> LevelBook:
    """Return the level book of a plan that has one."""
    found = level_book(plan)
    assert found is not None
    return found
