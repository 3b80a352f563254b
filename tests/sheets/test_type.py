"""Widths of type against the PDF library's own reading of the same files, and what cannot be printed."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase.ttfonts import TTFont

from layoutdesk.places import typeface
from layoutdesk.sheets.marks import Weight
from layoutdesk.sheets.type import FACES, MM_PER_POINT, face, printable, width

WEIGHTS: tuple[Weight, ...] = get_args(Weight)


@pytest.mark.parametrize("weight", WEIGHTS)
def test_widths_are_those_of_the_files(weight: Weight) -> None:
    font = TTFont(f"Oracle-{weight}", str(typeface(FACES[weight])))
    known = font.face.charToGlyph
    assert set(face(weight).advance) == {c for c in known if c <= 0xFFFE}
    for text in ("11′ 0 3⁄16″", "Ø 12″", "Heron Lane porch", "±−×·–—“”°²³", "12.345 m"):
        assert width(text, 10.0, weight) == pytest.approx(font.stringWidth(text, 10.0) * MM_PER_POINT, abs=0.02)


def test_figures_are_all_of_one_width() -> None:
    """So that columns of numbers line up."""
    for weight in WEIGHTS:
        assert len({width(digit, 10.0, weight) for digit in "0123456789"}) == 1


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain", "plain"),
        ("two\nlines\tand", "two lines and"),
        ("e\u0301", "é"),
        ("漢字", "??"),
        ("👩‍👩‍👧", "???"),
        ("\u202eabc", "abc"),
        ("\x07a\x00", "a"),
        ("\ud800", "?"),
        ("", ""),
    ],
)
def test_what_the_typeface_lacks_becomes_a_question_mark(text: str, shown: str) -> None:
    assert printable(text) == shown


@given(text=st.text(), weight=st.sampled_from(WEIGHTS))
def test_whatever_is_printed_has_a_glyph(text: str, weight: Weight) -> None:
    assert all(ord(c) in face(weight).advance for c in printable(text, weight))
    assert width(text, 10.0, weight) >= 0
