"""Pictures and pages under the sheet, in the real window: laid, painted, worked on, saved and found again."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QColor, QDropEvent, QImage, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.picture import picture
from layoutdesk.desk.canvas.underlay_levels import decoded
from layoutdesk.desk.desk import Desk
from layoutdesk.desk.theme import DARK, LIGHT
from layoutdesk.engine.derive import derive
from layoutdesk.errors import FileError
from layoutdesk.exporters.pdf import write_pdf
from layoutdesk.geometry.projective import apply, through_four
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.gestures.catalogue import CATALOGUE
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan, Underlay
from layoutdesk.sheets.book import stake_out_set
from tests.desk.conftest import FakeAsks
from tests.gestures.scenes import porch

FLAT = (10.0, 0.0, 0.0, 0.0, -10.0, 0.0, 0.0, 0.0, 1.0)
NONE, ALT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.AltModifier


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """Return a scan: white, with a thick black bar across it."""
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    painter.fillRect(100, 140, 200, 20, QColor("black"))
    painter.end()
    path = tmp_path / "scan of a plan.png"
    assert image.save(str(path))
    return path


@pytest.fixture(scope="session")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a PDF of several pages that are drawn with lines."""
    path = tmp_path_factory.mktemp("pages") / "sheets.pdf"
    path.write_bytes(write_pdf(stake_out_set(derive(porch()))))
    return path


def only(desk: Desk) -> Underlay:
    (one,) = desk.document.plan.underlays
    return one


def lay(desk: Desk, asks: FakeAsks, qtbot: QtBot, path: Path) -> Underlay:
    """Lay a file under the sheet by the menu, and wait until it is to be seen."""
    asks.lays = path
    desk.menus.actions["lay_under"].trigger()
    qtbot.waitUntil(lambda: len(desk.document.plan.underlays) == 1)
    qtbot.waitUntil(lambda: desk.underlays.pictures.state(only(desk)) == "here", timeout=20_000)
    return only(desk)


def press(desk: Desk, at: Vector, keys: Qt.KeyboardModifier = NONE) -> None:
    """Press a place of the plan on the whole pixel nearest to it, as a mouse does."""
    there = desk.sheet.camera.to_screen(at)
    pixel = QPointF(round(there.x()), round(there.y()))
    screen, left, no = desk.sheet.mapToGlobal(pixel), Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    for kind, button, held in (
        (QEvent.Type.MouseMove, no, no),
        (QEvent.Type.MouseButtonPress, left, left),
        (QEvent.Type.MouseButtonRelease, left, no),
    ):
        QApplication.sendEvent(desk.sheet, QMouseEvent(kind, pixel, screen, button, held, keys))


def type_in(desk: Desk, qtbot: QtBot, *texts: str) -> None:
    """Type texts into the boxes of the entry line, Tab between them and Enter after the last."""
    desk.window.activateWindow()
    desk.entry.focus_field(0)
    for k, text in enumerate(texts):
        box = desk.entry.boxes[k]
        if text:
            qtbot.keyClicks(box, text)
        qtbot.keyClick(box, Qt.Key.Key_Tab if k < len(texts) - 1 else Qt.Key.Key_Return)


def shade(image: QImage, at: QPointF) -> int:
    return image.pixelColor(at.toPoint()).lightness()


# ---- laying and painting


def test_a_picture_is_laid_in_sight_and_shows(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    one = lay(desk, asks, qtbot, scan)
    assert one.size == (400.0, 300.0)
    room = desk.sheet.plan_area()
    corners = [desk.sheet.camera.to_screen(p) for p in apply(one.to_plan, [(0.0, 0.0), (400.0, 300.0)])]
    assert all(room.contains(c) for c in corners)
    assert corners[1].x() - corners[0].x() > 0.5 * min(room.width(), room.height())
    image = desk.sheet.grab().toImage()
    bar, paper = (desk.sheet.camera.to_screen(p) for p in apply(one.to_plan, [(203.0, 152.0), (203.0, 203.0)]))
    assert shade(image, bar) < shade(image, paper) - 60
    assert desk.document.undo_label == "Lay scan of a plan.png under the sheet"
    desk.commands.undo()
    assert desk.document.plan.underlays == ()


def test_a_dropped_picture_lies_under_the_sheet(desk: Desk, scan: Path) -> None:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(scan))])
    copy, left = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
    desk.window.dropEvent(QDropEvent(QPointF(500, 300), copy, data, left, NONE))
    assert only(desk).file == str(scan)


def test_what_is_no_picture_is_refused_with_a_sentence(desk: Desk, asks: FakeAsks, tmp_path: Path) -> None:
    asks.lays = tmp_path / "letter.png"
    asks.lays.write_text("Dear builder")
    desk.menus.actions["lay_under"].trigger()
    assert desk.document.plan.underlays == ()
    assert "letter.png: it is no picture" in desk.slip.text.text()


def test_hidden_and_too_strong_and_dark(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    """Hidden it leaves bare paper; in the dark dress its ink comes light on dark."""
    one = lay(desk, asks, qtbot, scan)
    (bar,) = apply(one.to_plan, [(203.0, 152.0)])
    desk.document.apply("strong", lambda p: edits.set_underlay(p, "U1", strength=1.0))
    light = shade(desk.sheet.grab().toImage(), desk.sheet.camera.to_screen(bar))
    desk.dress.choose("dark")
    dark = shade(desk.sheet.grab().toImage(), desk.sheet.camera.to_screen(bar))
    desk.document.apply("hide", lambda p: edits.set_underlay(p, "U1", shown=False))
    bare = shade(desk.sheet.grab().toImage(), desk.sheet.camera.to_screen(bar))
    desk.dress.choose("light")
    assert light < 30
    assert dark > 220
    assert bare < 70


def test_edits_and_panning_do_not_paint_pictures_again(
    desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path
) -> None:
    lay(desk, asks, qtbot, scan)
    desk.sheet.grab()
    ground = desk.sheet._still._ground
    before = ground.painted
    desk.document.apply("pier", lambda p: edits.add_pier(p, (0.0, 0.0)))
    desk.sheet.grab()
    desk.document.apply("pier", lambda p: edits.move(p, ("P1",), (100.0, 0.0)))
    desk.sheet.grab()
    assert ground.painted == before
    desk.sheet.zoom_by(1.2)
    desk.sheet.grab()
    assert ground.painted == before + 1


def test_the_picture_command_shows_what_lies_under_the_sheet(scan: Path) -> None:
    plan = edits.set_underlay(edits.add_underlay(Plan(), str(scan), (400.0, 300.0)), "U1", strength=1.0)
    for theme, dark in ((LIGHT, False), (DARK, True)):
        image = picture(derive(plan), theme, 900, 700)
        shades = [image.pixelColor(460, y).lightness() for y in range(200, 600)]
        assert max(shades) > 200 if dark else min(shades) < 40


def test_a_damaged_picture_is_told_once(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    scan.write_bytes(scan.read_bytes()[:60])
    with pytest.raises(FileError, match="damaged"):
        decoded(scan, (400.0, 300.0))
    asks.lays = scan
    desk.menus.actions["lay_under"].trigger()
    desk.sheet.grab()
    qtbot.waitUntil(lambda: "damaged" in desk.slip.text.text())
    assert desk.underlays.is_missing(only(desk))


# ---- the acts, by mouse and keyboard


def test_scaled_by_two_points_from_the_slip(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    one = lay(desk, asks, qtbot, scan)
    desk.slip.button.click()
    assert desk.sheet.gesture.doing == "Scale U1, point 1 of 2"
    for own in ((100.0, 140.0), (300.0, 140.0)):
        press(desk, apply(one.to_plan, [own])[0])
    type_in(desk, qtbot, "20'")
    a, b = apply(only(desk).to_plan, [(100.0, 140.0), (300.0, 140.0)])
    assert distance(a, b) == pytest.approx(6096, rel=0.006)
    assert desk.plan_page.under.forms[0].scale.text().startswith("1 px is 1.2 in on the ground")


def test_a_photograph_is_straightened_and_traced_within_two_pixels(
    desk: Desk, asks: FakeAsks, qtbot: QtBot, tmp_path: Path
) -> None:
    """A flat yard of 12 by 9 m is photographed with a known slant; its piers are then traced by mouse."""
    marks = ((1000.0, 1000.0), (11000.0, 1400.0), (10600.0, 8000.0), (1500.0, 7800.0))
    piers = tuple((x, y) for y in (2500.0, 6500.0) for x in (3000.0, 6000.0, 9000.0))
    yard = ((0.0, 0.0), (12000.0, 0.0), (12000.0, 9000.0), (0.0, 9000.0))
    camera = through_four(yard, ((60.0, 1150.0), (1540.0, 1180.0), (1120.0, 200.0), (420.0, 220.0)))
    photo = QImage(1600, 1200, QImage.Format.Format_RGB32)
    photo.fill(QColor(120, 140, 110))
    painter = QPainter(photo)
    painter.setPen(QPen(QColor("yellow"), 2))
    for at in apply(camera, (*marks, *piers)):
        painter.drawEllipse(QPointF(*at), 5, 5)
    painter.end()
    path = tmp_path / "yard.jpg"
    assert photo.save(str(path), quality=90)
    desk.document.apply("mm", lambda p: edits.set_units(p, "mm"))
    lay(desk, asks, qtbot, path)
    desk.underlays.act("Straighten a photograph", "U1")
    for own in apply(camera, marks):
        at = apply(only(desk).to_plan, [own])[0]
        desk.sheet._look(desk.sheet.camera.zoomed(6.0, *(c := desk.sheet.camera.to_screen(at)).toTuple()))
        press(desk, at)
        desk.sheet._look(desk.sheet.camera.zoomed(1 / 6.0, *c.toTuple()))
    sides = [distance(marks[a], marks[b]) for a, b in ((0, 1), (1, 2), (2, 3), (3, 0), (0, 2))]
    type_in(desk, qtbot, *(f"{s:.1f}" for s in sides[:4]))
    type_in(desk, qtbot, f"{sides[4]:.1f}", "")
    assert desk.document.undo_label == "Straighten a photograph: U1"
    desk.sheet.take_up(next(k for k in CATALOGUE if k.name == "Pier"))
    for own in apply(camera, piers):
        at = apply(only(desk).to_plan, [own])[0]
        desk.sheet._look(desk.sheet.camera.zoomed(6.0, *(c := desk.sheet.camera.to_screen(at)).toTuple()))
        press(desk, at, ALT)
        desk.sheet._look(desk.sheet.camera.zoomed(1 / 6.0, *c.toTuple()))
    traced = [p.at for p in desk.document.plan.piers]
    to_yard = through_four(apply(only(desk).to_plan, apply(camera, marks)), marks)
    for true, got in zip(piers, apply(to_yard, traced), strict=True):
        assert distance(*apply(camera, (true, got))) < 2.0
    for k, p in enumerate(piers):
        for j in range(k):
            assert distance(traced[k], traced[j]) == pytest.approx(distance(p, piers[j]), rel=0.01)


def test_a_locked_picture_is_not_moved_and_says_so(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    one = lay(desk, asks, qtbot, scan)
    form = desk.plan_page.under.forms[0]
    form.locked.click()
    assert only(desk).locked
    assert not any(button.isEnabled() for button in form.acts)
    desk.underlays.act("Move the picture", "U1")
    press(desk, apply(one.to_plan, [(200.0, 100.0)])[0])
    assert "U1 is locked" in desk.slip.text.text()


# ---- the list on the Plan page


def test_strength_is_one_step_to_undo(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    lay(desk, asks, qtbot, scan)
    form = desk.plan_page.under.forms[0]
    for value in (70, 80, 90):
        form.strength.setValue(value)
        with qtbot.waitSignal(form._settle.timeout):
            pass
        assert only(desk).strength == value / 100
    assert form.percent.text() == "90 %"
    desk.commands.undo()
    assert only(desk).strength == 0.5
    assert form.strength.value() == 50


def test_shown_and_remove(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    lay(desk, asks, qtbot, scan)
    form = desk.plan_page.under.forms[0]
    form.shown.click()
    assert not only(desk).shown
    form.remove.click()
    assert desk.document.plan.underlays == ()
    assert desk.document.undo_label == "Remove U1"


def test_all_in_the_list_have_names(desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path) -> None:
    lay(desk, asks, qtbot, scan)
    form = desk.plan_page.under.forms[0]
    named = (form.strength, form.shown, form.locked, form.remove, form.find_file, form.page.box, *form.acts)
    assert len({w.accessibleName() for w in named}) == len(named)
    assert all(w.accessibleName() for w in named)


# ---- pages of a PDF


def test_a_page_is_laid_traced_and_turned(desk: Desk, asks: FakeAsks, qtbot: QtBot, pages: Path) -> None:
    one = lay(desk, asks, qtbot, pages)
    assert (one.page, one.size) == (1, (612.0, 792.0))
    qtbot.waitUntil(lambda: (str(pages), 1) in desk.view.traced, timeout=20_000)
    form = desk.plan_page.under.forms[0]
    form.page.box.chosen.emit(2)
    qtbot.waitUntil(lambda: only(desk).page == 2, timeout=20_000)
    assert only(desk).to_plan == one.to_plan
    qtbot.waitUntil(lambda: (str(pages), 2) in desk.view.traced, timeout=20_000)
    assert form.scale.text().startswith("page 2 at 1 : ")
    traced = desk.view.traced[str(pages), 2]
    (centre,) = apply(only(desk).to_plan, [tuple(traced.centres[-1])])
    desk.sheet.take_up(next(k for k in CATALOGUE if k.name == "Pier"))
    press(desk, (centre[0], centre[1]))
    assert desk.document.plan.piers[0].at == pytest.approx(centre, abs=1e-6)


def test_a_page_comes_sharper_when_looked_at_closely(desk: Desk, asks: FakeAsks, qtbot: QtBot, pages: Path) -> None:
    one = lay(desk, asks, qtbot, pages)
    entry = desk.underlays.pictures._entries[one.file, 1]
    assert entry.whole is not None
    first = entry.whole.per_unit
    desk.sheet.zoom_by(6.0)
    desk.sheet.grab()
    qtbot.waitUntil(lambda: entry.whole is not None and entry.whole.per_unit > 1.5 * first, timeout=20_000)


# ---- the file


def test_it_is_saved_from_the_plans_folder_and_found_again(
    desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path, tmp_path: Path
) -> None:
    lay(desk, asks, qtbot, scan)
    asks.saves = tmp_path / "porch.layout.json"
    assert desk.files.save_as()
    assert json.loads(asks.saves.read_text())["underlays"][0]["file"] == scan.name
    assert only(desk).file == str(scan)
    assert not desk.document.changed
    (tmp_path / "below").mkdir()
    asks.saves = tmp_path / "below" / "porch.layout.json"
    assert desk.files.save_as()
    assert read_plan(asks.saves).underlays[0].file == str(scan)


def test_a_moved_file_is_told_and_found(
    desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path, tmp_path: Path
) -> None:
    lay(desk, asks, qtbot, scan)
    asks.saves = tmp_path / "porch.layout.json"
    assert desk.files.save_as()
    moved = scan.rename(tmp_path / "moved.png")
    assert desk.files.open(asks.saves)
    assert "is not where it was" in desk.slip.text.text()
    assert desk.underlays.is_missing(only(desk))
    asks.lays = moved
    desk.slip.button.click()
    assert only(desk).file == str(moved)
    desk.sheet.grab()
    qtbot.waitUntil(lambda: not desk.underlays.is_missing(only(desk)))
    assert desk.document.undo_label == "Find moved.png"


def test_the_acts_are_offered_while_something_lies_under(
    desk: Desk, asks: FakeAsks, qtbot: QtBot, scan: Path
) -> None:
    def offered() -> set[str]:
        words = desk.strip.words
        return {b.text() for b in words._buttons if not b.isHidden()} | {a.text() for a in words.behind}

    acts = {"Move the picture", "Scale by two points", "Turn square to a wall", "Straighten a photograph"}
    assert not acts & offered()
    lay(desk, asks, qtbot, scan)
    assert acts <= offered()
    desk.commands.undo()
    assert not acts & offered()
