"""Columns set end to end by chance: rough ground, a level book with errors, cuts by tape, and all assembled."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from layoutdesk.engine.derive import PlanLayout
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Benchmark,
    ColumnRule,
    Detail,
    HeightSettings,
    Levels,
    LineHeights,
    Pier,
    Plan,
    Reading,
    Setup,
)

JOBS = 1000
DEVIATION = 1.5
SEAT = 2500.0
FALL = 1 / 48
RULE = ColumnRule(width=140, depth=140, foot=30, cap=6, support=400)
PLACES: tuple[Vector, ...] = ((0.0, -2000.0), (0.0, -4000.0), (3000.0, -2000.0), (3000.0, -4000.0))


def job(readings: tuple[Reading, ...]) -> Plan:
    """Return two beam lines of two piers each, with a level book."""
    return Plan(
        units="mm",
        rounding=1.0,
        attachments=(
            Attachment(id="A1", at=(0.0, 0.0), kind="ledger"),
            Attachment(id="A2", at=(3000.0, 0.0), kind="ledger"),
        ),
        lines=(
            BeamLine(id="L1", start=(0.0, 0.0), end=(0.0, -4300.0), attachment="A1"),
            BeamLine(id="L2", start=(3000.0, 0.0), end=(3000.0, -4300.0), attachment="A2"),
        ),
        piers=tuple(
            Pier(id=f"P{n}", at=at, line="L1" if at[0] == 0 else "L2", detail="D1")
            for n, at in enumerate(PLACES, start=1)
        ),
        details=(Detail(id="D1", profile=((0.0, 300.0), (800.0, 300.0)), reveal=100.0),),
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            readings=readings,
            setups=(Setup(setup=1, deviation=DEVIATION), Setup(setup=2, deviation=DEVIATION)),
            lines=(
                LineHeights(line="L1", seat=SEAT, fall=FALL),
                LineHeights(line="L2", seat=SEAT, fall=FALL),
            ),
            columns=RULE,
            settings=HeightSettings(deviation=DEVIATION),
        ),
    )


def booked(rng: np.random.Generator, ground: list[float], supports: list[float]) -> tuple[Reading, ...]:
    """Return two setups that close on the benchmark, every reading with its error and read to the millimetre."""

    def read(setup: int, point: str, kind: str, line: float, height: float) -> Reading:
        seen = line - height + rng.normal(0, DEVIATION)
        return Reading(setup=setup, point=point, kind="back" if kind == "back" else "fore", reading=round(seen, 1))

    first, second, turn = rng.uniform(1200, 1600), rng.uniform(900, 1300), rng.uniform(-700, -300)
    book = [read(1, "B1", "back", first, 0.0)]
    for n in (0, 1):
        book.append(read(1, f"P{n + 1}", "fore", first, ground[n]))
        book.append(read(1, f"P{n + 1} support", "fore", first, supports[n]))
    book += [read(1, "T1", "fore", first, turn), read(2, "T1", "back", second, turn)]
    for n in (2, 3):
        book.append(read(2, f"P{n + 1}", "fore", second, ground[n]))
        book.append(read(2, f"P{n + 1} support", "fore", second, supports[n]))
    book.append(read(2, "B1", "fore", second, 0.0))
    return tuple(book)


def test_seats_of_columns_hung_on_read_supports_are_level_within_what_is_stated() -> None:
    """Of 4,000 columns 95 in 100 (give or take 1.5) come out within the stated height; none far off."""
    rng = np.random.default_rng(20)
    plan = job(())
    held = far = 0
    for _ in range(JOBS):
        slope = rng.uniform(-0.08, 0.02)
        ground = [-250.0 - slope * y + rng.normal(0, 30) for _, y in PLACES]
        supports = [g + rng.uniform(330, 470) for g in ground]
        levels = replace(plan.levels, readings=booked(rng, ground, supports))
        cuts = PlanLayout(plan.with_(levels=levels)).columns
        assert len(cuts) == len(PLACES)
        for cut, support, (_, y) in zip(cuts, supports, PLACES, strict=True):
            assert cut.jig is not None
            seat = support - round(cut.jig) + round(cut.length) + RULE.cap
            off = abs(seat - (SEAT + FALL * y))
            held += off <= cut.within
            far += off > 2 * cut.within
    share = held / (JOBS * len(PLACES))
    assert 0.935 <= share <= 0.965
    assert far <= 4
