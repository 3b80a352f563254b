"""Whether a drawing is another issue of the plan that stands already, or of another job."""

from __future__ import annotations

from itertools import combinations
from typing import Final

from layoutdesk.geometry.vector import distance
from layoutdesk.importers.proposal import Proposal
from layoutdesk.plan.model import Plan

FEWEST: Final = 3
"""So many piers must have the same marks in both."""
PART: Final = 0.3
"""And of the distances between them this part be the same: of 8 piers 3 may have moved."""
SAME: Final = 10.0
"""Distances are the same that differ by no more than this, in mm."""
_MOST: Final = 60
"""So many marks are looked at."""


def is_newer_issue(plan: Plan, proposal: Proposal) -> bool:
    """Return whether piers of the same marks stand as far from each other in a drawing as in a plan.

    Every job calls its piers alike; that most of them stand alike is what tells.
    """
    here = {p.mark or p.id: p.at for p in plan.piers}
    there = {c.mark: c.centre for c in proposal.candidates if c.becomes == "pier" and c.mark}
    shared = [mark for mark in here if mark in there][:_MOST]
    if len(shared) < FEWEST:
        return False
    pairs = list(combinations(shared, 2))
    same = sum(abs(distance(here[a], here[b]) - distance(there[a], there[b])) <= SAME for a, b in pairs)
    return same >= PART * len(pairs)
