"""What the drawing writes against what it draws: the ends go with their pieces, chains must add up."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.derive import derive
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Written
from layoutdesk.units import parse_chain, parse_length


def ft(text: str) -> float:
    return parse_length(text, "ft-in")


def row() -> Plan:
    plan = edits.add_row(Plan(), (0, 0), (1, 0), [0.0, ft("8'"), ft("8'")])
    return plan.with_(
        written=(
            Written(id="N1", start=(0, 900), end=(ft("8'"), 900), value=ft("8'"), along=0, text="8'-0\""),
            Written(
                id="N2", start=(ft("8'"), 900), end=(ft("16'"), 900), value=ft("8' 2"), along=180, text="8'-2\""
            ),
            Written(id="N3", start=(0, 0), end=(ft("16'"), 0), value=ft("16'"), text="16'"),
        )
    )


def test_a_typed_over_number_is_told_with_both_numbers_and_where() -> None:
    layout = derive(edits.attach_written(row()))
    assert [w.agrees for w in layout.written] == [True, False, True]
    (flag,) = [f for f in layout.flags if f.code == "dimension-disagrees"]
    assert "8′ 2″" in flag.text.replace("\u00a0", " ")
    assert "8′ 0″" in flag.text.replace("\u00a0", " ")
    assert "from P2 to P3" in flag.text
    assert "2″ less" in flag.text
    assert flag.about == ("P2", "P3", "N2")


def test_retyping_the_distance_mends_it_and_tells_what_no_longer_agrees() -> None:
    plan = edits.move(edits.attach_written(row()), ["P3"], (ft('2"'), 0))
    assert [w.agrees for w in derive(plan).written] == [True, True, False]


def test_a_deleted_pier_leaves_a_bare_place_and_a_renamed_control_point_is_followed() -> None:
    plan = edits.delete(edits.attach_written(row()), ["P3"])
    assert (plan.written[1].start_on, plan.written[1].end_on) == ("P2", None)
    assert derive(plan).written[1].drawn == pytest.approx(ft("8'"), abs=1e-9)
    plan = edits.attach_written(edits.add_control(Plan(), (0, 0)).with_(written=(row().written[2],)))
    assert edits.rename(plan, "C1", "nail").written[0].start_on == "nail"


def test_the_step_to_which_it_is_written_says_how_near_is_near_enough() -> None:
    near = ft("8'") + 1.0
    plan = Plan(written=(Written(id="N1", start=(0, 0), end=(near, 0), value=ft("8'"), step=3.175),))
    assert derive(plan).written[0].agrees
    assert not derive(plan.with_(written=(replace(plan.written[0], step=1.5875),))).written[0].agrees


@given(st.floats(-180, 180), st.floats(1, 1e4), st.floats(-1e4, 1e4))
def test_a_dimension_in_a_direction_measures_only_that(turn: float, length: float, aside: float) -> None:
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    end = (c * length - s * aside, s * length + c * aside)
    plan = Plan(written=(Written(id="N1", start=(0, 0), end=end, value=length, along=turn),))
    check = derive(plan).written[0]
    assert check.drawn == pytest.approx(length, abs=1e-6)
    assert math.dist(*check.line) == pytest.approx(length, abs=1e-6)
    assert check.agrees


def test_a_chain_that_does_not_add_up_is_told_with_its_gap() -> None:
    parts, overall = parse_chain("6'-0\", 8'-2\", 8'-2\" = 22'-6\"", "ft-in")
    plan = edits.add_chain(Plan(), parts, overall=overall)
    (flag,) = [f for f in derive(plan).flags if f.code == "chain-does-not-close"]
    text = flag.text.replace("\u00a0", " ")
    assert "22′ 4″" in text
    assert "22′ 6″" in text
    assert "2″ less" in text


def test_thirds_that_were_rounded_are_told_as_rounding_only() -> None:
    plan = edits.add_chain(Plan(units="mm"), [3333.0, 3333.0, 3333.0], overall=10000.0)
    plan = plan.with_(chains=(replace(plan.chains[0], step=1.0),))
    assert [f.code for f in derive(plan).flags] == ["chain-rounded"]


@given(st.lists(st.integers(1, 6400), min_size=1, max_size=30))
def test_sixteenths_that_add_up_close(sixteenths: list[int]) -> None:
    parts = [n * 1.5875 for n in sixteenths]
    plan = edits.add_chain(Plan(), parts, overall=sum(sixteenths) * 1.5875)
    assert derive(plan).chains[0].closes
