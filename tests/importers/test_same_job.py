"""A newer issue is known by piers of the same marks that stand alike; marks alone say nothing."""

from __future__ import annotations

import math

import pytest

from layoutdesk.geometry.vector import Vector
from layoutdesk.importers.proposal import Candidate, Proposal, ScaleGuess
from layoutdesk.importers.same_job import is_newer_issue
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan

HERON = read_plan(SAMPLES / "heron-lane-porch.layout.json")
ORCHARD = read_plan(SAMPLES / "orchard-row-carport.layout.json")


def drawn(places: dict[str, Vector]) -> Proposal:
    """Return a drawing with piers of these marks at these places in mm."""
    piers = tuple(Candidate(becomes="pier", group="g", layer="F", centre=at, mark=m) for m, at in places.items())
    return Proposal(name="newer.dxf", scale=ScaleGuess(scale=1.0, why=""), candidates=piers)


def places_of(plan: Plan, turn: float = 0.0, by: Vector = (0.0, 0.0)) -> dict[str, Vector]:
    c, s = math.cos(turn), math.sin(turn)
    return {
        p.mark or p.id: (c * p.at[0] - s * p.at[1] + by[0], s * p.at[0] + c * p.at[1] + by[1]) for p in plan.piers
    }


@pytest.mark.parametrize("turn", [0.0, 0.3, math.pi])
def test_the_same_job_wherever_it_is_drawn(turn: float) -> None:
    assert is_newer_issue(HERON, drawn(places_of(HERON, turn, (1e6, -4e5))))


def test_the_same_job_with_some_moved_gone_and_new() -> None:
    places = places_of(HERON)
    first, second, third = list(places)[:3]
    places[first] = (places[first][0] + 150.0, places[first][1])
    places[second] = (places[second][0], places[second][1] - 90.0)
    del places[third]
    assert is_newer_issue(HERON, drawn(places | {"NEW": (1.0, 2.0)}))


def test_another_job_with_the_same_marks() -> None:
    named = dict(zip((p.mark or p.id for p in HERON.piers), (p.at for p in ORCHARD.piers), strict=False))
    assert len(named) >= 3
    assert not is_newer_issue(HERON, drawn(named))


def test_nothing_to_tell_it_by() -> None:
    assert not is_newer_issue(Plan(), drawn(places_of(HERON)))
    assert not is_newer_issue(HERON, drawn({}))
    assert not is_newer_issue(HERON, drawn({f"{m}x": at for m, at in places_of(HERON).items()}))
