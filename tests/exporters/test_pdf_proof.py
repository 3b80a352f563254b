"""The proof read back from the PDF: what was taped and how, its corrections, the house as found, who signs."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from functools import cache

import pypdfium2 as pdfium
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.exporters.tables import points_csv
from layoutdesk.geometry.vector import Vector, plus, turned
from layoutdesk.plan.model import Control, HouseChoice, Plan, Tape
from layoutdesk.sheets.book import stake_out_set
from tests.sheets.sheet_plans import PORCH, STAKED, sample

CHOICES: tuple[HouseChoice, ...] = ("hold the design", "turn with the house", "hold one attachment")
TURN, SHIFT = 0.35, (12.0, -8.0)
"""How the real house lies beside the drawn one: degrees, and millimetres."""


def pages_of(layout: Layout) -> list[str]:
    """Return the text of every page of a set, with plain marks and single spaces."""
    file = pdfium.PdfDocument(write_pdf(stake_out_set(layout)))
    texts = [page.get_textpage().get_text_range() for page in file]
    file.close()
    return [re.sub(r"\s+", " ", text.replace("−", "-")) for text in texts]


def proof_text(layout: Layout) -> str:
    """Return the text of the proof sheet."""
    return " ".join(page for page in pages_of(layout) if page.startswith("Proof "))


def in_mm(plan: Plan) -> Plan:
    """Return a plan whose numbers are plain on paper: whole millimetres."""
    return replace(plan, units="mm", rounding=1.0)


@cache
def house(choice: HouseChoice) -> Layout:
    """Return the porch at a house that stands turned and shifted, its corners taped from three hubs."""
    plan = in_mm(sample(PORCH))
    hubs = (Control(id="H1", at=(-2500.0, -1500.0)), Control(id="H2", at=(-2000.0, -7000.0)))
    corners = tuple(replace(c, measured=c.id != "C4") for c in plan.controls)
    places: dict[str, Vector] = {hub.id: hub.at for hub in (*hubs, *(c for c in corners if not c.measured))}
    found = {c.id: plus(turned(c.at, TURN), SHIFT) for c in corners if c.measured}
    tapes = tuple(
        Tape(start=hub, end=corner, distance=math.dist(places[hub], found[corner]))
        for corner in found
        for hub in places
    )
    proof = replace(plan.proof, house=choice, held_attachment="A3" if choice == "hold one attachment" else None)
    return derive(plan.with_(controls=(*corners, *hubs), tapes=tapes, proof=proof))


def sorted_ties(layout: Layout) -> list[tuple[int, int]]:
    """Return the two tapes that set out each pier, rounded as on paper."""
    return [
        (round(stake.best.first.distance), round(stake.best.second.distance))
        for stake in layout.stakes
        if stake.best
    ]


@pytest.mark.parametrize("choice", CHOICES)
def test_the_sheets_follow_what_is_held_and_the_proof_keeps_both(choice: HouseChoice) -> None:
    layout = house(choice)
    held = layout.on_site
    pages = pages_of(layout)
    stakes = " ".join(page for page in pages if page.startswith("Stakes "))
    ties = sorted_ties(held)
    assert len(ties) == len(held.plan.piers)
    for first, second in ties:
        assert f"{first} mm" in stakes
        assert f"{second} mm" in stakes
    for stake in held.stakes:
        assert f"{round(stake.station or 0.0)} mm" in stakes
    text = proof_text(layout)
    assert f"Chosen: {choice}" in text
    assert "as found" in pages[0]
    title = "Stakes as drawn and as held"
    assert (title in text) == (choice != "hold the design")
    if choice == "hold the design":
        return
    assert ties != sorted_ties(layout)
    assert layout.frame is not None
    for drawn, put in zip(layout.points, held.points, strict=True):
        if drawn.kind == "pier":
            assert put.at != drawn.at
            numbers = (*layout.frame.station_offset(drawn.at), *layout.frame.station_offset(put.at))
            assert " ".join([drawn.label, *(f"{round(n)} mm" for n in numbers)]) in text


def test_the_choice_moves_the_stakes_as_it_says() -> None:
    drawn = {pier.id: pier.at for pier in sample(PORCH).piers}
    hold, turn, one = ({p.id: p.at for p in house(c).on_site.points if p.kind == "pier"} for c in CHOICES)
    attachment = next(a.at for a in sample(PORCH).attachments if a.id == "A3")
    for name, at in drawn.items():
        assert hold[name] == at
        assert math.dist(turn[name], plus(turned(at, TURN), SHIFT)) < 0.01
        about = plus(turned((at[0] - attachment[0], at[1] - attachment[1]), TURN), attachment)
        assert math.dist(one[name], about) < 0.01


def test_a_table_of_points_follows_what_is_held() -> None:
    tables = {points_csv(house(choice)) for choice in CHOICES}
    assert len(tables) == len(CHOICES)


def corrected() -> Layout:
    """Return the staked porch with measures of every kind, some of them corrected and one repeated."""
    plan = in_mm(sample(STAKED))
    tapes = list(plan.tapes)
    steel = replace(tapes[2], temperature=-5.0, pull=80.0)
    uphill = replace(tapes[5], rise=600.0, distance=math.hypot(tapes[5].distance, 600.0))
    tapes[2], tapes[5] = steel, uphill
    tapes += [
        replace(tapes[0], tape_class="H44"),
        Tape(start="P1", end="P4", third="P3", kind="right angle", distance=90.0, legs=(900.0, 1200.0)),
        Tape(start="C1", end="P1", third="C2", kind="square", distance=-2438.0, tape_class="own", own=(2.0, 0.5)),
    ]
    return derive(plan.with_(tapes=tuple(tapes), proof=replace(plan.proof, read_to=2.0)))


def test_how_each_measure_was_taken_is_read_back_with_its_corrections() -> None:
    layout = corrected()
    text = proof_text(layout)
    assert "P2 on string P1–P3" in text
    assert "at P1, P4 to P3" in text
    assert "P1 square off C1–C2" in text
    assert "C1 to P1 is no. 1 and 47" in text
    assert "NIST Handbook 44 (by its table of metal tapes), 1 measure" in text
    assert "own tape (2 mm and 0.5 mm for every metre), 1 measure" in text
    assert "They were read to 2 mm." in text
    steel, uphill = layout.plan.tapes[2], layout.plan.tapes[5]
    by_temperature = steel.distance * 1.16e-5 * -25.0
    by_pull = steel.distance * 30.0 / (2.6 * 200_000.0)
    assert f"3 C4 to P1 -5 °C, 80 N – {by_temperature:.1f} mm {by_pull:.1f} mm" in text
    by_slope = math.sqrt(uphill.distance**2 - 600.0**2) - uphill.distance
    assert f"6 C4 to P2 rise 600 mm {by_slope:.1f} mm – –" in text


def test_corrections_lead_from_what_was_read_to_what_it_is_worth() -> None:
    proof = corrected().proof
    assert proof is not None
    given = [t for t in proof.tapes if t.by_slope or t.by_temperature or t.by_pull]
    assert [t.index for t in given] == [2, 5]
    for tape in proof.tapes:
        added = tape.by_slope + tape.by_temperature + tape.by_pull
        assert tape.reduced == pytest.approx(tape.read + added, abs=1e-9)


def test_an_inspector_reads_what_is_wrong_first_and_who_decides() -> None:
    layout = derive(in_mm(sample(STAKED)))
    pages = [page for page in pages_of(layout) if page.startswith("Proof ")]
    assert pages[0].index("The measures do not agree") < pages[0].index("Control points are held")
    assert "A stake may be out by 13 mm" in pages[0]
    assert "Moves and ellipses are drawn 50 times their size." in pages[0]
    assert "Stakes stake verdict" in pages[0]
    whole = " ".join(pages)
    for bay in layout.proof.bays if layout.proof else ():
        assert bay.says.replace("\u00a0", " ").replace("−", "-") in whole.replace("\u00a0", " ")
    assert "Local code and the licensed designer decide" in pages[-1]
    for line in ("taped by", "checked by", "seen by"):
        assert f"{line} date" in pages[-1]


@pytest.mark.parametrize(
    ("control", "said"),
    [("held", "are held where they are drawn"), ("uncertain", "sure to 4 mm"), ("free", "are free, no surer")],
)
def test_how_far_control_is_trusted_is_said(control: str, said: str) -> None:
    plan = in_mm(sample(STAKED))
    proof = replace(plan.proof, control=control, control_deviation=4.0)  # type: ignore[arg-type]
    assert said in proof_text(derive(plan.with_(proof=proof)))
