"""What the person is looking at."""

from __future__ import annotations

import pytest

from layoutdesk.session.viewstate import ViewState


@pytest.fixture
def view() -> ViewState:
    """Return a view in which nothing was done yet."""
    return ViewState()


@pytest.fixture
def told(view: ViewState) -> list[tuple[str, ...]]:
    """Return a list that grows by the selection at each announcement."""
    heard: list[tuple[str, ...]] = []
    view.watch(lambda: heard.append(view.selected))
    return heard


def test_selecting_keeps_the_order_and_drops_repeats(view: ViewState, told: list[tuple[str, ...]]) -> None:
    view.select(["P2", "P1", "P2"])
    view.select(["P2", "P1"])
    assert view.selected == ("P2", "P1")
    assert told == [("P2", "P1")]


def test_toggling_adds_at_the_end_and_takes_out(view: ViewState) -> None:
    shown = []
    for piece in ("P1", "P2", "P1"):
        view.toggle(piece)
        shown.append(view.selected)
    assert shown == [("P1",), ("P1", "P2"), ("P2",)]


def test_what_no_longer_exists_is_dropped_in_one_go(view: ViewState, told: list[tuple[str, ...]]) -> None:
    view.select(["P1", "P2"])
    view.hover("P1")
    told.clear()
    view.keep_only(["P2", "P3"])
    assert (view.selected, view.hovered) == (("P2",), None)
    view.keep_only(["P2", "P3"])
    assert told == [("P2",)]


def test_hover_page_and_bay_are_announced_when_they_change(view: ViewState, told: list[tuple[str, ...]]) -> None:
    for _ in range(2):
        view.hover("P1")
        view.turn_to("stakes")
        view.show_bay("B1")
    assert (view.hovered, view.page, view.bay) == ("P1", "stakes", "B1")
    assert len(told) == 3
