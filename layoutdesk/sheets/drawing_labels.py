"""Where names stand on a plan drawing: each at the first of its wished places that is not written over."""

from __future__ import annotations

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
_LATER_PLACE: Final = 0.01
"""What it costs to write over text, a symbol or a line, and to take a place one further down the wishes."""
_AROUND_MM: Final = 2.0
"""Room round the text of a dimension, on paper, so that a name beside it is not read as part of it."""


@dataclass(frozen=True, slots=True)
class Wish:
    """A name that wants to stand at one of some places of the plan, the best first; ``height`` in plan mm."""

    text: str
    height: float
    places: tuple[tuple[Vector, Anchor], ...]
    role: Role = "text"
    strong: bool = False


def label_box(label: Label, page_turn: float) -> tuple[float, float, float, float]:
    """Return what a label that is not turned on the page covers: x and y of two corners, in page axes."""
    x, y = turned(label.at, -page_turn)
    wide = text_width(label.text, label.height)
    x -= {"start": 0.0, "middle": wide / 2, "end": wide}[label.anchor]
    y -= label.height / 2 if label.centred else 0.0
    return x, y, x + wide, y + label.height


def placed_labels(wishes: Sequence[Wish], dimensions: Sequence[Measured], scene: Scene) -> tuple[Label, ...]:
    """Return a label for each wish, in the order given: centred on its height, reading along the page."""
    if not wishes:
        return ()
    import numpy as np
    import shapely

    labels = [
        [
            Label(at, wish.text, wish.height, wish.role, anchor, centred=True, turn=scene.turn, strong=wish.strong)
            for at, anchor in wish.places
        ]
        for wish in wishes
    ]
    room = 0.3 * scene.ratio
    corners = np.array([label_box(label, scene.turn) for tries in labels for label in tries])
    boxes = shapely.box(*(corners + np.array([-room, -room, room, room])).T)
    first = np.cumsum([0] + [len(tries) for tries in labels])
    cost = np.concatenate([np.arange(len(tries)) * _LATER_PLACE for tries in labels])
    things, weight = _obstacles(dimensions, scene)
    if things:
        tried, met = shapely.STRtree(things).query(boxes, predicate="intersects")
        np.add.at(cost, tried, np.asarray(weight)[met])
    rivals = _rivals(boxes)
    chosen: list[Label] = []
    for i, tries in enumerate(labels):
        best = int(first[i] + np.argmin(cost[first[i] : first[i + 1]]))
        chosen.append(tries[best - first[i]])
        cost[rivals[best]] += _OVER_TEXT
    return tuple(chosen)


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
    texts = []
    for label in labels:
        x0, y0, x1, y1 = label_box(label, turn)
        ring = ((x0 - room, y0 - room), (x1 + room, y0 - room), (x1 + room, y1 + room), (x0 - room, y1 + room))
        texts.append(shapely.Polygon([turned(p, turn) for p in ring]))
    texts += [shapely.Polygon(text_ring(m, ratio, room)) for m in dimensions]
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
    texts = [shapely.Polygon([turned(p, -scene.turn) for p in text_ring(m, scene.ratio, room)]) for m in dimensions]
    centres = [turned(centre, -scene.turn) for centre, _ in scene.rounds]
    rounds = [shapely.box(x - r, y - r, x + r, y + r) for (x, y), (_, r) in zip(centres, scene.rounds, strict=True)]
    weight = [_OVER_LINE] * len(lines) + [_OVER_SYMBOL] * len(rounds) + [_OVER_TEXT] * len(texts)
    return [*lines, *rounds, *texts], weight
