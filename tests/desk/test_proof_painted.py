"""The proof on the sheet by its pixels: marks, arrows, suspect tapes, and names that keep out of their way."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from layoutdesk.desk.canvas.crowding import naming_of
from layoutdesk.desk.canvas.scene import Scene
from layoutdesk.desk.canvas.staked import Staked, stakes_in_picture
from layoutdesk.desk.desk import Desk
from layoutdesk.desk.theme import DARK, LIGHT, Theme
from layoutdesk.places import SAMPLES


@dataclass
class Picture:
    """The sheet as painted, and what it was painted from."""

    image: QImage
    scene: Scene

    def near(self, at: QPointF, ink: str, reach: int = 3) -> bool:
        """Return whether a colour is within so many pixels of a place."""
        wanted = QColor(ink)
        for dx in range(-reach, reach + 1):
            for dy in range(-reach, reach + 1):
                seen = self.image.pixelColor(QPoint(round(at.x()) + dx, round(at.y()) + dy))
                apart = abs(seen.red() - wanted.red()) + abs(seen.green() - wanted.green())
                if apart + abs(seen.blue() - wanted.blue()) < 24:
                    return True
        return False

    def stake(self, pier: str) -> tuple[Staked, QPointF]:
        """Return a stake in the picture, and where it stands."""
        found = next(s for s in stakes_in_picture(self.scene) if s.point.id == pier)
        assert found.stands is not None
        return found, found.stands


@pytest.fixture(params=[LIGHT, DARK], ids=["light", "dark"])
def theme(request: pytest.FixtureRequest) -> Theme:
    """Return each dress."""
    chosen: Theme = request.param
    return chosen


@pytest.fixture
def picture(desk: Desk, qtbot: QtBot, theme: Theme) -> Picture:
    """Return the sheet of the staked porch with the page of its proof open."""
    assert desk.files.open(SAMPLES / "heron-lane-porch-staked.layout.json")
    desk.view.turn_to("proof")
    qtbot.waitUntil(lambda: desk.proof_page.work.knows(desk.document.plan))
    desk.sheet.set_theme(theme)
    image = desk.sheet.grab().toImage()
    image.setDevicePixelRatio(1.0)
    return Picture(image, desk.sheet._scene())


def test_a_stake_to_move_is_a_square_and_one_to_leave_a_disc(picture: Picture, theme: Theme) -> None:
    move, stands = picture.stake("P6")
    assert move.point.verdict == "move"
    assert picture.near(stands, theme.wrong, 1)
    assert picture.near(stands + QPointF(3.4, 3.4), theme.wrong, 1), "a square has corners"
    leave, stands = picture.stake("P9")
    assert leave.point.verdict == "leave"
    assert picture.near(stands, theme.holds, 1)
    assert not picture.near(stands + QPointF(4.6, 4.6), theme.holds, 0), "a disc has none"


def test_the_arrow_runs_from_where_it_stands_to_where_it_belongs(picture: Picture, theme: Theme) -> None:
    move, stands = picture.stake("P6")
    for share in (0.3, 0.5, 0.7):
        assert picture.near(stands + (move.at - stands) * share, theme.wrong, 2)


def test_a_suspect_tape_is_thick_and_in_the_colour_of_what_wants_a_look(picture: Picture, theme: Theme) -> None:
    proof = picture.scene.proof
    assert proof is not None
    suspect = next(t for t in proof.tapes if t.suspect)
    at = {p.id: picture.scene.camera.to_screen(p.planned) for p in proof.points}
    start, end = at[suspect.start], at[suspect.end]
    assert picture.near(start + (end - start) * 0.44 + QPointF(0, 7), theme.look, 4)


def test_names_and_lengths_hide_no_staked_mark_and_no_arrow(picture: Picture) -> None:
    names = [QRectF(box).adjusted(2, 2, -2, -2) for box, _ in naming_of(picture.scene).names]
    for stake in stakes_in_picture(picture.scene):
        mark = stake.mark
        assert mark is not None
        assert stake.stands is not None
        assert not any(box.contains(mark.center()) for box in names)
        if stake.point.verdict == "move":
            spots = [stake.stands + (stake.at - stake.stands) * (k / 20) for k in range(20)]
            assert not any(box.contains(spot) for box in names for spot in spots)


def test_wrong_and_work_are_told_apart_in_both_dresses(theme: Theme) -> None:
    wrong, work = QColor(theme.wrong), QColor(theme.work)
    apart = sum(
        abs(a - b)
        for a, b in zip(wrong.getRgb()[:3], work.getRgb()[:3], strict=True)  # type: ignore[index]
    )
    assert apart >= 70
