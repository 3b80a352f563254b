"""Chains of dimensions: those that follow one another end to end, and the overall one that they must add up to.

A chain is recognised by its places, never by its numbers, so that a wrong number does not hide it. Sorting makes
it n log n: thousands of dimensions are no trouble.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, cos, degrees, radians, sin
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, distance, dot, left, plus, times
from layoutdesk.importers.written import read_written
from layoutdesk.plan.model import Chain, Written
from layoutdesk.plan.rules import wrong_chain

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SAME_TURN: Final = 0.05
"""In degrees: dimensions of a chain run in one direction."""
MEET_MM: Final = 5.0
"""Ends that lie so near to one another along the chain meet: a drafter's snap, or a page's rounding."""
SAME_LINE_MM: Final = 30.0
"""Dimension lines so near to one another are one."""
MOST_OVER: Final = 4
"""Running dimensions begin at one place: only so many of them, the longest, are taken for overall ones there."""


@dataclass(frozen=True, slots=True)
class _Laid:
    """A dimension laid out on its direction: between which stations (their clusters), on which line."""

    index: int
    start: int
    end: int
    line: int
    length: float
    turned: bool


def chains_between(written: Sequence[Written], line_at: Sequence[Vector | None]) -> tuple[Chain, ...]:
    """Return the chains among dimensions, those with an overall dimension first at each place.

    Args:
        written: dimensions in mm on the ground.
        line_at: a point of the dimension line of each, None where it is not known: then the places that it joins
            must meet those of its neighbours.
    """
    found = [chain for w in written if (chain := _repeated(w)) is not None]
    for members in _directions(written):
        found += _in_one_direction(written, line_at, members)
    return tuple(chain for chain in found if not wrong_chain(chain.parts, chain.overall))


def _repeated(written: Written) -> Chain | None:
    """Return the chain that one text writes: ``4 @ 8'-2" = 32'-8"``."""
    said = read_written(written.text, None)
    if said is None or said.overall is None or said.value is None or not said.overall:
        return None
    size = written.value / abs(said.overall) if said.bare else 1.0
    return Chain(
        id="",
        parts=(abs(said.value) * size,) * said.count,
        overall=abs(said.overall) * size,
        start=written.start,
        end=written.end,
        text=written.text,
        step=written.step,
    )


def _turn(written: Written) -> float:
    """Return the direction of a dimension, from 0 up to 180 degrees."""
    if written.along is not None:
        return written.along % 180
    return degrees(atan2(written.end[1] - written.start[1], written.end[0] - written.start[0])) % 180


def _directions(written: Sequence[Written]) -> Iterator[list[int]]:
    """Yield the dimensions of each direction, by index."""
    straight = [i for i, w in enumerate(written) if w.kind == "distance" and distance(w.start, w.end) > MEET_MM]
    turns = sorted((_turn(written[i]), i) for i in straight)
    if not turns:
        return
    runs = [[turns[0][1]]]
    for (before, _), (turn, i) in pairwise(turns):
        if turn - before > SAME_TURN:
            runs.append([])
        runs[-1].append(i)
    if len(runs) > 1 and turns[0][0] + 180 - turns[-1][0] <= SAME_TURN:
        runs[0] += runs.pop()
    yield from (run for run in runs if len(run) > 1)


def _clusters(values: NDArray[np.float64], gap: float) -> NDArray[np.int64]:
    """Return for each value the number of its cluster; clusters lie farther than ``gap`` from one another."""
    import numpy as np

    order = np.argsort(values, kind="stable")
    number = np.concatenate([[0], np.cumsum(np.diff(values[order]) > gap)])
    found = np.empty(len(values), dtype=np.int64)
    found[order] = number
    return found


def _in_one_direction(
    written: Sequence[Written], line_at: Sequence[Vector | None], members: list[int]
) -> Iterator[Chain]:
    import numpy as np

    turn = radians(_turn(written[members[0]]))
    way = (cos(turn), sin(turn))
    square = left(way)
    starts = np.array([written[i].start for i in members])
    ends = np.array([written[i].end for i in members])
    known = np.array([line_at[i] is not None for i in members])
    on_line = np.array([line_at[i] or written[i].start for i in members])
    n = len(members)
    places = np.concatenate([starts, ends])
    station = _clusters(places @ way, MEET_MM)
    across = _clusters(places @ square, MEET_MM)
    line = _clusters(on_line @ square, SAME_LINE_MM)
    lengths = (ends - starts) @ way
    laid: list[_Laid] = []
    parts: dict[tuple[str | int, ...], list[_Laid]] = defaultdict(list)
    for k in range(n):
        first, last = (k, n + k) if lengths[k] >= 0 else (n + k, k)
        if station[first] == station[last]:
            continue
        one = _Laid(
            members[k],
            int(station[first]),
            int(station[last]),
            int(line[k]) if known[k] else -1,
            abs(float(lengths[k])),
            bool(lengths[k] < 0),
        )
        laid.append(one)
        # Without its line, a dimension follows another where their very places meet.
        begin: tuple[int, ...] = (one.line, one.start) if known[k] else (-1, one.start, int(across[first]))
        stop: tuple[int, ...] = (one.line, one.end) if known[k] else (-1, one.end, int(across[last]))
        parts[("from", *begin)].append(one)
        parts[("to", *stop)].append(one)
    over: dict[int, list[_Laid]] = defaultdict(list)
    for one in sorted(laid, key=lambda o: -o.length):
        over[one.start].append(one)
    sheet = _Sheet(written, line_at, way, square)
    for run in _runs(parts):
        yield from _chains_of_run(sheet, run, over)


def _runs(parts: dict[tuple[str | int, ...], list[_Laid]]) -> Iterator[list[_Laid]]:
    """Yield dimensions that follow one another: of those that begin or end at a place, the shortest counts."""
    after: dict[int, _Laid] = {}
    before: set[int] = set()
    shortest = {key: min(ones, key=lambda o: (o.length, o.index)) for key, ones in parts.items()}
    for key, first in shortest.items():
        if key[0] == "to" and (following := shortest.get(("from", *key[1:]))) is not None:
            after[first.index] = following
            before.add(following.index)
    heads = [one for key, one in shortest.items() if key[0] == "from" and one.index not in before]
    for head in sorted(heads, key=lambda o: o.index):
        run = [head]
        while (following := after.get(run[-1].index)) is not None:
            run.append(following)
        if len(run) > 1:
            yield run


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The dimensions of one direction, with its unit vector and the one square from it."""

    written: Sequence[Written]
    line_at: Sequence[Vector | None]
    way: Vector
    square: Vector


def _chains_of_run(sheet: _Sheet, run: list[_Laid], over: dict[int, list[_Laid]]) -> Iterator[Chain]:
    """Yield a chain for each overall dimension over parts of a run, or the run alone where there is none."""
    here = {one.index for one in run}
    ends = {one.end: k for k, one in enumerate(run)}
    found = False
    seen: set[tuple[int, int, float]] = set()
    for k, first in enumerate(run):
        spanning = [o for o in over[first.start] if o.index not in here and ends.get(o.end, -1) > k]
        for whole in spanning[:MOST_OVER]:
            last = ends[whole.end]
            value = sheet.written[whole.index].value
            if (k, last, value) not in seen:
                seen.add((k, last, value))
                found = True
                yield _chain(sheet, run[k : last + 1], value)
    if not found:
        yield _chain(sheet, run, None)


def _chain(sheet: _Sheet, run: list[_Laid], overall: float | None) -> Chain:
    written, way, square = sheet.written, sheet.way, sheet.square
    first, last = written[run[0].index], written[run[-1].index]
    begin = first.end if run[0].turned else first.start
    stop = last.start if run[-1].turned else last.end
    across = dot(sheet.line_at[run[0].index] or begin, square)
    start, end = (plus(times(way, dot(place, way)), times(square, across)) for place in (begin, stop))
    return Chain(
        id="",
        parts=tuple(written[one.index].value for one in run),
        overall=overall,
        start=start,
        end=end,
        step=max(written[one.index].step for one in run),
    )
