"""Attachments in the taping plan and in what is taped next: those at the corners of bays are proved like stakes."""

from __future__ import annotations

import numpy as np
import pytest

from layoutdesk.engine.derive import derive
from layoutdesk.plan.model import Attachment, Bay, Control, ControlTrust, Pier, Plan, ProofSettings, Tape
from tests.proof_jobs import proof


def porch(*, bay: bool, trust: ControlTrust = "held", lean: float = 0.0) -> Plan:
    """Return a porch between two posts in the wall and two piers, with control points at house and yard."""
    return Plan(
        units="mm",
        rounding=1.0,
        controls=(
            Control(id="C1", at=(0.0, 0.0)),
            Control(id="C2", at=(6000.0, 0.0)),
            Control(id="C3", at=(800.0, -7000.0)),
        ),
        attachments=(
            Attachment(id="A1", at=(1000.0, lean), kind="in-wall post"),
            Attachment(id="A2", at=(4900.0, lean), kind="in-wall post"),
        ),
        piers=(Pier(id="P1", at=(1000.0, -3500.0)), Pier(id="P2", at=(4900.0, -3500.0))),
        bays=(Bay(id="B1", corners=("A1", "A2", "P2", "P1")),) if bay else (),
        proof=ProofSettings(control=trust, read_to=1.0),
    )


@pytest.mark.parametrize("trust", ["held", "uncertain", "free"])
def test_the_plan_proves_the_attachments_of_a_bay_so_that_its_verdict_can_be_given(trust: ControlTrust) -> None:
    """Four points to find take nine tapes at the least, one of them to check; of a free figure three more."""
    plan = porch(bay=True, trust=trust)
    found = derive(plan).taping_plan
    assert found.proves
    least = {"held": 9, "uncertain": 9, "free": 12}[trust]
    assert least <= len(found.pulls) <= least + 1
    taped = plan.with_(tapes=tuple(Tape(start=a, end=b, distance=d) for a, b, d in found.pulls))
    said = proof(taped)
    axes = [point.semi_major for point in said.points if point.kind != "control"]
    assert len(axes) == 4
    assert max(axes) == pytest.approx(found.reaches, rel=1e-6)
    (verdict,) = said.bays
    assert verdict.square
    assert "not known" not in verdict.says


def test_attachments_that_no_bay_has_are_left_alone() -> None:
    found = derive(porch(bay=False)).taping_plan
    assert found.proves
    assert len(found.pulls) == 5
    assert not {"A1", "A2"} & {end for pull in found.pulls for end in pull[:2]}


def test_twenty_porches_take_at_most_one_tape_more_than_can_do() -> None:
    """The walls lean and the piers are moved about; fewer than nine tapes can never find and check four points."""
    rng = np.random.default_rng(4)
    for _ in range(20):
        plan = porch(bay=True, lean=float(rng.uniform(-300, 300)))
        piers = tuple(
            Pier(id=pier.id, at=(pier.at[0] + dx, pier.at[1] + dy))
            for pier, (dx, dy) in zip(plan.piers, rng.uniform(-900, 900, (2, 2)).tolist(), strict=True)
        )
        found = derive(plan.with_(piers=piers)).taping_plan
        assert found.proves
        assert len(found.pulls) <= 10


def test_an_attachment_of_a_bay_that_was_not_taped_is_taped_next() -> None:
    plan = porch(bay=True)
    points: list[Control | Attachment | Pier] = [*plan.controls, *plan.attachments, *plan.piers]
    at = {point.id: complex(*point.at) for point in points}
    pairs = [("C1", "P1"), ("C2", "P1"), ("C3", "P1"), ("C1", "P2"), ("C2", "P2"), ("C3", "P2"), ("P1", "P2")]
    taped = [*pairs, ("P1", "A1"), ("C2", "A1"), ("P2", "A1")]
    for taken, worst in ((taped[:7], {"A1", "A2"}), (taped, {"A2"})):
        tapes = tuple(Tape(start=a, end=b, distance=abs(at[a] - at[b])) for a, b in taken)
        following = derive(plan.with_(tapes=tapes)).tape_next
        assert following is not None
        assert following.worst in worst
    without = derive(porch(bay=False).with_(tapes=tapes)).tape_next
    assert without is not None
    assert without.worst in {"P1", "P2"}
