"""Chains are recognised by their places, whatever their numbers say, and a planted gap is the gap reported."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.geometry.vector import Vector, turned
from layoutdesk.importers.chains import chains_between
from layoutdesk.importers.checks import chains_of, check_dimensions
from layoutdesk.importers.linework import Drawn, Linework
from layoutdesk.plan.model import Chain, Plan, Written
from tests.importers.dimension_pages import linework, page


class _Sheet:
    """Dimensions under way; ``aside`` is how far the dimension line lies below what it measures."""

    def __init__(self, turn: float = 0.0) -> None:
        self.turn = turn
        self.written: list[Written] = []
        self.lines: list[Vector | None] = []

    def put(
        self, start: float, end: float, aside: float, *, off: float = 0.0, rise: float = 0.0, text: str = ""
    ) -> None:
        a, b = turned((start, 0.0), self.turn), turned((end, rise), self.turn)
        self.written.append(
            Written(id="", start=a, end=b, value=abs(end - start) + off, along=self.turn, text=text, step=1.0)
        )
        self.lines.append(turned((start, -aside), self.turn))

    def chains(self) -> list[Chain]:
        return sorted(chains_between(self.written, self.lines), key=lambda c: (-len(c.parts), c.parts))

    def alone(self) -> list[Chain]:
        return sorted(chains_of(tuple(self.written)), key=lambda c: (-len(c.parts), c.parts))


def _gaps(chains: list[Chain]) -> list[float]:
    plan = Plan(chains=tuple(replace(c, id=f"H{i}") for i, c in enumerate(chains)))
    return [check.gap for check in derive(plan).chains if check.gap is not None and not check.closes]


@pytest.mark.parametrize("turn", [0.0, 90.0, 179.99, 33.3, -120.0])
def test_a_chain_and_its_overall_dimension(turn: float) -> None:
    """Parts may be drawn in any order and either way round, and join places at different depths."""
    sheet = _Sheet(turn)
    sheet.put(0, 7300, 1500)
    sheet.put(4900, 2400, 900, rise=300)
    sheet.put(0, 2400, 900, rise=-200)
    sheet.put(4900, 7300, 905)
    (chain,) = sheet.chains()
    assert chain.parts == pytest.approx((2400, 2500, 2400))
    assert chain.overall == pytest.approx(7300)
    assert chain.step == 1.0
    assert chain.start is not None
    assert chain.end is not None
    ends = sorted(turned((x, -900), turn) for x in (0, 7300))
    assert sorted((chain.start, chain.end)) == [pytest.approx(end, abs=6) for end in ends]
    assert _gaps([chain]) == []


def test_a_wrong_number_does_not_hide_the_chain() -> None:
    sheet = _Sheet()
    sheet.put(0, 2400, 900)
    sheet.put(2400, 4800, 900, off=-100)
    sheet.put(4800, 7200, 900)
    sheet.put(0, 7200, 1500)
    (chain,) = sheet.chains()
    assert list(chain.parts) == [2400, 2300, 2400]
    assert _gaps([chain]) == [pytest.approx(-100)]


def test_strings_of_dimensions_one_under_the_other() -> None:
    """Piers, then bays, then the whole: each of the coarser ones is checked by what lies over it."""
    sheet = _Sheet()
    for k in range(4):
        sheet.put(1200 * k, 1200 * (k + 1), 600)
    sheet.put(0, 2400, 900)
    sheet.put(2400, 4800, 900, off=50)
    sheet.put(0, 4800, 1200)
    chains = sheet.chains()
    assert [(c.parts, c.overall) for c in chains] == [
        ((1200, 1200, 1200, 1200), 4800),
        ((1200, 1200), 2400),
        ((1200, 1200), 2450),
        ((2400, 2450), 4800),
    ]
    assert sorted(_gaps(chains)) == pytest.approx([-50, 50])


def test_a_broken_row_is_two_chains() -> None:
    sheet = _Sheet()
    for start in (0, 2400, 6000, 8400):
        sheet.put(start, start + 2400, 900)
    assert [(c.parts, c.overall) for c in sheet.chains()] == [((2400, 2400), None), ((2400, 2400), None)]


def test_dimensions_on_other_lines_or_in_other_directions_are_no_chain() -> None:
    sheet = _Sheet()
    sheet.put(0, 2400, 900)
    sheet.put(2400, 4800, 1500)
    assert sheet.chains() == []
    sheet.written[1] = replace(sheet.written[1], along=1.0)
    assert sheet.chains() == []
    assert chains_between((), ()) == ()


def test_running_dimensions_do_not_multiply_chains() -> None:
    """A thousand running dimensions over a thousand parts are looked at where they reach farthest."""
    sheet = _Sheet()
    for k in range(1000):
        sheet.put(2400 * k, 2400 * (k + 1), 900)
        sheet.put(0, 2400 * (k + 1), 1500 + 100 * k)
    chains = sheet.chains()
    assert [len(c.parts) for c in chains] == [1000, 999, 998, 997]
    assert all(sum(c.parts) == c.overall for c in chains)


def test_places_alone_make_chains_too() -> None:
    """Without dimension lines, very places must meet, and only the finest dimensions are parts."""
    sheet = _Sheet()
    for k in range(3):
        sheet.put(1200 * k, 1200 * (k + 1), 600)
    sheet.put(0, 3600, 900)
    sheet.put(0, 2400, 1200)
    assert [(c.parts, c.overall) for c in sheet.alone()] == [((1200,) * 3, 3600), ((1200,) * 2, 2400)]


@pytest.mark.parametrize(
    ("text", "value", "parts", "overall"),
    [
        ("4 @ 8'-2\" = 32'-8\"", 392 * 25.4, (98 * 25.4,) * 4, 392 * 25.4),
        ("4 @ 8'-2\" = 32'-9\"", 393 * 25.4, (98 * 25.4,) * 4, 393 * 25.4),
        ("4 @ 2400 = 9600", 9600.0, (2400.0,) * 4, 9600.0),
        ("3 @ 2.40 = 7.20", 7200.0, (2400.0,) * 3, 7200.0),
    ],
)
def test_a_text_that_repeats_is_a_chain(text: str, value: float, parts: tuple[float, ...], overall: float) -> None:
    (chain,) = chains_of((Written(id="", start=(0, 0), end=(value, 0), value=value, along=0.0, text=text),))
    assert chain.parts == pytest.approx(parts)
    assert chain.overall == pytest.approx(overall)
    assert chain.text == text


def test_planted_gaps_among_two_thousand_dimensions() -> None:
    pick = random.Random(4)  # noqa: S311 a scene, no secret
    sheet = _Sheet(12.0)
    planted: list[float] = []
    for row in range(40):
        x, gap = 0.0, 0.0
        base = row * 20_000.0
        for k in range(49):
            part = pick.choice((2400.0, 2500.0, 3600.0))
            off = 75.0 + row if row % 8 == 3 and k == 20 else 0.0
            a, b = turned((x, base), 12.0), turned((x + part, base + pick.choice((0, 300))), 12.0)
            sheet.written.append(Written(id="", start=a, end=b, value=part + off, along=12.0))
            sheet.lines.append(turned((x, base - 900), 12.0))
            x, gap = x + part, gap + off
        a, b = turned((0, base), 12.0), turned((x, base), 12.0)
        sheet.written.append(Written(id="", start=a, end=b, value=x, along=12.0))
        sheet.lines.append(turned((0, base - 1500), 12.0))
        planted += [gap] if gap else []
    chains = [c for c in sheet.chains() if len(c.parts) == 49]
    assert len(chains) == 40
    assert sorted(_gaps(chains)) == pytest.approx(sorted(planted))
    assert len(planted) == 5


def test_chains_of_a_file_and_of_a_page() -> None:
    inches = (98.0, 96.0, 84.0)
    drawn, x = [], 0.0
    for k, (part, text) in enumerate(zip(inches, ("8'-2\"", "8'-0\"", "7'-0\""), strict=True)):
        drawn.append(
            Drawn(
                kind="distance",
                start=(x, 3.0 * k),
                end=(x + part, 0.0),
                measured=part,
                text=text,
                along=0.0,
                line_at=(x, -20.0),
            )
        )
        x += part
    drawn.append(
        Drawn(
            kind="distance",
            start=(0.0, 0.0),
            end=(x, 0.0),
            measured=x,
            text="23'-4\"",
            along=0.0,
            line_at=(0.0, -40.0),
        )
    )
    found = check_dimensions(Linework(name="a.dxf", kind="dxf", unit=25.4, drawn=tuple(drawn)), 25.4)
    (chain,) = found.chains
    assert _gaps([chain]) == [pytest.approx(-2 * 25.4)]

    made = page(48, count=12, clutter=0)
    chains = check_dimensions(linework(made), 48.0).chains
    assert [len(c.parts) for c in chains] == [4, 4, 4]
