"""The unit of a file is checked against what it writes; where it names none, what is likely is said to be that."""

from __future__ import annotations

from typing import Any

import pytest

from layoutdesk.importers.linework import Drawn, Linework, Shape
from layoutdesk.importers.scale import guess_scale

IN = 25.4
FEET = (("8'-2\"", 98.0), ("8'-0\"", 96.0), ("6'-4 1/2\"", 76.5), ("7'-0\"", 84.0), ("29'-6 1/2\"", 354.5))
METRIC = (("2400", 2400.0), ("2500", 2500.0), ("3600", 3600.0), ("8500", 8500.0))


def _file(unit: float | None, rows: Any, by: float = 1.0, **of: Any) -> Linework:
    """Return a file whose dimensions measure their true lengths times ``by``."""
    factor = of.pop("factor", 1.0)
    drawn = tuple(
        Drawn(
            kind="distance", start=(0.0, 0.0), end=(m * by, 0.0), measured=m * by, text=t, along=0.0, factor=factor
        )
        for t, m in rows
    )
    return Linework(name="plan.dxf", kind="dxf", unit=unit, drawn=drawn, **of)


def _house(size: float, pier: float) -> tuple[Shape, ...]:
    """Return a house of 12 by 8 and a row of piers."""
    corners = ((0.0, 0.0), (12 * size, 0.0), (12 * size, 8 * size), (0.0, 8 * size))
    piers = tuple(Shape(layer="piers", centre=(2 * size * k, -3 * size), radius=pier / 2) for k in range(5))
    return (Shape(layer="house", points=corners, closed=True), *piers)


@pytest.mark.parametrize(
    ("unit", "by", "scale", "words"),
    [
        (IN, 1.0, IN, "The file says inches, and 5 of 5 written dimensions agree"),
        (None, 1.0, IN, "drawn in inches"),
        (1.0, 1.0, IN, "drawn in inches, though the file says millimetres"),
        (IN, IN, 1.0, "drawn in millimetres, though the file says inches"),
        (IN, 1 / 12, 304.8, "drawn in feet, though the file says inches"),
        (IN, 1 / 48, IN * 48, 'drawn in inches at 1/4" = 1\'-0"'),
        (None, 1 / 96, IN * 96, 'drawn in inches at 1/8" = 1\'-0"'),
        (1.0, IN / 50, 50.0, "drawn in millimetres at 1:50"),
        (1000.0, IN / 1000, 1000.0, "The file says metres"),
    ],
)
def test_dimensions_in_feet_and_inches(unit: float | None, by: float, scale: float, words: str) -> None:
    guess = guess_scale(_file(unit, FEET, by))
    assert guess.scale == pytest.approx(scale, rel=1e-9)
    assert guess.sure
    assert (guess.agree, guess.written) == (5, 5)
    assert words in guess.why


def test_a_few_stale_texts_do_not_move_the_unit() -> None:
    rows = (*FEET, ("9'-9\"", 98.0), ("7'-1\"", 96.0), ("30'-0\"", 354.5))
    guess = guess_scale(_file(IN, rows))
    assert guess.scale == IN
    assert (guess.agree, guess.written, guess.sure) == (5, 8, True)


def test_texts_that_agree_on_nothing_leave_the_file_its_unit_and_a_doubt() -> None:
    rows = (("9'-9\"", 98.0), ("7'-1\"", 96.0), ("30'-0\"", 254.5), ("3'-0\"", 77.0))
    guess = guess_scale(_file(IN, rows))
    assert guess.scale == IN
    assert not guess.sure


@pytest.mark.parametrize(
    ("unit", "by", "scale", "sure"),
    [
        (1.0, 1.0, 1.0, True),
        (1000.0, 0.001, 1000.0, True),  # lines in metres, numbers in millimetres
        (1.0, 0.02, 50.0, True),  # drawn as large as on paper
    ],
)
def test_numbers_without_unit(unit: float, by: float, scale: float, sure: bool) -> None:  # noqa: FBT001
    guess = guess_scale(_file(unit, METRIC, by))
    assert guess.scale == pytest.approx(scale, rel=1e-9)
    assert guess.sure is sure


@pytest.mark.parametrize(
    ("rows", "unit", "pier", "scale", "words"),
    [
        (METRIC, 1000.0, 300.0, 50.0, "drawn in millimetres at 1:50"),
        (tuple((f"{m / 1000:.2f}", m) for _, m in METRIC), 1000.0, 300.0, 50.0, "As metres"),
        ((("98", 98.0), ("120", 120.0), ("76", 76.0), ("294", 294.0)), 39.37, 12.0, IN * 50, "As inches"),
    ],
)
def test_numbers_without_unit_on_a_paper_of_no_unit_are_those_of_a_house(
    rows: Any, unit: float, pier: float, scale: float, words: str
) -> None:
    """Lines a fiftieth as long as their numbers: not inches at full size, of which no number would agree."""
    guess = guess_scale(_file(None, rows, 1 / 50, shapes=_house(unit / 50, pier / 50)))
    assert guess.scale == pytest.approx(scale, rel=1e-9)
    assert (guess.agree, guess.written) == (4, 4)
    assert words in guess.why
    assert not guess.sure


def test_a_factor_shows_inches_in_a_drawing_on_paper_scale() -> None:
    rows = (("98", 98.0), ("120", 120.0), ("76 1/2", 76.5), ("294 1/2", 294.5))
    guess = guess_scale(_file(IN, rows, 1 / 48, factor=48.0))
    assert guess.scale == pytest.approx(IN * 48)
    assert guess.sure


def test_a_unit_that_the_template_left_behind_is_doubted() -> None:
    """Millimetres drawn in a file that says inches: a house 305 m long is not believed, though numbers agree."""
    guess = guess_scale(_file(IN, METRIC, shapes=_house(1000.0, 300.0)))
    assert not guess.sure
    assert "millimetres" in guess.why


@pytest.mark.parametrize(
    ("size", "pier", "unit"),
    [(1000.0, 300.0, 1.0), (39.37, 12.0, IN), (1.0, 0.3, 1000.0), (3.28, 1.0, 304.8)],
)
def test_sizes_tell_what_is_likely_and_that_is_never_sure(size: float, pier: float, unit: float) -> None:
    guess = guess_scale(Linework(name="x.dxf", kind="dxf", unit=None, shapes=_house(size, pier)))
    assert guess.scale == unit
    assert not guess.sure
    assert "size of a house" in guess.why


def test_a_file_that_names_its_unit_and_writes_nothing() -> None:
    guess = guess_scale(Linework(name="x.dxf", kind="dxf", unit=1.0, shapes=_house(1000.0, 300.0)))
    assert (guess.scale, guess.sure, guess.written) == (1.0, True, 0)
    guess = guess_scale(Linework(name="x.dxf", kind="dxf", unit=IN, shapes=_house(1000.0, 300.0)))
    assert (guess.scale, guess.sure) == (IN, False)
    assert not guess_scale(Linework(name="x.dxf", kind="dxf", unit=None)).sure
