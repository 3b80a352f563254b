"""Where names stand on a plan drawing: each at the first of its wished places that is not written over."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from layoutdesk.geometry.vector import Vector, length, minus, plus, times, turned, unit
from layoutdesk.sheets.drawing_clear import Scene
from layoutdesk.sheets.drawing_dimensions import text_ring, text_width
from layoutdesk.sheets.drawing_marks import BEYOND_MM, Filling, Label, Measured, Pattern, Role
from layoutdesk.sheets.marks import Anchor

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

_OVER_TEXT: Final = 10.0
_OVER_SYMBOL: Final = 4.0
_OVER_LINE: Final = 1.0
_LEFT_OF: Final[dict[Anchor, float]] = {"start": 0.0, "middle": 0.5, "end": 1.0}
_LATER_PLACE: Final = 0.01
"""What it costs to write over text, a symbol or a line, and to take a place one further down the wishes."""
_AROUND_MM: Final = 2.0
"""Room round the text of a dimension, on paper, so that a name beside it is not read as part of it."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A name that wants to stand at one of some places of the plan, the best first; ``height`` in plan mm.

    One that is not ``needed`` is left out where it could only stand over other text.
    """

    text: str
    height: float
    places: tuple[tuple[Vector, Anchor], ...]
    role: Role = "text"
    strong: bool = False
    needed: bool = True


def placed_labels(
    wishes: Sequence[Wish], dimensions: Sequence[Measured], scene: Scene
) -> tuple[tuple[Label, ...], int]:
    """Return the labels in the order of their wishes, and how many stand over other text all the same.

    Labels are centred on their height and read along the page.
    """
    if not wishes:
        return (), 0
    import numpy as np
    import shapely

    counts = np.array([len(wish.places) for wish in wishes])
    first = np.concatenate([[0], np.cumsum(counts)])
    boxes = shapely.box(*_boxes(wishes, counts, scene).T)
    cost = (np.arange(first[-1]) - np.repeat(first[:-1], counts)) * _LATER_PLACE
    things, weight = _obstacles(dimensions, scene)
    if things:
        tried, met = shapely.STRtree(things).query(boxes, predicate="intersects")
        np.add.at(cost, tried, np.asarray(weight)[met])
    rivals = _rivals(boxes)
    labels: list[Label] = []
    crowded = 0
    for i, wish in enumerate(wishes):
        best = int(first[i] + np.argmin(cost[first[i] : first[i + 1]]))
        over = bool(cost[best] >= _OVER_TEXT)
        if over and not wish.needed:
            continue
        crowded += over
        cost[rivals[best]] += _OVER_TEXT
        at, anchor = wish.places[best - first[i]]
        labels.append(
            Label(at, wish.text, wish.height, wish.role, anchor, centred=True, turn=scene.turn, strong=wish.strong)
        )
    return tuple(labels), crowded


def _boxes(wishes: Sequence[Wish], counts: NDArray[np.intp], scene: Scene) -> NDArray[np.float64]:
    """Return what each wished place would cover, with a little room, in page axes: x and y of two corners."""
    import numpy as np

    c, s = math.cos(math.radians(scene.turn)), math.sin(math.radians(scene.turn))
    at = np.array([at for wish in wishes for at, _ in wish.places]) @ np.array([[c, -s], [s, c]])
    share = np.array([_LEFT_OF[anchor] for wish in wishes for _, anchor in wish.places])
    wide = np.repeat([text_width(wish.text, wish.height) for wish in wishes], counts)
    half = np.repeat([wish.height / 2 for wish in wishes], counts)
    room = 0.3 * scene.ratio
    low = at - np.column_stack([share * wide, half]) - room
    return np.hstack([low, low + np.column_stack([wide, 2 * half]) + 2 * room])


def label_ring(label: Label, room: float = 0.0) -> tuple[Vector, ...]:
    """Return the corners of a label that is centred on its height, with room round it."""
    wide = text_width(label.text, label.height)
    x, y = -_LEFT_OF[label.anchor] * wide - room, label.height / 2 + room
    corners = ((x, -y), (x + wide + 2 * room, -y), (x + wide + 2 * room, y), (x, y))
    return tuple(plus(label.at, turned(corner, label.turn)) for corner in corners)


def cleared(
    areas: Sequence[tuple[Sequence[Vector], Role, Pattern, float]],
    labels: Sequence[Label],
    dimensions: Sequence[Measured],
    scene: Scene,
) -> Iterator[Filling]:
    """Yield hatches of areas (outline, role, pattern, gap), cleared where something is written on them."""
    if not areas:
        return
    import shapely

    ratio, turn = scene.ratio, scene.turn
    room = 0.6 * ratio
    texts = [shapely.Polygon(label_ring(label, room)) for label in labels]
    texts += [shapely.Polygon(text_ring(m, room)) for m in dimensions]
    tree = shapely.STRtree(texts)
    for outline, role, pattern, gap in areas:
        shape = shapely.make_valid(shapely.Polygon(outline))
        over = [texts[i] for i in tree.query(shape)]
        for part in shapely.get_parts(shapely.difference(shape, shapely.union_all(over))):
            if part.geom_type == "Polygon" and part.area > (0.5 * ratio) ** 2:
                rings = [
                    tuple((float(x), float(y)) for x, y in r.coords[:-1]) for r in (part.exterior, *part.interiors)
                ]
                yield Filling(rings[0], role, pattern, gap, turn, tuple(rings[1:]))


def _rivals(boxes: NDArray[np.object_]) -> list[NDArray[np.intp]]:
    """Return for each box which boxes it meets."""
    import numpy as np
    import shapely

    one, other = shapely.STRtree(boxes).query(boxes)
    order = np.argsort(one, kind="stable")
    return np.split(other[order], np.searchsorted(one[order], np.arange(1, len(boxes))))


def _obstacles(dimensions: Sequence[Measured], scene: Scene) -> tuple[list[BaseGeometry], list[float]]:
    """Return what may be in the way, in page axes, and how bad it is to write over each."""
    import shapely

    runs = list(scene.lines)
    for m in dimensions:
        beyond = times(unit(minus(m.line_end, m.line_start)), BEYOND_MM * scene.ratio)
        runs.append((minus(m.line_start, beyond), plus(m.line_end, beyond)))
        for begin, end in ((m.from_start, m.line_start), (m.from_end, m.line_end)):
            out = minus(end, begin)
            if length(out) > 0:
                runs.append((begin, plus(end, times(out, BEYOND_MM * scene.ratio / length(out)))))
    room = _AROUND_MM * scene.ratio
    lines = [shapely.LineString([turned(p, -scene.turn) for p in run]) for run in runs]
    texts = [shapely.Polygon([turned(p, -scene.turn) for p in text_ring(m, room)]) for m in dimensions]
    centres = [turned(centre, -scene.turn) for centre, _ in scene.rounds]
    rounds = [shapely.box(x - r, y - r, x + r, y + r) for (x, y), (_, r) in zip(centres, scene.rounds, strict=True)]
    weight = [_OVER_LINE] * len(lines) + [_OVER_SYMBOL] * len(rounds) + [_OVER_TEXT] * len(texts)
    return [*lines, *rounds, *texts], weight
