"""Every topic of a Layout can be had for every plan, however little is in it, and holds finite numbers."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given

from layoutdesk.engine import explain
from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import BayCheck, Layout
from layoutdesk.plan.model import Plan
from tests.engine.scenes import ATTACHED, DEGENERATE, PORCH
from tests.strategies import plans

ALL = {**DEGENERATE, "porch": PORCH, "attached": ATTACHED}


def topics(layout: Layout) -> Iterator[Any]:
    """Yield all that a Layout holds, row by row."""
    yield from layout.points
    yield from layout.stakes
    yield from layout.bays
    for topic in (layout.runs, layout.gaps, layout.dimensions, layout.flags, layout.control_ties):
        yield from topic
    yield from (layout.square, layout.concrete, layout.house, layout.extent)


def numbers(value: Any, path: str) -> Iterator[tuple[str, float]]:
    """Yield every number in a row with its path."""
    if dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from numbers(getattr(value, field.name), f"{path}.{field.name}")
    elif isinstance(value, tuple):
        for k, item in enumerate(value):
            yield from numbers(item, f"{path}[{k}]")
    elif isinstance(value, float):
        yield path, value


@pytest.mark.parametrize("plan", ALL.values(), ids=ALL)
def test_nothing_raises_and_all_numbers_are_finite(plan: Plan) -> None:
    """Only per_difference may be infinite: a bay whose diagonals prove nothing."""
    for row in topics(derive(plan)):
        for path, number in numbers(row, type(row).__name__):
            assert math.isfinite(number) or (path == "BayCheck.per_difference" and number > 0), path


@given(plans())
def test_any_plan_that_can_be_saved_can_be_derived(plan: Plan) -> None:
    """Ten kilometres apart, with every kind of odd shape: all topics are there, with finite numbers."""
    for row in topics(derive(plan)):
        for path, number in numbers(row, type(row).__name__):
            assert math.isfinite(number) or (path == "BayCheck.per_difference" and number > 0), path


@pytest.mark.parametrize("plan", ALL.values(), ids=ALL)
def test_rows_hold_plain_python_numbers(plan: Plan) -> None:
    """A numpy number in a row would not go into JSON."""
    for row in topics(derive(plan)):
        for path, number in numbers(row, type(row).__name__):
            assert type(number) is float, path


@pytest.mark.parametrize("plan", ALL.values(), ids=ALL)
def test_deriving_twice_gives_the_same(plan: Plan) -> None:
    assert list(topics(derive(plan))) == list(topics(derive(plan)))


@pytest.mark.parametrize("plan", ALL.values(), ids=ALL)
def test_every_bay_can_be_explained(plan: Plan) -> None:
    layout = derive(plan)
    bays: list[BayCheck] = list(layout.bays)
    for bay in bays:
        assert explain.difference(layout, bay).endswith(".")
        assert explain.expected_difference(layout, bay).endswith(".")
    assert len(bays) == len(layout.bays)


@pytest.mark.parametrize("plan", ALL.values(), ids=ALL)
def test_every_flag_is_a_sentence_about_something_known(plan: Plan) -> None:
    known = {
        *(piece.id for piece in plan.pieces()),
        *(bay.id for bay in plan.bays),
        *(detail.id for detail in plan.details),
        *(bay.id for bay in derive(plan).bays),
    }
    for flag in derive(plan).flags:
        assert flag.title
        assert flag.text.endswith(".")
        assert "nan" not in flag.text
        assert set(flag.about) <= known
