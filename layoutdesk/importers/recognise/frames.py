"""Outlines that look like a house and are none: frames, paving, eaves, cars."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from layoutdesk.importers.recognise.ground import Floats, Ground
from layoutdesk.importers.recognise.hints import kept_out, says_slab
from layoutdesk.importers.recognise.lines import Pieces
from layoutdesk.importers.recognise.marks import Texts
from layoutdesk.importers.recognise.outlines import Outline, inside, ring_area

_HOUSE_MM: Final = 2500.0
"""No house is narrower than this."""
_WALL_MM: Final = 480.0
"""What is narrower than this may be a piece of wall, drawn as an outline."""
_EAVES_MM: Final = (200.0, 1000.0)
"""How far eaves reach beyond the walls; from memory."""
_MOST_WORDS: Final = 4


def no_house(ground: Ground, outlines: Sequence[Outline], pieces: Pieces, texts: Texts, piers: Floats) -> set[int]:
    """Return the shapes of outlines that are no house.

    Args:
        ground: the drawing.
        outlines: its closed outlines.
        pieces: the straight pieces that may be of walls.
        texts: its texts.
        piers: where the piers probably are; what goes round them is no house.
    """
    telling = np.array([says_slab(w.text) or bool(kept_out(w.text)) for w in texts.words], np.bool_)
    none: set[int] = set()
    for outline in outlines:
        if outline.size <= _HOUSE_MM / 2 or outline.width <= _WALL_MM or len(outline.corners) < 3:
            continue
        ring = outline.corners
        held = inside(ring, texts.middle) if len(texts.words) else telling
        if (
            (outline.kind in {"square", "rectangle"} and outline.width < _HOUSE_MM)
            or (len(piers) and inside(ring, piers).any())
            or ((held & telling).any() and held.sum() < _MOST_WORDS)
            or _is_eaves(ring, outline.shapes, pieces)
        ):
            none.update(outline.shapes)
    none.update(_round(ground, piers))
    return none


def _round(ground: Ground, piers: Floats) -> list[int]:
    """Return open runs of three sides and more that go round half of the piers, as the edge of paving does."""
    if len(piers) < 2:
        return []
    sizes = np.diff(ground.first)
    with np.errstate(invalid="ignore"):
        large = (ground.high - ground.low).min(axis=1) > _HOUSE_MM / 2
    runs = np.flatnonzero(ground.live & ~ground.closed & ~ground.arc & (sizes >= 4) & (sizes <= 40) & large)
    return [i for i in runs.tolist() if inside(ground.of(i), piers).mean() >= 0.5]


def _is_eaves(ring: Floats, shapes: tuple[int, ...], pieces: Pieces) -> bool:
    """Return whether other lines follow an outline inside, as far off as walls lie under eaves, and none nearer."""
    a, b = ring, np.roll(ring, -1, axis=0)
    if ring_area(ring) < 0:
        a, b = b, a
    size = np.hypot(*(b - a).T)
    long = size > 1500.0
    if long.sum() < 3:
        return False
    a, b, size = a[long], b[long], size[long]
    way = (b - a) / size[:, None]
    others = pieces.only(~np.isin(pieces.shape, np.array(shapes)) & (np.hypot(*(pieces.b - pieces.a).T) > 300.0))
    if not len(others.shape):
        return False
    along, inward = [], []
    for end in (others.a, others.b):
        off = end[None] - a[:, None]
        along.append(off[..., 0] * way[:, None, 0] + off[..., 1] * way[:, None, 1])
        inward.append(way[:, None, 0] * off[..., 1] - way[:, None, 1] * off[..., 0])
    low, high = np.minimum(*along), np.maximum(*along)
    shared = np.clip(np.minimum(high, size[:, None]) - np.maximum(low, 0.0), 0.0, None)
    beside = np.where(np.abs(inward[0] - inward[1]) < 2.0, inward[0], np.inf)
    within = (beside > _EAVES_MM[0]) & (beside < _EAVES_MM[1])
    close = (np.abs(beside) <= _EAVES_MM[0]) & (np.abs(beside) > 3.0)
    followed = (shared * within).sum(axis=1) > 0.4 * size
    doubled = (shared * close).sum(axis=1) > 0.4 * size
    return bool((followed & ~doubled).sum() >= max(3, int(0.75 * long.sum())))
