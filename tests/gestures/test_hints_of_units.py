"""Examples in hints are of the plan's units, and can be typed just so."""

from __future__ import annotations

import contextlib
import re

import pytest

from layoutdesk.errors import EditError
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan
from layoutdesk.units import CHAIN_EXAMPLE, LIST_EXAMPLE, UNITS, Units, parse_chain, parse_lengths
from tests.gestures.hand import Hand


@pytest.mark.parametrize("units", UNITS)
def test_an_example_can_be_typed(units: Units) -> None:
    assert parse_lengths(LIST_EXAMPLE[units], units)[0] == parse_lengths(LIST_EXAMPLE[units], units)[2]
    parts, overall = parse_chain(CHAIN_EXAMPLE[units], units)
    assert overall == pytest.approx(sum(parts))


@pytest.mark.parametrize("units", ["m", "mm"])
@pytest.mark.parametrize("name", [kind.name for kind in CATALOGUE])
def test_no_hint_of_a_metric_plan_speaks_of_feet(name: str, units: Units) -> None:
    """Each gesture is taken through three clicks, and its hint read before and after each."""
    hand = Hand(edits.set_units(Plan(), units), name)
    hints = [hand.gesture.hint]
    for x, y in ((1000.0, 0.0), (6000.0, 0.0), (6000.0, -3000.0)):
        with contextlib.suppress(EditError):  # a slab that encloses nothing yet, a place where there is nothing
            hand.click(x, y, free=True)
        hints.append(hand.gesture.hint)
    assert not [hint for hint in hints if re.search(r"\d\s*['\"′″]|\bft\b|\bfeet\b", hint)]


@pytest.mark.parametrize("units", UNITS)
def test_the_hint_of_a_row_has_an_example_in_the_units_of_the_plan(units: Units) -> None:
    hand = Hand(edits.set_units(Plan(), units), "Row of piers")
    hand.click(1000.0, 0.0, free=True).click(6000.0, 0.0, free=True)
    assert hand.gesture.hint.endswith(LIST_EXAMPLE[units])
