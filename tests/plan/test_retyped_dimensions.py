"""Every dimension that the sheet shows can be retyped, and then the sheet shows what was typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan


@pytest.mark.parametrize("share", [0.8, 1.37])
@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.layout.json")), ids=lambda path: path.name)
def test_a_retyped_dimension_shows_what_was_typed(sample: Path, share: float) -> None:
    plan = read_plan(sample)
    shown = derive(plan).dimensions
    assert {"spacing", "row"} <= {dimension.sets for dimension in shown}
    for dimension in shown:
        typed = dimension.value * share
        after = edits.set_distance(
            plan,
            dimension.first,
            dimension.second,
            typed,
            sets=dimension.sets,
            places=(dimension.start, dimension.end),
        )
        same = [
            d.value for d in derive(after).dimensions if (d.first, d.second) == (dimension.first, dimension.second)
        ]
        assert any(value == pytest.approx(typed, abs=1e-6) for value in same), dimension
