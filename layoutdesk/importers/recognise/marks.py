"""Marks: which text belongs to which spot, each text once, at the least distance in all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from layoutdesk.importers.linework import Linework, Words
from layoutdesk.importers.recognise.ground import REACH_MM, Floats, Ground, Ints
from layoutdesk.importers.recognise.hints import family_of, mark_of
from layoutdesk.importers.recognise.spots import Spot

_REACH: Final = 3.5
"""How far a mark may stand from its spot's edge, in heights of its letters."""
_LEADER: Final = 0.9
"""What a mark at the end of a leader costs, in heights of its letters."""
_ALONE: Final = 9.0
"""What a spot without a mark costs."""
_NEAREST: Final = 8
_TAGS: Final = ("MARK", "NO", "NUMBER", "NUM", "ID", "NAME", "TAG", "PIER", "LABEL")


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts:
    """The texts of a drawing on the ground: where their boxes lie, and what marks they are."""

    words: tuple[Words, ...]
    marks: tuple[str, ...]
    families: tuple[str, ...]
    at: Floats
    way: Floats
    middle: Floats
    height: Floats
    width: Floats

    def away(self, text: Ints, places: Floats) -> Floats:
        """Return how far places lie from the boxes of texts, one by one; 0 inside."""
        off = places - self.at[text]
        way, width, height = self.way[text], self.width[text], self.height[text]
        forth = off[:, 0] * way[:, 0] + off[:, 1] * way[:, 1]
        up = way[:, 0] * off[:, 1] - way[:, 1] * off[:, 0]
        dx = np.maximum(np.maximum(-forth, forth - width), 0.0)
        dy = np.maximum(np.maximum(-up, up - height), 0.0)
        far: Floats = np.hypot(dx, dy)
        return far


def texts_of(linework: Linework, ground: Ground) -> Texts:
    """Return the texts of a drawing on the ground; attributes of blocks too."""
    hidden = set(linework.frozen)
    words = tuple(w for w in linework.words if w.layer not in hidden and w.text.strip() and _within(w, ground))
    count = len(words)
    at = np.array([ground.place(w.at) for w in words]).reshape(count, 2)
    height = np.array([max(w.height * ground.scale, 1e-3) for w in words])
    width = np.array([w.width * ground.scale or 0.7 * len(w.text) * w.height * ground.scale for w in words])
    turn = np.radians(np.array([w.turn for w in words]))
    way = np.stack((np.cos(turn), np.sin(turn)), axis=1).reshape(count, 2)
    up = np.stack((-way[:, 1], way[:, 0]), axis=1)
    marks = tuple(mark_of(w.text) for w in words)
    return Texts(
        words=words,
        marks=marks,
        families=tuple(family_of(m) if m else "" for m in marks),
        at=at,
        way=way,
        middle=at + way * (width / 2)[:, None] + up * (height / 2)[:, None],
        height=height,
        width=width,
    )


def _within(words: Words, ground: Ground) -> bool:
    """Return whether a text lies where the drawing does, and is of some size."""
    near = all(abs(v) <= REACH_MM for v in ground.place(words.at))
    sizes = words.height * ground.scale, words.width * ground.scale
    return near and all(0 <= size <= REACH_MM for size in sizes) and abs(words.turn) < 1e6


def marks_for(linework: Linework, ground: Ground, spots: Sequence[Spot], texts: Texts) -> list[tuple[str, int]]:
    """Return the mark of each spot and the text that it is (-1 for an attribute); empty where it has none."""
    found = [("", -1)] * len(spots)
    tagged = _attributes(linework)
    open_spots = []
    for i, one in enumerate(spots):
        mark = _attribute(linework, tagged, one)
        if mark:
            found[i] = (mark, -1)
        else:
            open_spots.append(i)
    wanted = np.array([t for t, mark in enumerate(texts.marks) if mark and not texts.words[t].tag], np.intp)
    if not open_spots or not len(wanted):
        return found
    at = np.array([spots[i].at for i in open_spots])
    half = np.array([max(spots[i].size, spots[i].width) / 2 for i in open_spots])
    spot, text, cost = _pairs(ground, at, half, wanted, texts)
    if not len(spot):
        return found
    families = np.array([texts.families[t] for t in range(len(texts.words))], dtype=object)
    for name in dict.fromkeys(families[text].tolist()):
        of = families[text] == name
        share = min(1.0, min(len(np.unique(spot[of])), len(np.unique(text[of]))) / len(open_spots))
        cost[of] += 2.5 * (1.0 - share)
    for s, t in _assigned(spot, text, cost):
        found[open_spots[s]] = (texts.marks[t], t)
    return found


def _attributes(linework: Linework) -> dict[int, list[Words]]:
    by_use: dict[int, list[Words]] = {}
    for words in linework.words:
        if words.use is not None and words.tag and words.text.strip():
            by_use.setdefault(words.use, []).append(words)
    return by_use


def _attribute(linework: Linework, tagged: dict[int, list[Words]], spot: Spot) -> str:
    """Return the attribute of a spot's block, or of a block round it, that is its mark."""
    use: int | None = spot.use if spot.use >= 0 else None
    for _ in range(8):
        if use is None or use >= len(linework.uses):
            break
        words = tagged.get(use, [])
        for tag in _TAGS:
            if value := next((w.text.strip() for w in words if w.tag.upper() == tag), ""):
                return value
        if value := next((m for w in words if (m := mark_of(w.text))), ""):
            return value
        use = linework.uses[use].inside
    return ""


def _pairs(ground: Ground, at: Floats, half: Floats, wanted: Ints, texts: Texts) -> tuple[Ints, Ints, Floats]:
    """Return which spots and texts may belong together, and what each pair costs in heights of letters."""
    from scipy.spatial import KDTree

    size = texts.height[wanted]
    reach = float((_REACH * size + texts.width[wanted]).max() + 1.6 * half.max())
    near = KDTree(at).sparse_distance_matrix(
        KDTree(texts.middle[wanted]),
        min(reach, 40.0 * float(np.median(size)) + 1.6 * float(half.max())),
        output_type="coo_matrix",
    )
    spot, text = near.row.astype(np.intp), wanted[near.col]
    away = np.maximum(texts.away(text, at[spot]) - half[spot], 0.0)
    kept = away <= _REACH * texts.height[text] + 0.6 * half[spot]
    spot, text = spot[kept], text[kept]
    # Next to nothing for how far the middle lies: of two texts beside a spot the nearer one is its own.
    middle = np.hypot(*(texts.middle[text] - at[spot]).T) / (half[spot] + 6 * texts.height[text])
    cost = away[kept] / texts.height[text] + middle
    led_spot, led_text = _led(ground, at, half, wanted, texts)
    spot, text = np.concatenate((spot, led_spot)), np.concatenate((text, led_text))
    cost = np.concatenate((cost, np.full(len(led_spot), _LEADER)))
    order = np.lexsort((cost, text, spot))
    spot, text, cost = spot[order], text[order], cost[order]
    first = np.ones(len(spot), np.bool_)
    first[1:] = (np.diff(spot) != 0) | (np.diff(text) != 0)
    return spot[first], text[first], cost[first]


def _led(ground: Ground, at: Floats, half: Floats, wanted: Ints, texts: Texts) -> tuple[Ints, Ints]:
    """Return spots and texts that a leader joins: a short open run from beside the text to the spot."""
    from scipy.spatial import KDTree

    sizes = np.diff(ground.first)
    height = float(np.median(texts.height[wanted]))
    with np.errstate(invalid="ignore"):
        span = np.hypot(*(ground.high - ground.low).T)
        runs = np.flatnonzero(
            ground.live
            & ~ground.closed
            & ~ground.dashed
            & (sizes >= 2)
            & (sizes <= 12)
            & (span > 0.5 * height)
            & (span < 40 * height)
        )
    if not len(runs):
        return np.empty(0, np.intp), np.empty(0, np.intp)
    ends = np.stack((ground.points[ground.first[runs]], ground.points[ground.first[runs + 1] - 1]), axis=1)
    texts_near = KDTree(texts.middle[wanted])
    reach = 2 * height + float(texts.width[wanted].max())
    spots_near = KDTree(at)
    found: list[tuple[int, int]] = []
    for tail in (0, 1):
        far, spot = spots_near.query(ends[:, 1 - tail])
        beyond = np.hypot(*(ends[:, tail] - at[spot]).T) > half[spot] * 1.15
        hits = np.flatnonzero((far <= half[spot] * 1.15 + 0.3 * height) & beyond)
        near_text = dict(
            zip(
                hits.tolist(), texts_near.query_ball_point(ends[hits, tail], reach, return_sorted=True), strict=True
            )
        )
        for run in hits.tolist():
            end = ends[run, tail]
            for near in near_text[run]:
                text = int(wanted[near])
                if texts.away(np.array([text]), end[None])[0] <= 1.3 * texts.height[text]:
                    found.append((int(spot[run]), text))
    pairs = np.array(sorted(set(found)), np.intp).reshape(-1, 2)
    return pairs[:, 0], pairs[:, 1]


def _assigned(spot: Ints, text: Ints, cost: Floats) -> list[tuple[int, int]]:
    """Return which spot has which text, so that all together cost least; parts that share nothing apart."""
    from scipy.optimize import linear_sum_assignment
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    order = np.lexsort((cost, spot))
    rank = np.arange(len(order)) - np.searchsorted(spot[order], spot[order])
    order = order[rank < _NEAREST]
    spot, text, cost = spot[order], text[order], cost[order]
    _, s = np.unique(spot, return_inverse=True)
    _, t = np.unique(text, return_inverse=True)
    s, t = s.reshape(-1), t.reshape(-1)
    count = int(s.max()) + 1
    size = count + int(t.max()) + 1
    part = connected_components(coo_array((np.ones(len(s)), (s, t + count)), shape=(size, size)), directed=False)[
        1
    ][s]
    by_part = np.argsort(part, kind="stable")
    found: list[tuple[int, int]] = []
    for group in np.split(by_part, np.flatnonzero(np.diff(part[by_part])) + 1):
        if len(group) == 1:
            found.append((int(spot[group[0]]), int(text[group[0]])))
            continue
        rows, i = np.unique(spot[group], return_inverse=True)
        columns, j = np.unique(text[group], return_inverse=True)
        table = np.full((len(rows), len(columns) + len(rows)), 1e6)
        table[i.reshape(-1), j.reshape(-1)] = cost[group]
        table[:, len(columns) :] = _ALONE
        for row, column in zip(*linear_sum_assignment(table), strict=True):
            if column < len(columns) and table[row, column] < 1e6:
                found.append((int(rows[row]), int(columns[column])))
    return found
