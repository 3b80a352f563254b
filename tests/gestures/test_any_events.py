"""Whatever a person does, gestures answer with a sentence at most, and Esc leads back."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.errors import LayoutdeskError
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.gestures.commands import delete_picked, nudge_picked
from layoutdesk.plan.model import Plan
from tests.gestures.hand import FT, Hand
from tests.gestures.scenes import porch, traced

xs = st.sampled_from([0.0, 2 * FT, 2 * FT + 11, 12 * FT, 15 * FT, 30 * FT, 1e6])
ys = st.sampled_from([0.0, -8 * FT, -8 * FT - 13, -14 * FT, -20 * FT, -3 * FT, 700.0, -1e6])
flags = st.booleans()
odd = st.sampled_from(
    [0.0, -0.0, 1.0, -1.0, 3.0, 2.5, 90.0, 1000.0, 1e7, 1e300, math.nan, math.inf, "P1", "", "left", "round", "x"]
)
lists = st.lists(st.floats(allow_nan=True), max_size=4).map(tuple)
events = st.one_of(
    st.tuples(st.sampled_from(["move", "press", "release"]), xs, ys, flags, flags),
    st.tuples(st.just("type"), st.integers(-1, 9), st.one_of(odd, lists, st.none())),
    st.tuples(st.sampled_from(["enter", "esc", "undo", "redo", "delete", "nudge"])),
    st.tuples(st.just("letter"), st.sampled_from("HXQ")),
    st.tuples(st.just("take up"), st.sampled_from([kind.name for kind in CATALOGUE])),
)


def act(hand: Hand, event: tuple[Any, ...]) -> None:
    match event:
        case ("move" | "press" | "release" as what, x, y, add, free):
            getattr(hand, what)(x, y, add=add, free=free)
        case ("type", index, value):
            hand.gesture.type_in(index, value)
        case ("letter", key):
            hand.gesture.letter(key)
        case ("take up", name):
            hand._do(hand.gesture.put_down())
            hand.take_up(name)
        case ("enter",):
            hand.enter()
        case ("esc",):
            hand.gesture.cancel()
        case ("undo",):
            hand.document.undo()
        case ("redo",):
            hand.document.redo()
        case ("delete",):
            hand._do(delete_picked(hand.plan, hand.view.selected))
        case ("nudge",):
            hand._do(nudge_picked(hand.plan, hand.view.selected, 1, -1))


def look(hand: Hand) -> None:
    """Ask for everything that sheet and entry line show."""
    gesture = hand.gesture
    assert gesture.name
    assert gesture.doing
    assert gesture.hint
    for field in gesture.fields:
        assert field.name
        if isinstance(field.value, float):
            assert math.isfinite(field.value)
    for ghost in gesture.preview.ghosts:
        assert all(math.isfinite(c) for p in ghost.points for c in p)


@pytest.mark.parametrize("name", [kind.name for kind in CATALOGUE])
@given(data=st.data())
def test_no_sequence_of_events_raises_and_esc_always_leads_back(name: str, data: st.DataObject) -> None:
    hand = Hand(data.draw(st.sampled_from([porch(), Plan(), traced()])), name)
    start, sentences = hand.plan, list[str]()
    for event in data.draw(st.lists(events, max_size=14)):
        try:
            act(hand, event)
        except LayoutdeskError as error:
            sentences.append(str(error))
        look(hand)
    assert all(s and "\n" not in s for s in sentences)
    for _ in range(40):
        if not hand.gesture.cancel():
            break
        look(hand)
    else:
        pytest.fail("Esc never led back")
    while hand.document.undo_label is not None:
        hand.document.undo()
    assert hand.plan == start


def test_every_gesture_has_its_own_name_and_letter() -> None:
    names, keys = [k.name for k in CATALOGUE], [k.key for k in CATALOGUE]
    assert len(set(names)) == len(names)
    assert len(set(keys)) == len(keys)
    assert not {"F", "H"} & set(keys)
    assert all(kind.tip for kind in CATALOGUE)
    assert CATALOGUE[0].name == "Pick"


def test_importing_the_catalogue_loads_no_heavy_library() -> None:
    import subprocess
    import sys

    code = (
        "import sys, layoutdesk.gestures.catalogue;"
        "print([m for m in ('numpy', 'shapely', 'scipy', 'PySide6') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
