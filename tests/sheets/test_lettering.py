"""Text set in pieces: large fractions, wrapping within its room, and fitting."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from layoutdesk.sheets.lettering import (
    broken,
    fitted,
    measure_text,
    measure_width,
    paragraph_height,
    set_line,
    text_width,
)
from layoutdesk.sheets.type import printable
from layoutdesk.units import length_parts

SIXTEENTH = 1.5875
words = st.text(st.characters(codec="latin-1", categories=("L", "N", "P")), min_size=1, max_size=30)


def test_fraction_digits_are_most_of_the_height_of_figures() -> None:
    pieces, _ = set_line(measure_text(length_parts(11 * 304.8 + 3 * SIXTEENTH, "ft-in", SIXTEENTH)), 20.0, "bold")
    by_text = {piece.text: piece for piece in pieces}
    for digits in ("3", "16"):
        assert by_text[digits].size >= 0.7 * 20.0
    assert by_text["3"].up > by_text["16"].up


def test_pieces_follow_each_other_without_overlap() -> None:
    pieces, wide = set_line(
        measure_text(length_parts(4 * 304.8 + 15 * SIXTEENTH, "ft-in", SIXTEENTH)), 16.0, "bold"
    )
    digits = [piece for piece in pieces if piece.text != "⁄"]
    for piece, following in pairwise(digits):
        assert piece.right + text_width(piece.text, piece.size, "bold") <= following.right + 1e-9
    assert digits[-1].right + text_width(digits[-1].text, digits[-1].size, "bold") == pytest.approx(wide)


def test_a_length_without_a_fraction_is_one_piece() -> None:
    pieces, wide = set_line(measure_text(length_parts(3657.6, "ft-in", SIXTEENTH)), 16.0, "bold")
    assert [piece.text for piece in pieces] == ["12′ 0″"]
    assert wide == pytest.approx(text_width("12′ 0″", 16.0, "bold"))


@given(mm=st.floats(0, 1e6), before=st.sampled_from(("", "± ", "from ")))
def test_width_grows_evenly_with_size(mm: float, before: str) -> None:
    figure = length_parts(mm, "ft-in", SIXTEENTH)
    assert measure_width(figure, 30.0, before=before) == pytest.approx(
        3 * measure_width(figure, 10.0, before=before)
    )


@given(text=st.lists(words, min_size=1, max_size=20).map(" ".join), room=st.floats(3, 120), size=st.floats(5, 20))
def test_lines_stay_in_their_room_and_lose_nothing(text: str, room: float, size: float) -> None:
    assume("**" not in text)
    widest = max(text_width(c, size) for c in printable(text))
    assume(widest <= room)
    lines = broken(text, size, room)
    for line in lines:
        last = line[-1]
        assert last.right + text_width(last.text, size, last.weight) <= room + 1e-6
    assert "".join(w.text for line in lines for w in line).replace(" ", "") == printable(text).replace(" ", "")


def test_bold_is_the_only_markup() -> None:
    (line,) = broken("a **b c** <i>d</i>", 10.0, 200.0)
    assert [(word.text, word.weight) for word in line] == [
        ("a ", "regular"),
        ("b", "bold"),
        (" ", "regular"),
        ("c", "bold"),
        (" <i>d</i>", "regular"),
    ]


def test_a_length_in_a_sentence_is_not_broken() -> None:
    for line in broken("one two three 12′\u00a06″ four", 10.0, 22.0):
        assert not any(word.text.strip().endswith("12′") for word in line)


def test_height_counts_lines() -> None:
    one = paragraph_height("word", 10.0, 100.0)
    assert paragraph_height("word\nword\nword", 10.0, 100.0) == pytest.approx(3 * one)


@given(text=st.text(max_size=80), room=st.floats(2.5, 100), size=st.floats(6, 60))
def test_fitted_text_stays_in_its_room(text: str, room: float, size: float) -> None:
    shown, fit = fitted(text, room, size, "bold")
    assert text_width(shown, fit, "bold") <= room + 1e-9
    assert math.isclose(fit, size) or fit <= size
    assert shown == text or shown.endswith("…")
