"""Checks of whether every pier can be put on the ground with the tape at hand, and how well."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from layoutdesk.engine.flags.facts import Facts, Kind, each, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.reasons import shown_within
from layoutdesk.engine.ties import FAIR_DEG

NO_PAIR: Final = Kind("no-open-pair", "warning", "stakes")
NO_WAY: Final = Kind("no-way-to-stake", "error", "stakes")
WEAK: Final = Kind("weak-crossing", "warning", "stakes")
TAPE_SHORT: Final = Kind("tape-too-short", "warning", "stakes")


def check(facts: Facts) -> Iterator[Flag]:
    """Yield piers that no two tapes reach, that they reach only at a flat angle, and tapes that are too short."""
    plan, stakes = facts.plan, facts.stakes
    if not plan.piers or len(plan.controls) < 2:
        return
    without = stakes.best_pair[:, 0] < 0
    barred = np.flatnonzero(without & stakes.square_open).tolist()
    lost = np.flatnonzero(without & ~stakes.square_open).tolist()
    with np.errstate(invalid="ignore"):
        weak = np.flatnonzero(stakes.crossing_deg < FAIR_DEG - 1e-9).tolist()

    def called(i: int) -> str:
        return plan.piers[i].label

    def barred_wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        pier = plan.piers[i]
        return f"No two open tapes reach {pier.label}", stakes[i].why, (pier.id,)

    def lost_wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        pier = plan.piers[i]
        text = f"{stakes[i].why} Add a control point from which it can be seen."
        return f"{pier.label} cannot be staked", text, (pier.id,)

    def weak_wording(i: int) -> tuple[str, str, tuple[str, ...]]:
        pier, best = plan.piers[i], stakes[i].best
        assert best is not None
        text = (
            f"The best two tapes, from {best.first.control} and {best.second.control}, cross at only"
            f" {best.crossing_deg:.0f}° and put the stake within {shown_within(best.within, plan)};"
            " add a control point to the side of it."
        )
        return f"Tapes cross flat at {pier.label}", text, (pier.id, best.first.control, best.second.control)

    yield from each(NO_WAY, lost, lost_wording, called=called, more="More piers that cannot be staked")
    yield from each(NO_PAIR, barred, barred_wording, called=called, more="More piers without two open tapes")
    yield from each(WEAK, weak, weak_wording, called=called, more="More piers with flat crossings")
    yield from _short(facts)


def _short(facts: Facts) -> Iterator[Flag]:
    stakes = facts.stakes
    if not stakes.too_long.any():
        return
    plan = facts.plan
    control, pier = np.unravel_index(int(stakes.distance.argmax()), stakes.distance.shape)
    count = int(stakes.too_long.sum())
    ties = "tie is" if count == 1 else "ties are"
    text = (
        f"{count} {ties} longer than the tape at hand ({mm(plan.tape_at_hand.length, facts)}) and not used;"
        f" the longest, {plan.controls[control].id} to {plan.piers[pier].label},"
        f" is {mm(float(stakes.distance[control, pier]), facts)}."
    )
    yield TAPE_SHORT.flag("The tape is too short", text, plan.controls[control].id, plan.piers[pier].id)
