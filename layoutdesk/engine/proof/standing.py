"""Which points hold still while the others are found: the network that a plan's measures make."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from layoutdesk.engine.columns import Bools
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.proof.network import DISTANCE, Network
from layoutdesk.engine.proof.observations import Observations
from layoutdesk.plan.model import Plan


@dataclass(frozen=True, slots=True)
class Standing:
    """The network, which points are measured in it, (n,), and whether nothing ties them to the control points.

    A figure that is ``adrift`` has a shape, and no place.
    """

    network: Network
    measured: Bools
    adrift: bool


def standing_of(plan: Plan, points: PointTable, observations: Observations) -> Standing:
    """Return the network of a plan.

    Control points are held, uncertain or free, as the plan says; those whose real place is measured are found by
    tapes like a stake, and so are attachments.
    """
    count, trust = len(points), plan.proof.control
    control = np.zeros(count, dtype=np.bool_)
    control[: len(plan.controls)] = [not one.measured for one in plan.controls]
    held = control if trust == "held" else np.zeros(count, dtype=np.bool_)
    prior = np.full(count, np.inf)
    if trust == "uncertain":
        prior[control] = plan.proof.control_deviation
    measured = named_in(observations, count)
    adrift = trust != "free" and not (measured & control).any()
    network = Network(points.xy, held, prior, trust == "free" or adrift, observations)
    return Standing(network, measured, adrift)


def named_in(observations: Observations, count: int) -> Bools:
    """Return which of so many points any measure names, (n,)."""
    named = np.zeros(count, dtype=np.bool_)
    named[observations.i] = True
    named[observations.j] = True
    named[observations.k[observations.kind != DISTANCE]] = True
    return named
