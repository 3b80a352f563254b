"""Properties that are computed when first asked for, and then kept."""

from __future__ import annotations

import gc
import weakref

from layoutdesk.engine.derive import PlanLayout
from layoutdesk.engine.once import once
from tests.engine.scenes import PORCH


class Sum:
    """Something to compute."""

    def __init__(self) -> None:
        self.asked = 0

    @once
    def total(self) -> int:
        """What is computed."""
        self.asked += 1
        return 7


def test_value_is_computed_once_for_each_object() -> None:
    one, other = Sum(), Sum()
    assert (one.total, one.total, other.total) == (7, 7, 7)
    assert (one.asked, other.asked) == (1, 1)


def test_on_the_class_it_is_itself_with_its_docstring() -> None:
    assert isinstance(Sum.total, once)
    assert Sum.total.__doc__ == "What is computed."


def test_layout_that_is_let_go_is_gone_at_once() -> None:
    """No topic holds the whole: dragging must not heap up old layouts until the collector comes."""
    layout = PlanLayout(PORCH)
    for topic in (layout.flags, layout.dimensions, list(layout.stakes), list(layout.bays), layout.runs):
        assert topic is not None
    gone = weakref.ref(layout)
    gc.disable()
    try:
        del layout, topic
        assert gone() is None
    finally:
        gc.enable()
