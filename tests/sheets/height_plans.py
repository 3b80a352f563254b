"""Plans with heights that pages and drawings are easily spoilt by, by what is odd about them."""

from __future__ import annotations

from dataclasses import replace

from layoutdesk.plan.model import (
    Attachment,
    BeamLine,
    Benchmark,
    Control,
    Detail,
    HeightSettings,
    Levels,
    LineHeights,
    Pier,
    PierHeights,
    Plan,
    SpotHeight,
    Wall,
)
from tests.sheets.sheet_plans import CARPORT, PORCH, rows_of_piers, sample


def with_levels(plan: Plan, **fields: object) -> Plan:
    """Return a plan with some of its heights given anew."""
    return plan.with_(levels=replace(plan.levels, **fields))  # type: ignore[arg-type]


def many_heights(rows: int, in_row: int) -> Plan:
    """Return rows of many piers on a slope that is not quite a plane, each with its ground."""
    plan = rows_of_piers(rows, in_row)
    ground = (-200 + 0.03 * pier.at[1] + (17 * n % 23 - 11) for n, pier in enumerate(plan.piers))
    return plan.with_(
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            piers=tuple(
                PierHeights(pier=pier.id, ground=round(up)) for pier, up in zip(plan.piers, ground, strict=True)
            ),
            lines=tuple(LineHeights(line=line.id, seat=2500.0, fall=1 / 48) for line in plan.lines),
            settings=HeightSettings(frost=900.0),
        )
    )


def one_line(apart: float, count: int) -> Plan:
    """Return one beam line away from a wall, with so many piers so far apart."""
    end = 1000.0 + apart * count
    return Plan(
        title="One line",
        date="2026-05-01",
        walls=(Wall(id="W1", points=((0.0, 0.0), (9000.0, 0.0)), house_side="left"),),
        controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(9000.0, 0.0))),
        attachments=(Attachment(id="A1", at=(3000.0, 0.0), kind="ledger"),),
        details=(Detail(id="D1", profile=((0.0, 300.0), (900.0, 300.0)), reveal=75.0),),
        lines=(BeamLine(id="L1", start=(3000.0, 0.0), end=(3000.0, -end), attachment="A1"),),
        piers=tuple(
            Pier(id=f"P{n + 1}", at=(3000.0, -1000.0 - apart * n), line="L1", detail="D1") for n in range(count)
        ),
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            piers=tuple(PierHeights(pier=f"P{n + 1}", ground=-100.0 - 20.0 * n) for n in range(count)),
            lines=(LineHeights(line="L1", seat=2400.0, fall=1 / 48),),
        ),
    )


def _of_lines(plan: Plan, **fields: object) -> Plan:
    """Return a plan whose beam lines all have some heights anew."""
    lines = tuple(replace(line, **fields) for line in plan.levels.lines)  # type: ignore[arg-type]
    return with_levels(plan, lines=lines)


def height_plans() -> dict[str, Plan]:
    """Return the odd plans by name."""
    porch, carport = sample(PORCH), sample(CARPORT)
    levels = porch.levels
    off = (*levels.readings[:-1], replace(levels.readings[-1], reading=levels.readings[-1].reading + 45.0))
    cliff = tuple(PierHeights(pier=pier.id, ground=-100.0 + pier.at[1] * 0.8) for pier in porch.piers)
    close = one_line(600.0, 12)
    return {
        "sixty piers": many_heights(6, 10),
        "porch in millimetres": porch.with_(units="mm", rounding=1.0, paper="a4"),
        "carport in feet": carport.with_(units="ft-in", rounding=1.5875, paper="letter"),
        "a loop that does not close": with_levels(porch, readings=off),
        "no seats": _of_lines(porch, seat=None),
        "no benchmark": with_levels(porch, benchmarks=()),
        "ground above the seat": _of_lines(porch, seat=-300.0),
        "cast in": with_levels(porch, columns=replace(levels.columns, foot=-300.0, margin=50.0)),
        "steep": _of_lines(porch, fall=0.2, string_rule="beam"),
        "rising": _of_lines(porch, fall=-0.15, string_rule="beam"),
        "drawn taller": with_levels(porch, settings=replace(levels.settings, exaggeration=3.0)),
        "strings by the beam": _of_lines(porch, string=2200.0),
        "tops below the string": _of_lines(porch, top="string", pier_top=200.0, string=100.0),
        "one spot": porch.with_(levels=Levels(), spots=(SpotHeight(id="G1", at=(0.0, -3000.0), elevation=-1.0),)),
        "only a benchmark": porch.with_(levels=Levels(benchmarks=(Benchmark(id="B1", elevation=0.0),)), spots=()),
        "a cliff": with_levels(porch, piers=cliff, readings=()),
        "piers close together": close,
        "a long line": one_line(600.0, 50),
        "a long line of few": one_line(5000.0, 6),
        "long names": close.with_(piers=tuple(replace(p, mark=f"North corner post {p.id}") for p in close.piers)),
    }
