"""The order of pulls in which a crew of two walks little.

Each pull has somebody at either end. From one pull to the next both go to an end each, whichever way round is
shorter. The order is the nearest next one from the first, bettered by turning parts of it round while that helps.
"""

from __future__ import annotations

from typing import Final

import numpy as np

from layoutdesk.engine.columns import Floats, Indices
from layoutdesk.engine.proof.candidates import Candidates

_BETTERED_UP_TO: Final = 500
"""With more pulls than this the order is left at the nearest next one."""


def in_walking_order(xy: Floats, tapes: Candidates, chosen: Indices) -> Indices:
    """Return the chosen distances in the order to pull them in.

    Args:
        xy: the places, (n, 2) in mm.
        tapes: all distances.
        chosen: the indices of those that are pulled.
    """
    if len(chosen) < 3:
        return chosen
    start, end = xy[tapes.first[chosen]], xy[tapes.second[chosen]]
    order = [0]
    left = np.ones(len(chosen), dtype=np.bool_)
    left[0] = False
    while left.any():
        here = order[-1:]
        order.append(int(np.argmin(np.where(left, walks(start[here], end[here], start, end)[0], np.inf))))
        left[order[-1]] = False
    if len(order) <= _BETTERED_UP_TO:
        order = _bettered(order, walks(start, end, start, end))
    return chosen[order]


def walks(start: Floats, end: Floats, next_start: Floats, next_end: Floats) -> Floats:
    """Return how far both people walk from each of a pulls to each of b others, (a, b) in mm.

    The ends of the pulls are (a, 2) and (b, 2).
    """

    def between(a: Floats, b: Floats) -> Floats:
        way: Floats = np.hypot(a[:, None, 0] - b[:, 0], a[:, None, 1] - b[:, 1])
        return way

    straight = between(start, next_start) + between(end, next_end)
    crossed = between(start, next_end) + between(end, next_start)
    shorter: Floats = np.minimum(straight, crossed)
    return shorter


def _bettered(order: list[int], walk: Floats) -> list[int]:
    """Return the order after turning parts of it round, as long as that makes the walk shorter."""
    count, better = len(order), True
    while better:
        better = False
        for i in range(count - 1):
            at = np.array(order)
            ends = np.arange(i + 1, count)
            before = walk[at[i - 1], at[i]] if i else 0.0
            # The walk into and out of the part from i to each end, as it is and turned round.
            after = np.append(walk[at[ends[:-1]], at[ends[:-1] + 1]], 0.0)
            into = walk[at[i - 1], at[ends]] if i else 0.0
            out_of = np.append(walk[at[i], at[ends[:-1] + 1]], 0.0)
            gain = before + after - into - out_of
            best = int(np.argmax(gain))
            if gain[best] > 1e-6:
                end = int(ends[best])
                order[i : end + 1] = order[i : end + 1][::-1]
                better = True
    return order
