"""The scale of a page is found from what is written on it, exactly, and is not called sure where it is not."""

from __future__ import annotations

from typing import Any

import pytest

from layoutdesk.importers.linework import Linework, Shape, Words
from layoutdesk.importers.scale import guess_scale
from layoutdesk.importers.voting import Ballot, elect
from tests.importers.dimension_pages import in_feet, in_metres, in_millimetres, linework, page

FEET: dict[str, Any] = {"write": in_feet, "step": 25.4 / 8}
MILLIMETRES: dict[str, Any] = {"write": in_millimetres, "step": 5.0}
METRES: dict[str, Any] = {"write": in_metres, "step": 10.0}


@pytest.mark.parametrize("ratio", [48.0, 50.0, 64.0, 100.0])
@pytest.mark.parametrize("writing", [FEET, MILLIMETRES, METRES])
@pytest.mark.parametrize("ends", ["tick", "arrow", "dot", "none"])
def test_standard_scales(ratio: float, writing: dict[str, Any], ends: str) -> None:
    for seed, place, turn in ((1, "over", 0.0), (2, "gap", 90.0), (3, "over", 33.0)):
        guess = guess_scale(linework(page(ratio, seed=seed, place=place, turn=turn, ends=ends, **writing)))
        assert guess.sure, guess.why
        assert guess.scale == ratio
        assert guess.agree == 12


@pytest.mark.parametrize("share", [0.973, 1.041, 0.643])
@pytest.mark.parametrize("writing", [FEET, MILLIMETRES, METRES])
def test_a_page_that_was_enlarged_or_reduced(share: float, writing: dict[str, Any]) -> None:
    """A photocopy is at no standard scale; it is found to one part in ten thousand and not moved to one."""
    ratio = 48 / share
    for seed in range(4):
        guess = guess_scale(linework(page(ratio, seed=seed, **writing)))
        assert guess.scale == pytest.approx(ratio, rel=1e-4)
        assert guess.sure, guess.why
        assert "no standard scale" in guess.why


@pytest.mark.parametrize("ratio", [48.0, 100.0, 48 / 0.973])
def test_forty_of_a_hundred_texts_are_stale(ratio: float) -> None:
    stale = [k for k in range(30) if k % 5 in {1, 3}]
    for seed in range(4):
        guess = guess_scale(linework(page(ratio, count=30, seed=seed, wrong=stale)))
        assert guess.scale == pytest.approx(ratio, rel=1e-4)
        assert guess.agree == 18
        assert guess.written == 30
        assert guess.sure


@pytest.mark.parametrize("writing", [FEET, MILLIMETRES, METRES])
def test_coordinates_rounded_by_the_page(writing: dict[str, Any]) -> None:
    """Also to a tenth of a millimetre; and numbers without unit stay what they are at an odd scale."""
    for seed in range(12):
        for digits in (1, 2):
            guess = guess_scale(linework(page(48.0, count=15, seed=seed, digits=digits, **writing)))
            assert guess.scale == 48.0
            assert guess.sure
        guess = guess_scale(linework(page(61.7, count=15, seed=seed, digits=1, **writing)))
        assert guess.scale == pytest.approx(61.7, rel=1e-3)


def test_numbers_rounded_to_whole_inches() -> None:
    """When hardly any agrees to an eighth, they are taken as they are written: to the inch."""
    made = page(48.0, count=30, write=lambda mm: in_feet(round(mm / 25.4) * 25.4), step=1.0)
    guess = guess_scale(linework(made))
    assert guess.scale == pytest.approx(48.0, rel=2e-3)
    assert guess.agree >= 27


def test_too_few_is_not_sure() -> None:
    made = page(48.0, count=3, clutter=0)
    made.words = [w for w in made.words if w.text in made.texts[:2]]
    guess = guess_scale(linework(made))
    assert guess.scale == pytest.approx(48.0, rel=1e-3)
    assert not guess.sure
    assert "too few" in guess.why


def test_most_wrong_is_not_sure() -> None:
    guess = guess_scale(linework(page(48.0, count=12, wrong=range(1, 9))))
    assert not guess.sure


def test_two_scales_on_one_page() -> None:
    """A plan and a detail at twice its size: neither is surely the scale when they write as much."""
    plan, detail = page(48.0, count=12, seed=1, clutter=0), page(24.0, count=9, seed=2, clutter=0)
    for shape in detail.shapes:
        moved = tuple((x + 700.0, y) for x, y in shape.points)
        plan.shapes.append(Shape(layer="detail", points=moved))
    plan.words += [
        Words(text=w.text, at=(w.at[0] + 700.0, w.at[1]), height=w.height, width=w.width, turn=w.turn)
        for w in detail.words
    ]
    guess = guess_scale(linework(plan))
    assert guess.scale == 48.0
    assert not guess.sure


def test_nothing_written() -> None:
    sides = tuple(Shape(layer="wall", points=((x, 0.0), (x + 60.0, 0.0))) for x in (20.0, 80.0, 140.0))
    guess = guess_scale(Linework(name="x.pdf", kind="pdf", unit=1.0, shapes=sides))
    assert not guess.sure
    assert 5_000 <= guess.scale * 180 <= 25_000
    assert (guess.agree, guess.written) == (0, 0)
    assert not guess_scale(Linework(name="x.pdf", kind="pdf", unit=1.0)).sure


def test_the_vote_leaves_out_the_wrong_ones() -> None:
    """Ten lengths exactly at 50, three others: the least squares are of the ten alone."""
    good = [Ballot(k, 50.0 * (20 + 3 * k), 20.0 + 3 * k, 1.0, 0.001) for k in range(10)]
    bad = [Ballot(10 + k, 50.0 * 30 + 40 * (k + 1), 30.0, 1.0, 0.001) for k in range(3)]
    vote = elect(good + bad)
    assert vote is not None
    assert vote.scale == pytest.approx(50.0, rel=1e-12)
    assert vote.agree == 10
    assert elect([]) is None
