"""Everything of a drawing that is proposed for nothing: the person may point at it and say what it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

import numpy as np

from layoutdesk.importers.proposal import Candidate, Group
from layoutdesk.importers.recognise.areas import circle_run, places_of
from layoutdesk.importers.recognise.ground import Ground, Ints

LARGE_CIRCLE_MM: Final = 300.0
_KINDS: Final = ("lines", "runs of lines", "outlines", "arcs", "circles")


def rest_of(ground: Ground, shapes: Ints, groups: dict[str, Group]) -> Iterator[Candidate]:
    """Yield a candidate for each shape; lines and runs as they are drawn, circles with their size."""
    if not len(shapes):
        return
    sizes = np.diff(ground.first)
    kind = np.where(
        ground.circle, 4, np.where(ground.arc, 3, np.where(ground.closed, 2, np.where(sizes > 2, 1, 0)))
    )[shapes].tolist()
    middle = np.where(ground.circle[:, None], ground.centre, (ground.low + ground.high) / 2)[shapes].tolist()
    layers = ground.layer[shapes].tolist()
    radius = ground.radius[shapes].tolist()
    closed = ground.closed[shapes].tolist()
    flat = list(map(tuple, ground.points.tolist()))
    first = ground.first.tolist()
    keys: dict[tuple[int, int], str] = {}
    for n, shape in enumerate(shapes.tolist()):
        pair = (kind[n], layers[n])
        if pair not in keys:
            layer = ground.layers[layers[n]]
            keys[pair] = f"{_KINDS[kind[n]]}|{layer}"
            groups.setdefault(keys[pair], Group(key=keys[pair], what=_KINDS[kind[n]], layer=layer))
        x, y = middle[n]
        circle = kind[n] == 4
        run = tuple(flat[first[shape] : first[shape + 1]])
        if circle and 2 * radius[n] >= LARGE_CIRCLE_MM:
            run = places_of(circle_run((x, y), 2 * radius[n]))
        yield Candidate(
            becomes="nothing",
            group=keys[pair],
            layer=ground.layers[layers[n]],
            centre=(x, y),
            run=run,
            closed=closed[n] or circle,
            size=2 * radius[n] if circle else 0.0,
            shapes=(shape,),
            sure=0.5,
        )
