"""Checks of whether every pier can be put on the ground with the tape at hand, and how well."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from layoutdesk.engine.flags.facts import Facts, Kind, Sum, by_pier, each, in_all, mm
from layoutdesk.engine.layout import Flag
from layoutdesk.engine.reasons import shown_within
from layoutdesk.engine.ties import FAIR_DEG

NO_PAIR: Final = Kind("no-open-pair", "warning", "stakes")
NO_WAY: Final = Kind("no-way-to-stake", "error", "stakes")
STRUNG: Final = Kind("pier-set-along-line", "warning", "stakes")
WEAK: Final = Kind("weak-crossing", "warning", "stakes")
TAPE_SHORT: Final = Kind("tape-too-short", "warning", "stakes")

_ALL_LOST: Final = (
    "Neither square from the baseline nor two open tapes put {} on the ground; add control points from which they"
    " can be seen."
)
_ALL_STRUNG: Final = (
    "Neither square from the baseline nor two open tapes reach {}; set them along their beam lines from the piers"
    " beside them."
)
_ALL_BARRED: Final = (
    "Only square from the baseline puts {} on the ground, and no second way checks it; add control points from"
    " which they can be seen."
)


def check(facts: Facts) -> Iterator[Flag]:
    """Yield piers that no two tapes reach, that they reach only at a flat angle, and tapes that are too short."""
    plan, stakes = facts.plan, facts.stakes
    if not plan.piers or len(plan.controls) < 2:
        return
    without = stakes.best_pair[:, 0] < 0
    barred = np.flatnonzero(without & stakes.square_open).tolist()
    unset = np.flatnonzero(~stakes.settable).tolist()
    strung = [i for i in unset if stakes.along(i) is not None]
    lost = [i for i in unset if stakes.along(i) is None]
    with np.errstate(invalid="ignore"):
        weak = np.flatnonzero(stakes.crossing_deg < FAIR_DEG - 1e-9).tolist()

    def with_controls(i: int) -> tuple[str, tuple[str, ...]]:
        pier = plan.piers[i]
        return pier.label, (pier.id, *(plan.controls[k].id for k in stakes.best_pair[i].tolist()))

    def say_lost(i: int) -> tuple[str, str]:
        text = f"{stakes[i].why} Add a control point from which it can be seen."
        return f"{plan.piers[i].label} cannot be staked", text

    def say_barred(i: int) -> tuple[str, str]:
        return f"No two open tapes reach {plan.piers[i].label}", stakes[i].why

    def say_weak(i: int) -> tuple[str, str]:
        first, second = (plan.controls[k].id for k in stakes.best_pair[i].tolist())
        angle, within = stakes.crossing_deg[i], shown_within(float(stakes.within[i]), plan)
        text = (
            f"The best two tapes, from {first} and {second}, cross at only {angle:.0f}° and put the stake within"
            f" {within}; add a control point to the side of it."
        )
        return f"Tapes cross flat at {plan.piers[i].label}", text

    def say_strung(i: int) -> tuple[str, str]:
        return f"{plan.piers[i].label} is set along its line", stakes[i].why

    pier = by_pier(facts)
    all_lost = in_all(f"{len(lost)} piers cannot be staked", _ALL_LOST)
    all_strung = in_all(f"{len(strung)} piers are set along their lines", _ALL_STRUNG)
    all_barred = in_all(f"No two open tapes reach {len(barred)} piers", _ALL_BARRED)
    yield from each(NO_WAY, lost, pier, say_lost, all_lost)
    yield from each(STRUNG, strung, pier, say_strung, all_strung)
    yield from each(NO_PAIR, barred, pier, say_barred, all_barred)
    yield from each(WEAK, weak, with_controls, say_weak, _all_weak(facts, weak))
    yield from _short(facts)


def _all_weak(facts: Facts, weak: Sequence[int]) -> Sum:
    def together(names: str) -> tuple[str, str]:
        angle, worst = facts.stakes.crossing_deg[weak].min(), float(facts.stakes.within[weak].max())
        text = (
            f"At {names} the best two tapes cross at as little as {angle:.0f}° and put the stakes only within"
            f" {shown_within(worst, facts.plan)}; add a control point to the side of them."
        )
        return f"Tapes cross flat at {len(weak)} piers", text

    return together


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
