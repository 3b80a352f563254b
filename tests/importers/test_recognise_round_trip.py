"""Our own drawing of a sample, read again, gives the sample's piers, marks, walls and beam lines."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.importers.dxf import read_dxf
from layoutdesk.importers.recognise import plan_of, propose
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from layoutdesk.plan.validate import check
from layoutdesk.sheets.drawing import plan_drawing


@pytest.fixture(params=sorted(SAMPLES.glob("*.layout.json")), ids=lambda path: path.name.split(".")[0])
def both(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Plan, Plan]:
    """Give a sample, and what comes of its drawing."""
    plan = read_plan(request.param)
    file = tmp_path / "drawing.dxf"
    file.write_bytes(write_dxf(plan_drawing(derive(plan))))
    again = plan_of(propose(read_dxf(file)))
    check(again)
    return plan, again


def test_every_pier_comes_back_with_its_mark(both: tuple[Plan, Plan]) -> None:
    plan, again = both
    places = {pier.label: pier.at for pier in again.piers}
    assert len(again.piers) == len(plan.piers)
    for pier in plan.piers:
        assert math.dist(places[pier.label], pier.at) < 1e-6


def test_walls_and_beam_lines_come_back(both: tuple[Plan, Plan]) -> None:
    plan, again = both
    for wall in plan.walls:
        assert any(
            len(other.points) == len(wall.points)
            and all(math.dist(p, q) < 1e-6 for p, q in zip(other.points, wall.points, strict=True))
            and other.house_side == wall.house_side
            for other in again.walls
        )
    assert len(again.walls) == len(plan.walls)
    assert len(again.lines) == len(plan.lines)
    for line in plan.lines:
        assert any(math.dist(o.start, line.start) < 1e-6 and math.dist(o.end, line.end) < 1e-6 for o in again.lines)


def test_piers_are_on_their_lines_and_lines_on_their_attachments(both: tuple[Plan, Plan]) -> None:
    plan, again = both
    lines = {line.id: line for line in plan.lines}
    found = {line.id: line for line in again.lines}
    for pier, other in zip(plan.piers, sorted(again.piers, key=lambda p: int(p.label[1:])), strict=True):
        assert math.dist(lines[pier.line or ""].end, found[other.line or ""].end) < 1e-6
    attached = {a.id: a.at for a in again.attachments}
    for line in plan.lines:
        same = next(o for o in again.lines if math.dist(o.end, line.end) < 1e-6)
        assert (line.attachment is None) == (same.attachment is None)
        if same.attachment is not None:
            assert math.dist(attached[same.attachment], line.start) < 1e-6


def test_slabs_and_keepouts_come_back(both: tuple[Plan, Plan]) -> None:
    plan, again = both
    assert len(again.slabs) == len(plan.slabs)
    assert sorted(k.kind for k in again.keepouts) == sorted(k.kind for k in plan.keepouts)


def test_the_units_are_those_of_the_dimensions(both: tuple[Plan, Plan]) -> None:
    plan, again = both
    assert again.units == plan.units
