"""Checks of what is measured from: baseline and control points."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from layoutdesk.engine.flags.facts import Facts, Kind, each, mm
from layoutdesk.engine.layout import Flag

NO_BASELINE: Final = Kind("no-baseline", "warning", "control")
BASELINE_NO_LENGTH: Final = Kind("baseline-without-length", "error", "control")
NO_CONTROLS: Final = Kind("too-few-controls", "warning", "control")
CONTROLS_TOGETHER: Final = Kind("controls-at-one-place", "error", "control")

TOGETHER_MM: Final = 10.0
"""Control points nearer to each other than this cannot be told apart by a tape's hook."""


def check(facts: Facts) -> Iterator[Flag]:
    """Yield a missing or pointless baseline, too few control points, and control points at one place."""
    plan = facts.plan
    if plan.baseline is None:
        if plan.piers:
            yield NO_BASELINE.flag(
                "There is no baseline",
                "Stations and offsets are read from a baseline; choose a wall face or a chalked line for it.",
            )
    elif facts.frame is None:
        yield BASELINE_NO_LENGTH.flag(
            "The baseline has no length",
            "Its origin and the point it runs toward are the same place; move one of them.",
        )
    if plan.piers and len(plan.controls) < 2:
        there = "There is no control point" if not plan.controls else "There is only one control point"
        yield NO_CONTROLS.flag(
            there,
            f"{there}; two tapes need two points that can be found again, such as the corners of the house.",
            *(control.id for control in plan.controls),
        )
    yield from _together(facts)


def _together(facts: Facts) -> Iterator[Flag]:
    controls = facts.plan.controls
    xy = facts.points.xy[: len(controls)]
    order = np.argsort(xy[:, 0], kind="stable")
    found: list[tuple[int, int]] = []
    for k, i in enumerate(order.tolist()):
        for j in order[k + 1 :].tolist():
            if xy[j, 0] - xy[i, 0] > TOGETHER_MM or len(found) > 100:
                break
            if np.hypot(*(xy[j] - xy[i])) < TOGETHER_MM:
                found.append((min(i, j), max(i, j)))
    found.sort()

    def who(k: int) -> tuple[str, tuple[str, ...]]:
        a, b = (controls[i].id for i in found[k])
        return f"{a} with {b}", (a, b)

    def say(k: int) -> tuple[str, str]:
        i, j = found[k]
        apart = float(np.hypot(*(xy[j] - xy[i])))
        where = "at the same place" if apart < facts.plan.rounding else f"only {mm(apart, facts)} apart"
        title = f"{controls[i].id} and {controls[j].id} are {where}"
        return title, f"{title}; move one of them or delete it."

    def together(names: str) -> tuple[str, str]:
        text = f"{names} are nearer to each other than {mm(TOGETHER_MM, facts)}; move or delete one of each."
        return f"{len(found)} pairs of control points are at one place", text

    yield from each(CONTROLS_TOGETHER, range(len(found)), who, say, together)
