"""Piers: a circle at the true diameter of the top, a dashed one at the widest and a cross.

Ten thousand of them are culled and placed as columns, and each is a copy of a symbol painted once for its
detail and the scale; from far away they are dots.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Final

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QPainter, QPen, QPixmap

from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import fill, pen, stroke
from layoutdesk.desk.theme import Theme, colour
from layoutdesk.gestures.kept import Kept
from layoutdesk.plan.model import Detail, Pier, Plan

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

UNKNOWN_MM: Final = 300.0
"""The diameter that a pier without a detail is drawn with."""
DOT_PX: Final = 3.0
"""Tops with a smaller radius than this are dots."""
MOST_LABELS: Final = 700
"""With more piers than this in the picture, marks would only be a grey mist."""
FIRST_PICTURE: Final = 500
"""As many piers are drawn in the first picture, before the libraries for columns are loaded."""


@dataclass(frozen=True)
class PierColumns:
    """The piers of a plan as columns: places (n, 2) in mm, and which detail each has, as an index."""

    piers: tuple[Pier, ...]
    xy: NDArray[np.float64]
    details: tuple[str | None, ...]
    detail_index: NDArray[np.intp]


def _columns(piers: tuple[Pier, ...]) -> PierColumns:
    import numpy as np

    known: dict[str | None, int] = {}
    index = [known.setdefault(p.detail, len(known)) for p in piers]
    xy = np.array([p.at for p in piers], dtype=np.float64).reshape(-1, 2)
    return PierColumns(piers, xy, tuple(known), np.array(index, dtype=np.intp))


columns_of = Kept(_columns)
"""Return the columns of ``plan.piers``; kept while the tuple is the same."""


def diameters(detail: Detail | None) -> tuple[float, float]:
    """Return the diameters at the top and at the widest, in mm."""
    if detail is None or not detail.profile:
        return UNKNOWN_MM, UNKNOWN_MM
    return detail.profile[0][1], max(d for _, d in detail.profile)


def radii(plan: Plan, detail_id: str | None, scale: float) -> tuple[float, float]:
    """Return the radii at the top and at the widest, in pixels."""
    top, widest = diameters(plan.detail(detail_id))
    return top * scale / 2, widest * scale / 2


@lru_cache(maxsize=64)
def _symbol(theme: Theme, radii: tuple[float, float], sharpness: float, *, known: bool, picked: bool) -> QPixmap:
    """Return the picture of one pier; its middle is the middle of the picture."""
    half = math.ceil(max(radii) + (10 if picked else 3))
    pixmap = QPixmap(round(2 * half * sharpness), round(2 * half * sharpness))
    pixmap.setDevicePixelRatio(sharpness)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    paint_symbol(painter, theme, QPointF(half, half), radii, known=known, picked=picked)
    painter.end()
    return pixmap


def paint_symbol(
    painter: QPainter, theme: Theme, at: QPointF, size: tuple[float, float], *, known: bool, picked: bool
) -> None:
    """Paint one pier at a pixel, with its radii at the top and at the widest.

    A pier without a detail has a broken edge, because its size is not known.
    """
    top, widest = size
    ink = theme.work if picked else theme.ink
    if picked:
        fill(painter, theme.glow)
        painter.drawEllipse(at, max(top, widest) + 8, max(top, widest) + 8)
    painter.setBrush(colour(theme.paper))
    edge = pen(ink, 2.8 if picked else 2.1) if known else pen(ink, 2.1, (3, 2))
    painter.setPen(edge)
    painter.drawEllipse(at, top, top)
    if widest > top + 1.2:
        stroke(painter, pen(ink if picked else theme.soft, 1.0, (3, 2.5)))
        painter.drawEllipse(at, widest, widest)
    arm = min(top * 0.55, 12.0)
    painter.setPen(pen(ink, 1.5))
    painter.drawLines(
        [
            QLineF(at.x() - arm, at.y(), at.x() + arm, at.y()),
            QLineF(at.x(), at.y() - arm, at.x(), at.y() + arm),
        ]
    )


def paint_piers(painter: QPainter, scene: Scene) -> None:
    """Paint every pier in the picture."""
    plan = scene.plan
    if not plan.piers:
        return
    if scene.layout is None and len(plan.piers) <= FIRST_PICTURE:
        _few(painter, scene, plan.piers)
        return
    if scene.layout is None and not scene.columns:
        return
    columns = columns_of(plan.piers)
    xs, ys, seen = _seen(scene, columns)
    sizes = [radii(plan, d, scene.camera.scale) for d in columns.details]
    if max(top for top, _ in sizes) < DOT_PX:
        _dots(painter, scene, xs[seen], ys[seen], 2 * max(top for top, _ in sizes))
        _few(painter, scene, [p for p in _picked(scene) if p.id in scene.selected])
        return
    places = zip(
        xs[seen].tolist(), ys[seen].tolist(), columns.detail_index[seen].tolist(), seen.tolist(), strict=True
    )
    _blit(painter, scene, columns, sizes, list(places))


def _seen(scene: Scene, columns: PierColumns) -> tuple[Any, Any, Any]:
    """Return x and y of all piers in pixels, and the indices of those in the picture."""
    xs, ys = scene.camera.columns(columns.xy)
    area, room = scene.area, 60.0
    seen = (
        (xs > area.left() - room)
        & (xs < area.right() + room)
        & (ys > area.top() - room)
        & (ys < area.bottom() + room)
    )
    return xs, ys, seen.nonzero()[0]


def _picked(scene: Scene) -> Iterable[Pier]:
    """Return the picked piers, when they are few enough to draw one by one."""
    if not 0 < len(scene.selected) <= FIRST_PICTURE:
        return ()
    return (p for p in scene.plan.piers if p.id in scene.selected)


def _dots(painter: QPainter, scene: Scene, xs: NDArray[np.float64], ys: NDArray[np.float64], width: float) -> None:
    size = max(2.0, width)
    dots = QPen(colour(scene.theme.ink), size)
    dots.setCapStyle(Qt.PenCapStyle.RoundCap if size > 3 else Qt.PenCapStyle.SquareCap)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=size > 3)
    painter.setPen(dots)
    painter.drawPointsNp(xs, ys)  # type: ignore[arg-type]  # the stub says sequences, the call takes arrays
    painter.restore()


def _blit(
    painter: QPainter,
    scene: Scene,
    columns: PierColumns,
    sizes: Sequence[tuple[float, float]],
    places: Sequence[tuple[float, float, int, int]],
) -> None:
    """Copy a painted symbol to every place, at whole device pixels."""
    sharp = scene.sharpness
    known = [scene.plan.detail(d) is not None for d in columns.details]
    plain = [_symbol(scene.theme, size, sharp, known=known[i], picked=False) for i, size in enumerate(sizes)]
    halves = [p.deviceIndependentSize().width() / 2 for p in plain]
    picked: list[tuple[float, float, int, Pier]] = []
    draw = painter.drawPixmap
    for x, y, kind, index in places:
        if scene.selected and columns.piers[index].id in scene.selected:
            picked.append((x, y, kind, columns.piers[index]))
            continue
        half = halves[kind]
        draw(QPointF(round((x - half) * sharp) / sharp, round((y - half) * sharp) / sharp), plain[kind])
    for x, y, kind, _ in picked:
        pixmap = _symbol(scene.theme, sizes[kind], sharp, known=known[kind], picked=True)
        half = pixmap.deviceIndependentSize().width() / 2
        draw(QPointF(round((x - half) * sharp) / sharp, round((y - half) * sharp) / sharp), pixmap)


def _few(painter: QPainter, scene: Scene, piers: Iterable[Pier]) -> None:
    """Paint piers one by one, without columns."""
    for pier in piers:
        at = scene.camera.to_screen(pier.at)
        if not scene.area.adjusted(-60, -60, 60, 60).contains(at):
            continue
        top, widest = radii(scene.plan, pier.detail, scene.camera.scale)
        size = max(top, DOT_PX), max(widest, DOT_PX)
        known = scene.plan.detail(pier.detail) is not None
        picked = pier.id in scene.selected
        paint_symbol(painter, scene.theme, at, size, known=known, picked=picked)


def piers_in_picture(scene: Scene) -> list[tuple[QPointF, Pier]]:
    """Return the piers in the picture with the pixels of their centres; none while they are drawn as dots."""
    plan, camera = scene.plan, scene.camera
    if not plan.piers or max(radii(plan, d, camera.scale)[0] for d in {p.detail for p in plan.piers}) < DOT_PX:
        return []
    if scene.layout is None:
        few = plan.piers[:FIRST_PICTURE]
        return [(at, p) for at, p in ((camera.to_screen(p.at), p) for p in few) if scene.area.contains(at)]
    columns = columns_of(plan.piers)
    xs, ys, seen = _seen(scene, columns)
    return [
        (QPointF(x, y), columns.piers[k])
        for x, y, k in zip(xs[seen].tolist(), ys[seen].tolist(), seen.tolist(), strict=True)
    ]
