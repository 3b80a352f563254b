"""Plans that the tests of the engine look at: regular ones, odd ones and ones with next to nothing in them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.model import (
    Attachment,
    Baseline,
    Bay,
    BeamLine,
    Control,
    Detail,
    Keepout,
    Pier,
    Plan,
    Slab,
    Wall,
)

STRAIGHT = Detail(id="D1", profile=((0.0, 300.0), (800.0, 300.0)), reveal=50.0)


def rows_plan(stations: Sequence[Sequence[float]], offsets: Sequence[float], *, lean: float = 0.0) -> Plan:
    """Return a plan with rows along x: one beam line for each list of stations, at its offset in y.

    Beam lines reach 200 mm beyond their piers. ``lean`` moves every row along x by so much per millimetre of its
    offset.
    """
    lines, piers = [], []
    for k, (xs, y) in enumerate(zip(stations, offsets, strict=True), start=1):
        shift = lean * y
        ends = (min(xs, default=0.0) + shift - 200, y), (max(xs, default=1000.0) + shift + 200, y)
        lines.append(BeamLine(id=f"L{k}", start=ends[0], end=ends[1]))
        piers += [(f"L{k}", (x + shift, y)) for x in xs]
    return Plan(
        units="mm",
        rounding=1.0,
        lines=tuple(lines),
        piers=tuple(Pier(id=f"P{n}", at=at, line=line, detail="D1") for n, (line, at) in enumerate(piers, start=1)),
        details=(STRAIGHT,),
    )


def by_the_wall(plan: Plan) -> Plan:
    """Return the plan with a house at y = 0, the yard below, a baseline along it and control points."""
    return plan.with_(
        walls=(Wall(id="W1", points=((-1000.0, 0.0), (12_000.0, 0.0)), house_side="left"),),
        baseline=Baseline(origin=(0.0, 0.0), toward=(10_000.0, 0.0), yard_side="right"),
        controls=(
            Control(id="C1", at=(0.0, 0.0)),
            Control(id="C2", at=(10_000.0, 0.0)),
            Control(id="C3", at=(5000.0, -9000.0)),
        ),
    )


PORCH = by_the_wall(rows_plan([(1000, 4000, 7000), (1000, 4000, 7000)], (-2000.0, -5000.0)))
"""Six piers in two rows along a wall."""

ATTACHED = Plan(
    units="mm",
    rounding=1.0,
    walls=(Wall(id="W1", points=((0.0, 0.0), (9000.0, 0.0)), house_side="left"),),
    attachments=(
        Attachment(id="A1", at=(1000.0, 0.0), kind="ledger"),
        Attachment(id="A2", at=(5000.0, 0.0), kind="ledger"),
    ),
    baseline=Baseline(origin=(0.0, 0.0), toward=(9000.0, 0.0), yard_side="right"),
    controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(9000.0, 0.0))),
    lines=(
        BeamLine(id="L1", start=(1000.0, 0.0), end=(1000.0, -6000.0), attachment="A1"),
        BeamLine(id="L2", start=(5000.0, -6000.0), end=(5000.0, 0.0), attachment="A2"),
    ),
    piers=(
        Pier(id="P1", at=(1000.0, -2500.0), line="L1", detail="D1"),
        Pier(id="P2", at=(1000.0, -5500.0), line="L1", detail="D1"),
        Pier(id="P3", at=(5000.0, -2500.0), line="L2", detail="D1"),
        Pier(id="P4", at=(5000.0, -5500.0), line="L2", detail="D1"),
    ),
    details=(STRAIGHT,),
)
"""Two rows away from the house; the second beam line was drawn toward it."""


def circle(centre: Vector, radius: float, corners: int = 24) -> tuple[Vector, ...]:
    """Return a round outline."""
    turns = [2 * math.pi * k / corners for k in range(corners)]
    return tuple((centre[0] + radius * math.cos(t), centre[1] + radius * math.sin(t)) for t in turns)


def tree(at: Vector, radius: float = 300.0, name: str = "K1") -> Keepout:
    """Return a tree."""
    return Keepout(id=name, outline=circle(at, radius), kind="tree")


def distances(places: Sequence[Vector]) -> list[float]:
    """Return how far each place is from the next."""
    return [math.dist(a, b) for a, b in pairwise(places)]


_P = Pier(id="P1", at=(0.0, 0.0))
_C1, _C2 = Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(0.0, 0.0))
DEGENERATE: dict[str, Plan] = {
    "empty": Plan(),
    "one pier": Plan(piers=(_P,)),
    "one control": Plan(controls=(_C1,)),
    "one wall": Plan(walls=(Wall(id="W1", points=((0.0, 0.0), (1.0, 0.0)), house_side="left"),)),
    "wall without length": Plan(
        walls=(Wall(id="W1", points=((5.0, 5.0), (5.0, 5.0)), house_side="right"),), piers=(_P,)
    ),
    "baseline without length": Plan(
        baseline=Baseline(origin=(1.0, 1.0), toward=(1.0, 1.0), yard_side="left"), piers=(_P,), controls=(_C1, _C2)
    ),
    "controls at the pier": Plan(piers=(_P,), controls=(_C1, _C2)),
    "pier between its controls": Plan(
        piers=(_P,), controls=(Control(id="C1", at=(-1000.0, 0.0)), Control(id="C2", at=(1000.0, 0.0)))
    ),
    "coincident piers": rows_plan([(0, 0, 0), (0, 0, 0)], (0.0, 0.0)),
    "coincident rows": rows_plan([(0, 1000, 2000), (0, 1000, 2000)], (0.0, 0.0)),
    "crossing rows": Plan(
        lines=(
            BeamLine(id="L1", start=(0.0, 0.0), end=(5000.0, 500.0)),
            BeamLine(id="L2", start=(0.0, 500.0), end=(5000.0, 0.0)),
        ),
        piers=tuple(
            Pier(id=f"P{line}{k}", at=(1250.0 * k, (k if line == 1 else 4 - k) * 125.0), line=f"L{line}")
            for line in (1, 2)
            for k in range(5)
        ),
    ),
    "line without length": Plan(
        lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(0.0, 0.0)),),
        piers=(Pier(id="P1", at=(0.0, 0.0), line="L1"), Pier(id="P2", at=(300.0, 400.0), line="L1")),
    ),
    "line without anything": Plan(lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(0.0, 0.0)),)),
    "unknown references": Plan(
        lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(10.0, 0.0), attachment="A9"),),
        piers=(Pier(id="P1", at=(0.0, 0.0), line="L9", detail="D9"),),
        bays=(Bay(id="B1", corners=("P1", "P1", "P7", "P1")),),
    ),
    "bay of one pier": Plan(piers=(_P,), bays=(Bay(id="B1", corners=("P1", "P1", "P1", "P1")),)),
    "bow-tie keep-out": Plan(
        piers=(_P,),
        controls=(_C1, Control(id="C2", at=(1000.0, 0.0))),
        keepouts=(Keepout(id="K1", outline=((0, 0), (10, 10), (10, 0), (0, 10))),),
    ),
    "keep-out without area": Plan(
        piers=(_P,),
        controls=(_C1, Control(id="C2", at=(1000.0, 0.0))),
        keepouts=(Keepout(id="K1", outline=((5, -5), (5, 5), (5, 0))),),
    ),
    "slab without area": Plan(
        piers=(_P,), slabs=(Slab(id="S1", outline=((0, 0), (1, 0), (2, 0)), thickness=100.0),)
    ),
    "crossing wall": Plan(
        walls=(
            Wall(
                id="W1",
                points=((0.0, 0.0), (4267.2, 0.0), (4267.2, 762.0), (0.0, -2438.4)),
                house_side="left",
            ),
        ),
        piers=(_P,),
    ),
    "far apart": Plan(
        baseline=Baseline(origin=(-1e7, -1e7), toward=(1e7, 1e7), yard_side="left"),
        piers=(Pier(id="P1", at=(1e7, -1e7), line="L1"), Pier(id="P2", at=(-1e7, 1e7), line="L1")),
        lines=(BeamLine(id="L1", start=(1e7, -1e7), end=(-1e7, 1e7)),),
        controls=(Control(id="C1", at=(-1e7, -1e7)), Control(id="C2", at=(1e7, 1e7))),
    ),
    "profile of no depth": Plan(
        piers=(Pier(id="P1", at=(0.0, 0.0), detail="D1"),), details=(Detail(id="D1", profile=((0.0, 300.0),)),)
    ),
}
"""Plans that a person may well have on the sheet while drawing; none of them may stop the program."""
