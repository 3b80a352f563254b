"""The sheet as a picture, without a window."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter

from layoutdesk.desk.canvas.camera import Camera
from layoutdesk.desk.canvas.fit import fitted
from layoutdesk.desk.canvas.layers import paint_sheet
from layoutdesk.desk.canvas.lettering import Lettering
from layoutdesk.desk.canvas.rulers import SIDE_PX, TOP_PX, paint_rulers
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.strokes import pen
from layoutdesk.desk.canvas.underlay import Pictures
from layoutdesk.desk.canvas.underlay_pictures import PicturesAtOnce
from layoutdesk.desk.theme import Theme, load_type
from layoutdesk.engine.layout import Layout
from layoutdesk.gestures.bearings import bearings_of


def picture(layout: Layout, theme: Theme, width: int, height: int, *, pictures: Pictures | None = None) -> QImage:
    """Return the whole plan as the desk shows it, with its rulers.

    Needs a QGuiApplication, on any platform; loads the program's own type into it.

    Args:
        layout: the plan and what follows from it.
        theme: the dress.
        width: of the picture in pixels, at least 200.
        height: of the picture in pixels, at least 150.
        pictures: of what lies under the sheet; None has them decoded here and now.
    """
    load_type()
    width, height = max(width, 200), max(height, 150)
    area = QRectF(SIDE_PX, TOP_PX, width - SIDE_PX - 1, height - TOP_PX - 1)
    bearings = bearings_of(layout.plan)
    scene = Scene(
        plan=layout.plan,
        layout=layout,
        bearings=bearings,
        camera=Camera(middle=(area.center().x(), area.center().y())).turned_to(bearings),
        theme=theme,
        lettering=Lettering(),
        area=area,
        underlays=layout.plan.underlays,
        pictures=pictures or PicturesAtOnce(),
    )
    scene = replace(scene, camera=fitted(scene, layout.plan))
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(theme.paper)
    painter = QPainter(image)
    try:
        painter.save()
        painter.setClipRect(area)
        paint_sheet(painter, scene)
        painter.restore()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        paint_rulers(painter, scene, None)
        painter.setPen(pen(theme.edge, 1.0))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing, on=False)
        painter.drawRect(0, 0, width - 1, height - 1)
    finally:
        painter.end()
    return image
