"""Both numbers of a dimension that is not as drawn are written where they cover no pier."""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from PySide6.QtCore import QRectF
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.clutter import Clutter
from layoutdesk.desk.canvas.picture import picture
from layoutdesk.desk.theme import LIGHT
from layoutdesk.engine.derive import derive
from layoutdesk.plan import edits
from layoutdesk.plan.model import Plan, Written

FT = 304.8


def test_the_numbers_stand_beside_the_row_whose_piers_they_tell_of(
    monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    plan = edits.add_wall(Plan(), [(0.0, 0.0), (28 * FT, 0.0)], house_side="left")
    plan = edits.set_baseline(plan, (0.0, 0.0), (28 * FT, 0.0), yard_side="right")
    for offset in (-8 * FT, -16 * FT):
        plan = edits.add_row(plan, (0.0, offset), (28 * FT, offset), [FT, 8 * FT, 10 * FT, 8 * FT])
    b, c = plan.piers[5].at, plan.piers[6].at
    plan = edits.attach_written(
        plan.with_(written=(Written(id="N1", start=b, end=c, value=10.5 * FT, text="10'-6\""),))
    )
    layout = derive(plan)
    assert [w.agrees for w in layout.written] == [False]
    covered: list[int] = []
    freest = Clutter.freest

    def watched(self: Clutter, boxes: Iterable[QRectF], *, most: int = 1000) -> QRectF | None:
        asked = list(boxes)
        before = [(box, self.load(box)) for box in asked]
        chosen = freest(self, asked, most=most)
        if chosen is not None and chosen.width() > 130:
            covered.extend(load for box, load in before if box == chosen)
        return chosen

    monkeypatch.setattr(Clutter, "freest", watched)
    picture(layout, LIGHT, 900, 700)
    assert covered
    assert covered[-1] == 0
