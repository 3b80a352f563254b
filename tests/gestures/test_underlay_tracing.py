"""What is traced from a picture stays where it was pressed: the grid and coarse steps do not draw it away."""

from __future__ import annotations

import math

import pytest

from layoutdesk.gestures.gesture import Pointer
from layoutdesk.gestures.snapping import Snapper
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from tests.gestures.hand import FT
from tests.gestures.scenes import wall_only

PIER = (9 * FT + 2.5 * 25.4, -(15 * FT + 10.5 * 25.4))
REACH = 9 * 25.4
"""Of a sheet seen at about 1:100."""


def pictured(*, shown: bool = True, strength: float = 0.5) -> Plan:
    """Return a wall with a picture under it that reaches 10 m to the right and 8 m down."""
    flat = (10.0, 0.0, 0.0, 0.0, -10.0, 0.0, 0.0, 0.0, 1.0)
    plan = edits.add_underlay(wall_only(), "/jobs/scan.png", (1000.0, 800.0), to_plan=flat)
    return edits.set_underlay(plan, "U1", shown=shown, strength=strength)


def test_a_pier_that_is_traced_is_not_drawn_to_the_grid() -> None:
    at, snap = Snapper(pictured()).catch(Pointer(PIER, REACH))
    assert snap is None
    assert math.dist(at, PIER) <= 1.5875


def test_the_plan_itself_still_catches_what_is_traced() -> None:
    at, snap = Snapper(pictured()).catch(Pointer((9 * FT, -60.0), REACH))
    assert snap is not None
    assert "wall W1" in snap.reason
    assert at[1] == pytest.approx(0.0)


@pytest.mark.parametrize("plan", [wall_only(), pictured(shown=False), pictured(strength=0.0)])
def test_without_a_picture_the_grid_holds(plan: Plan) -> None:
    at, snap = Snapper(plan).catch(Pointer(PIER, REACH))
    assert snap is not None
    assert at == pytest.approx((9 * FT, -16 * FT))


def test_beside_the_picture_the_grid_holds() -> None:
    at, snap = Snapper(pictured()).catch(Pointer((-4 * FT + 60.0, -4 * FT - 50.0), REACH))
    assert snap is not None
    assert at == pytest.approx((-4 * FT, -4 * FT))
