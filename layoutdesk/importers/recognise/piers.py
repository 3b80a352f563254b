"""Which groups of spots are piers: what speaks for them and what against."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.importers.recognise.ground import Bools, Floats, Ground, Ints
from layoutdesk.importers.recognise.hints import family_of, footing_hint, is_grid, kept_out
from layoutdesk.importers.recognise.lines import Lines, near_places
from layoutdesk.importers.recognise.marks import Texts
from layoutdesk.importers.recognise.spots import Spot

_CLOSEST: Final = 6
_IN_LINE_MM: Final = 12.0
ENOUGH: Final = 2.4
"""The points from which on a group is proposed as piers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A group of spots: its members by index, its points, and what speaks for it."""

    members: tuple[int, ...]
    points: float
    marked: float
    lined: float
    why: str

    @property
    def sure(self) -> float:
        """Return how sure it is that these are piers, from 0 to 1."""
        return float(1.0 / (1.0 + np.exp(-(self.points - ENOUGH))))


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What was found out about each spot."""

    at: Floats
    marked: Floats
    bubble: Bools
    on_line: Bools
    in_row: Bools
    indoors: Bools
    named: tuple[str, ...]


def judged(spots: Sequence[Spot], groups: Sequence[Sequence[int]], evidence: Evidence) -> list[Judged]:
    """Return every group with its points, compared with the others."""
    first = [_judge(spots, members, evidence) for members in groups]
    good = [g for g in first if g.points >= ENOUGH]
    marked = max((g.marked for g in good), default=0.0) >= 0.6
    lined = max((g.lined for g in good), default=0.0) >= 0.8
    after: list[Judged] = []
    for group in first:
        plain = _hint(spots[group.members[0]]) <= 0
        quiet = plain and ((marked and group.marked < 0.5) or (lined and group.lined < 0.5 and group.marked < 0.5))
        after.append(
            Judged(
                members=group.members,
                points=group.points - (2.0 if quiet else 0.0),
                marked=group.marked,
                lined=group.lined,
                why=group.why,
            )
        )
    return after


def _hint(spot: Spot) -> int:
    """Return what the names of the layer and the block say together."""
    layer, block = footing_hint(spot.layer), footing_hint(spot.block) if spot.block else 0
    return (
        -1
        if min(layer, block) < 0 and max(layer, block) <= 0
        else max(layer, block)
        if min(layer, block) == 0
        else 0
        if layer != block
        else layer
    )


def _judge(spots: Sequence[Spot], members: Sequence[int], evidence: Evidence) -> Judged:
    some = list(members)
    one = spots[some[0]]
    count = len(some)
    points, why = 0.0, []
    size = one.size or one.width
    points += 1.0 if 195 <= size <= 1010 else 0.0 if 100 <= size <= 1500 else -1.5 if 60 <= size <= 2000 else -3.0
    if one.kind == "rectangle":
        points -= 0.7
    elif one.kind == "symbol":
        points -= 1.5
    points += 1.0 if count >= 4 else 0.4 if count >= 2 else -0.8
    if count >= 4:
        why.append(f"{count} alike")
    rows = float(evidence.in_row[some].mean())
    points += 1.2 * rows
    if rows > 0.5:
        why.append("in rows")
    if hint := _hint(one):
        points += 2.5 * hint
        if hint > 0:
            why.append("by the name of the layer or block")
    marked = float(evidence.marked[some].mean())
    points += 2.2 * marked
    if marked > 0.5:
        why.append("with marks")
    on_line = float(evidence.on_line[some].mean())
    points += 1.2 * on_line
    if on_line > 0.5:
        why.append("on a line")
    points -= 6.0 * float(evidence.bubble[some].mean())
    points -= 6.0 * float(evidence.indoors[some].mean())
    points -= 4.0 * float(np.mean([evidence.named[i] != "" for i in some]))
    points -= 3.0 * min(1.0, float(np.mean([spots[i].within - 1 for i in some])))
    return Judged(members=tuple(some), points=points, marked=marked, lined=on_line, why=", ".join(why))


def evidence_of(
    ground: Ground,
    spots: Sequence[Spot],
    groups: Sequence[Sequence[int]],
    *,
    marks: Sequence[tuple[str, int]],
    texts: Texts,
    lines: Lines,
) -> Evidence:
    """Return what is known about each spot, save what lies indoors."""
    at = np.array([s.at for s in spots]).reshape(-1, 2)
    half = np.array([s.size / 2 for s in spots])
    in_row = np.zeros(len(spots), np.bool_)
    for members in groups:
        in_row[list(members)] = _in_rows(at[list(members)])
    bubble, on_line = _on_lines(ground, at, half, groups, lines)
    inside, held = _text_inside(at, half, texts)
    return Evidence(
        at=at,
        marked=_marked(marks),
        bubble=(bubble & (inside >= 0)) | (held >= 2),
        on_line=on_line,
        in_row=in_row,
        indoors=np.zeros(len(spots), np.bool_),
        named=tuple(kept_out(texts.words[t].text) if t >= 0 else "" for t in inside.tolist()),
    )


def _in_rows(at: Floats) -> Bools:
    """Return which places lie on a straight line with two others near them, or square from two of them."""
    from scipy.spatial import KDTree

    count = len(at)
    if count < 3:
        return np.zeros(count, np.bool_)
    near = min(count, 24)
    far, others = KDTree(at).query(at, k=near)
    off = at[others[:, 1:]] - at[:, None, :]
    angle = np.where(far[:, 1:] > 1.0, np.mod(np.arctan2(off[..., 1], off[..., 0]) + 1e-3, np.pi), np.nan)
    close = angle[:, :_CLOSEST]
    with np.errstate(invalid="ignore"):
        square = (np.abs(np.abs(close[:, :, None] - close[:, None, :]) - np.pi / 2) < 1e-3).any(axis=(1, 2))
    angle.sort(axis=1)
    with np.errstate(invalid="ignore"):
        rows: Bools = np.asarray((np.diff(angle, axis=1) < 2e-3).any(axis=1) | square, np.bool_)
    return rows


def _on_lines(
    ground: Ground, at: Floats, half: Floats, groups: Sequence[Sequence[int]], lines: Lines
) -> tuple[Bools, Bools]:
    """Return which spots are bubbles at the end of a line through others, and which lie on a line with others."""
    bubble, on_line = np.zeros(len(at), np.bool_), np.zeros(len(at), np.bool_)
    lines = lines.only(np.flatnonzero(lines.length >= 1000.0))
    spot, line = near_places(lines, at, 1.1 * half + 5.0)
    if not len(spot):
        return bubble, on_line
    group = np.empty(len(at), np.intp)
    for number, members in enumerate(groups):
        group[list(members)] = number
    off, way, size, r = at[spot] - lines.a[line], lines.way[line], lines.length[line], half[spot]
    forth = off[:, 0] * way[:, 0] + off[:, 1] * way[:, 1]
    near = np.abs(way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0]) <= 0.04 * r + 2.0
    rim = near & ((np.abs(forth + r) <= 0.06 * r + 2.0) | (np.abs(forth - size - r) <= 0.06 * r + 2.0))
    held = near & ~rim
    on_line[spot[held & (np.bincount(line[held], minlength=len(lines.a))[line] >= 2)]] = True
    through = held & (forth > 0.5 * r - 5.0) & (forth < size - 0.5 * r + 5.0)
    for k in np.unique(line[rim]).tolist():
        of = line == k
        ends, crossed = spot[of & rim], spot[of & through]
        if is_grid(ground.layers[lines.layer[k]]) or not np.isin(group[crossed], group[ends]).all():
            bubble[ends] = True
    on_line[_between(spot, way, forth, size, off)] = True
    return bubble, on_line


def _between(spot: Ints, way: Floats, forth: Floats, size: Floats, off: Floats) -> Ints:
    """Return the spots that lie in the middle between two lines, as piers under a beam do."""
    left = way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0]
    kept = (forth > -1.0) & (forth < size + 1.0) & (np.abs(left) > 15.0)
    turn = np.mod(np.arctan2(way[:, 1], way[:, 0]) + 1e-3, 2 * np.pi)
    side = np.where(turn >= np.pi, -left, left)
    key = np.stack((spot, np.round(np.mod(turn, np.pi) * 500), np.round(np.abs(left) / 2 + 0.137)), axis=1)[kept]
    if not len(key):
        return spot[:0]
    _, number = np.unique(key, axis=0, return_inverse=True)
    number = number.reshape(-1)
    both = np.bincount(number, side[kept] > 0).astype(np.bool_) & np.bincount(number, side[kept] < 0).astype(
        np.bool_
    )
    return np.unique(spot[kept][both[number]])


def _marked(marks: Sequence[tuple[str, int]]) -> Floats:
    """Return how much each mark counts: fully when two others are of its sort."""
    families = [family_of(mark) if mark else "" for mark, _ in marks]
    often = Counter(families)
    counts: Floats = np.array(
        [0.0 if not name else 1.0 if often[name] >= 3 else 0.35 for name in families], np.float64
    )
    return counts


def _text_inside(at: Floats, half: Floats, texts: Texts) -> tuple[Ints, Ints]:
    """Return the text in the middle of each spot, -1 where there is none, and how many texts lie in it."""
    from scipy.spatial import KDTree

    if not len(texts.words) or not len(at):
        return np.full(len(at), -1), np.zeros(len(at), np.intp)
    tree = KDTree(texts.middle)
    far, text = tree.query(at)
    held = tree.query_ball_point(at, 0.85 * half, return_length=True)
    return np.where(far <= np.maximum(0.75 * half, 1.0), text, -1), np.asarray(held, np.intp)


def straying(at: Floats, kept: Bools) -> Bools:
    """Return which piers stand far from all others and in line with none: those of a legend.

    Args:
        at: the middles of all piers.
        kept: those that something else speaks for, a mark or a line.
    """
    from scipy.spatial import KDTree

    if len(at) < 4:
        return np.zeros(len(at), np.bool_)
    far, near = KDTree(at).query(at, k=2)
    off = at[near[:, 1]] - at
    turns = np.sort(np.mod(np.arctan2(off[:, 1], off[:, 0]) + 1e-3, np.pi / 2) - 1e-3)
    turn = float(turns[len(turns) // 2])
    alone = far[:, 1] > 1.15 * np.sort(far[:, 1])[int(0.8 * (len(at) - 1))]
    for way in (np.array([np.cos(turn), np.sin(turn)]), np.array([-np.sin(turn), np.cos(turn)])):
        along = at @ way
        order = np.argsort(along)
        gaps = np.diff(along[order]) <= _IN_LINE_MM
        lined = np.zeros(len(at), np.bool_)
        lined[order[1:]] |= gaps
        lined[order[:-1]] |= gaps
        alone &= ~lined
    stray: Bools = alone & ~kept
    return stray
