"""What all that is drawn spans."""

from __future__ import annotations

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Extent
from layoutdesk.plan.model import Attachment, Baseline, BeamLine, Control, Pier, Plan, Slab, Wall
from tests.engine.scenes import STRAIGHT, tree


@pytest.mark.parametrize(
    ("plan", "extent"),
    [
        (Plan(), Extent(0, 0, 0, 0)),
        (Plan(piers=(Pier(id="P1", at=(100.0, 50.0)),)), Extent(100, 50, 100, 50)),
        (
            Plan(piers=(Pier(id="P1", at=(1000.0, 500.0), detail="D1"),), details=(STRAIGHT,)),
            Extent(850, 350, 1150, 650),
        ),
        (
            Plan(walls=(Wall(id="W1", points=((0.0, 0.0), (9000.0, 0.0)), house_side="left"),)),
            Extent(0, 0, 9000, 2400),
        ),
        (Plan(controls=(Control(id="C1", at=(-5.0, 7.0)),)), Extent(-5, 7, -5, 7)),
        (Plan(attachments=(Attachment(id="A1", at=(3.0, 4.0), kind="ledger"),)), Extent(3, 4, 3, 4)),
        (Plan(lines=(BeamLine(id="L1", start=(0.0, 1.0), end=(2.0, -3.0)),)), Extent(0, -3, 2, 1)),
        (Plan(baseline=Baseline(origin=(0.0, 0.0), toward=(6.0, 1.0), yard_side="left")), Extent(0, 0, 6, 1)),
        (
            Plan(slabs=(Slab(id="S1", outline=((0.0, 0.0), (5.0, 0.0), (5.0, 9.0)), thickness=100.0),)),
            Extent(0, 0, 5, 9),
        ),
        (Plan(keepouts=(tree((0.0, 0.0), 300.0),)), Extent(-300, -300, 300, 300)),
    ],
)
def test_extent_holds_every_kind_of_piece(plan: Plan, extent: Extent) -> None:
    found = derive(plan).extent
    for name in ("x_min", "y_min", "x_max", "y_max"):
        assert getattr(found, name) == pytest.approx(getattr(extent, name))
