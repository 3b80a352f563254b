"""Plans of any size to measure with: rows of piers by a straight wall, a little off their places as on site."""

from __future__ import annotations

import random

from layoutdesk.plan.model import (
    Attachment,
    Baseline,
    BeamLine,
    Control,
    Detail,
    Pier,
    Plan,
    Wall,
)

GRIDS = {8: (2, 4), 100: (10, 10), 500: (20, 25), 1_000: (25, 40), 10_000: (100, 100)}
"""Rows and piers a row, by the number of piers."""

ALONG, OUT = 2438.4, 1828.8


def grid_plan(count: int) -> Plan:
    """Return a plan of ``count`` piers in rows along a wall, with a beam line each, and four control points."""
    rows, in_row = GRIDS[count]
    chance = random.Random(1)  # noqa: S311 - scatter, not secrets
    width, depth = ALONG * (in_row + 1), OUT * (rows + 1)

    def place(row: int, k: int) -> tuple[float, float]:
        return (ALONG * (k + 1) + chance.gauss(0, 15), -OUT * (row + 1) + chance.gauss(0, 15))

    lines = tuple(
        BeamLine(id=f"L{row + 1}", start=(0.0, -OUT * (row + 1)), end=(width, -OUT * (row + 1)))
        for row in range(rows)
    )
    piers = tuple(
        Pier(id=f"P{row * in_row + k + 1}", at=place(row, k), line=f"L{row + 1}", detail="D1")
        for row in range(rows)
        for k in range(in_row)
    )
    corners = ((-900.0, -300.0), (width + 900, -300.0), (width + 900, -depth), (-900.0, -depth))
    return Plan(
        title=f"{count} piers",
        walls=(Wall(id="W1", points=((0.0, 0.0), (width, 0.0)), house_side="left"),),
        attachments=(Attachment(id="A1", at=(0.0, 0.0), kind="ledger"),),
        baseline=Baseline(origin=(0.0, 0.0), toward=(width, 0.0), yard_side="right"),
        controls=tuple(Control(id=f"C{k + 1}", at=at) for k, at in enumerate(corners)),
        lines=lines,
        piers=piers,
        details=(Detail(id="D1", profile=((0.0, 304.8), (812.8, 304.8)), reveal=76.2),),
    )
