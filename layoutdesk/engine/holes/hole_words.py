"""What is said of a hole as dug: what is found and what to do, with numbers in the plan's units."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from layoutdesk.engine.order import bags_of, whole_bags
from layoutdesk.engine.points import PointTable
from layoutdesk.engine.reasons import shown_small
from layoutdesk.geometry.frame import Frame
from layoutdesk.plan.holes import HoleLog
from layoutdesk.plan.model import BagProduct, Plan
from layoutdesk.units import format_volume


def chosen_bag(plan: Plan) -> BagProduct:
    """Return the bag product that is bought: the one named, or else the largest."""
    bags = bags_of(plan)
    named = next((bag for bag in bags if bag.product == plan.holes.dig.bag), None)
    return named or max(bags, key=lambda bag: bag.yield_m3)


class HoleWords:
    """Words for holes in the units of a plan.

    Args:
        plan: gives units, tape step and bags.
        points: its points, for directions.
        frame: the baseline.
    """

    def __init__(self, plan: Plan, points: PointTable, frame: Frame | None) -> None:
        from layoutdesk.engine.proof.moves import MoveSentences  # its statistics load late

        self._plan, self._points = plan, points
        self._moves = MoveSentences(plan, points, frame)
        self._pier = {pier.id: points.first_pier + k for k, pier in reversed(list(enumerate(plan.piers)))}
        self._has_frame = frame is not None
        self._bag = chosen_bag(plan)

    def no_detail(self) -> str:
        """Return that there is nothing to hold a hole against."""
        return "Its pier has no detail to hold it against: give it one."

    def no_hole(self, detail: str) -> str:
        """Return that the detail of a pier is no hole to hold one against."""
        return f"Its detail {detail} is no hole to hold it against: give it a depth."

    def slip(self, factor: float) -> str:
        """Return that a hole cannot be as it was logged."""
        return f"As logged it takes {factor:.3g} times what is drawn, which is a slip of the pen: measure it again."

    def shallow(self, by: float, planned: float) -> str:
        """Return what to do with a hole that is less deep than planned."""
        return f"It is {self._mm(by)} less deep than planned: dig on to {self._mm(planned)}."

    def deeper(self, by: float, *, caged: bool, poured: bool) -> str:
        """Return that a deeper hole may be filled, and how."""
        if poured:
            return f"It is {self._mm(by)} deeper than planned, which is fine."
        hung = ", and hang the cage from the top" if caged else ""
        return (
            f"It is {self._mm(by)} deeper than planned, which is fine: fill it with concrete, not with soil{hung}."
        )

    def narrow(self, found: Mapping[str, tuple[float, float]]) -> str:
        """Return what to do with a hole that is narrower than planned; by how much, and what is planned."""
        by = " and ".join(f"{self._mm(by)} at the {where}" for where, (by, _) in found.items())
        planned = dict.fromkeys(self._mm(width) for _, width in found.values())
        return f"It is narrower than planned, {by}: widen it to {' and '.join(planned)}."

    def wide(self, found: Mapping[str, float]) -> str:
        """Return that a wider hole may be filled."""
        by = " and ".join(f"{self._mm(by)} at the {where}" for where, by in found.items())
        return f"It is wider than planned, {by}, which is fine."

    def more(self, extra: float, *, poured: bool) -> str:
        """Return what a hole takes more than planned, in concrete and bags."""
        units, bag = self._plan.units, self._bag
        takes = "took" if poured else "takes"
        volume = format_volume(abs(extra), units)
        if volume == format_volume(0.0, units):
            return f"It {takes} as much concrete as planned."
        if extra < 0:
            return f"It {takes} {volume} less concrete than planned."
        count = whole_bags(extra, bag.yield_m3)
        cost = f" for {count * bag.price:,.2f}" if bag.price > 0 else ""
        return f"It {takes} {volume} more concrete than planned, up to {count} × {bag.product}{cost}."

    def off(self, pier: str, log: HoleLog, room: float, *, share: float) -> str:
        """Return what to do with a hole whose centre is farther off than the column's base allows.

        ``share`` is of its way off: by so much its side is cut back.
        """
        from layoutdesk.engine.proof.moves import Move

        index = self._pier[pier]
        station = float(self._points.station[index]) if self._has_frame else None
        size = math.hypot(log.along, log.away)
        back = self._moves.way(Move(-log.along * share, -log.away * share), station)
        return (
            f"Its centre is {self._mm(size)} off, and the column's base allows {self._mm(room)}: cut its side back"
            f" by {back}."
        )

    def off_within(self, log: HoleLog, room: float) -> str:
        """Return that the base of the column stays within the concrete."""
        size = math.hypot(log.along, log.away)
        return (
            f"Its centre is {self._mm(size)} off, and the column's base allows {self._mm(room)}: set the base where"
            " it is planned, not in the middle of the hole."
        )

    def water(self, depth: float) -> str:
        """Return what to do with water in a hole."""
        return f"Water stands {self._mm(depth)} deep in it: pump it out, take out the mud, and pour the same day."

    def joined(self, mend: Sequence[str], good: Sequence[str], *, poured: bool) -> str:
        """Return all that is said of a hole, what is to be mended first."""
        if poured and mend:
            first = "It is poured as it was: ask the designer and the inspector before anything stands on it."
            return " ".join((first, *mend))
        return " ".join((*mend, *good)) or "It is as planned."

    def _mm(self, value: float) -> str:
        return shown_small(value, self._plan)
