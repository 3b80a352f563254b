"""Any plan with any measures has a proof, or a sentence for what it has not: never an exception, never a NaN."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from layoutdesk.engine.derive import derive
from layoutdesk.engine.proof.entries import Proof
from layoutdesk.exporters.figures import figures
from layoutdesk.plan.model import BeamLine, Control, ControlTrust, Pier, Plan, ProofSettings, Tape

TRUSTS: tuple[ControlTrust, ...] = ("held", "uncertain", "free")
_steps = st.sampled_from([0.0, 0.5, 30.0, 2000.0, 2003.0, 4000.0, 7000.5])
_place = st.tuples(_steps, _steps)


@st.composite
def measured(draw: st.DrawFn) -> Plan:
    """Few points on a coarse grid, so that they often coincide or lie in line, and up to twenty measures of them.

    The measures are those of the drawn places, of other places, or of none at all; with slips of all sizes.
    """
    drawn = {f"C{k}": draw(_place) for k in range(draw(st.integers(0, 3)))}
    drawn |= {f"P{k}": draw(_place) for k in range(draw(st.integers(1, 6)))}
    stands = {
        name: draw(st.just(at) | st.permutations(list(drawn.values())).map(lambda one: one[0]) | _place)
        for name, at in drawn.items()
    }
    names = sorted(drawn)
    name = st.sampled_from(names)
    tapes = [_tape(draw, stands, draw(name), draw(name), draw(name)) for _ in range(draw(st.integers(1, 20)))]
    return Plan(
        controls=tuple(Control(id=one, at=at) for one, at in drawn.items() if one[0] == "C"),
        lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(4000.0, 0.0)),),
        piers=tuple(Pier(id=one, at=at) for one, at in drawn.items() if one[0] == "P"),
        tapes=tuple(tapes),
        units=draw(st.sampled_from(["ft-in", "m", "mm"])),
        proof=ProofSettings(control=draw(st.sampled_from(TRUSTS))),
    )


def _tape(draw: st.DrawFn, stands: dict[str, tuple[float, float]], a: str, b: str, c: str) -> Tape:
    kind = draw(st.sampled_from(["distance"] * 6 + ["square", "string", "right angle"]))
    far = math.dist(stands[a], stands[b])
    slip = draw(st.sampled_from([0.0, 0.0, 0.0, 0.3, -2.0, 304.8, 1e4, -1e4, math.inf, math.nan]))
    if kind == "distance":
        times = draw(st.sampled_from([1.0] * 8 + [12.0, 1 / 12, 2.54, 0.3048]))
        return Tape(
            start=a, end=b, distance=far * times + slip, tape_class=draw(st.sampled_from(["I", "II", "III"]))
        )
    if kind == "right angle":
        return Tape(start=a, end=b, third=c, kind="right angle", distance=90.0, legs=(900.0, 1200.0))
    if kind == "string":
        return Tape(start=a, end=b, third=c, kind="string", distance=0.0)
    return Tape(start=a, end=b, third=c, kind="square", distance=draw(st.sampled_from([-1.0, 1.0])) * far + slip)


def check(plan: Plan, proof: Proof) -> None:
    """Hold everything that a proof says against what it must always be."""
    in_trouble = {index for index, _ in proof.trouble}
    assert in_trouble | {tape.index for tape in proof.tapes} == set(range(len(plan.tapes)))
    assert all(says.endswith(".") for _, says in proof.trouble)
    told = {name for one in (*proof.loose, *proof.swapped) for name in one.ids}
    told |= {name for tape in proof.suspects for name in _ends(plan, tape.index, *tape.alike)}
    for point in proof.points:
        numbers = (point.along, point.away, point.out, point.semi_major, point.semi_minor, point.turn)
        assert point.says.endswith(".")
        if point.found is None:
            assert point.verdict == "not determined"
            assert point.id in told or "suspect" in point.says
        else:
            assert all(math.isfinite(number) for number in (*point.found, *numbers))
            assert point.semi_major >= point.semi_minor >= 0
    for tape in proof.tapes:
        assert all(math.isfinite(number) for number in (tape.reduced, tape.deviation, tape.redundancy, tape.w))
        assert 0 <= tape.redundancy <= 1
    for suspect in proof.suspects:
        assert all(math.isfinite(number) for number in (suspect.w, suspect.size, suspect.right))
    for bay in proof.bays:
        assert bay.square is None or math.isfinite(bay.out)
    assert proof.degrees >= 0
    assert math.isfinite(proof.weighted)
    assert proof.says


def _ends(plan: Plan, *indices: int) -> set[str]:
    return {one for k in indices for one in (plan.tapes[k].start, plan.tapes[k].end, plan.tapes[k].third) if one}


def refuse(constant: str) -> Any:
    """Refuse a constant that JSON has no word for."""
    raise AssertionError(constant)


@given(measured())
def test_any_measures_of_any_points_have_a_proof_or_a_sentence(plan: Plan) -> None:
    layout = derive(plan)
    assert layout.proof is not None
    check(plan, layout.proof)
    again = layout.tape_next
    assert again is None or (again.says.endswith(".") and math.isfinite(again.planned))
    said = json.dumps(figures(layout)["proof"])
    assert json.loads(said, parse_constant=refuse)


@given(measured(), st.sampled_from(TRUSTS))
def test_a_plan_without_its_control_has_a_proof_or_a_sentence(plan: Plan, trust: ControlTrust) -> None:
    bare = replace(plan, controls=(), proof=ProofSettings(control=trust))
    names = {pier.id for pier in bare.piers}
    bare = replace(bare, tapes=tuple(tape for tape in bare.tapes if names.issuperset(_one(tape))))
    found = derive(bare).proof
    assert (found is None) == (not bare.tapes)
    if found is not None:
        check(bare, found)


def _one(tape: Tape) -> set[str]:
    return {one for one in (tape.start, tape.end, tape.third) if one}
