"""What a crash leaves behind is offered, and what ends well leaves nothing."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from pytestqt.qtbot import QtBot

from layoutdesk.desk.desk import Desk
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan

if TYPE_CHECKING:
    from tests.desk.conftest import FakeAsks

CRASH = """
import os, sys
from pathlib import Path
from layoutdesk.plan.file import read_plan
from layoutdesk.session.recovery import RecoveryCopy

RecoveryCopy(Path(sys.argv[1]), "x").write(read_plan(Path(sys.argv[2])), Path(sys.argv[2]))
os._exit(9)
"""


def crash(folder: Path, plan: Path, checkout: Path) -> None:
    """Leave a copy of a plan behind, as a program that is killed does."""
    done = subprocess.run(
        [sys.executable, "-c", CRASH, str(folder), str(plan)],
        cwd=checkout,
        env=dict(os.environ),
        timeout=60,
        check=False,
    )
    assert done.returncode == 9


@pytest.fixture
def left_behind(tmp_path: Path, porch: Path, checkout: Path) -> Path:
    """Return the folder of copies with one in it whose writer was killed."""
    folder = tmp_path / "recovery"
    crash(folder, porch, checkout)
    return folder


def copies(folder: Path) -> list[str]:
    return sorted(p.suffix for p in folder.glob("*.recovery"))


def test_a_copy_is_kept_while_editing_and_goes_with_the_save(porch_desk: Desk, tmp_path: Path) -> None:
    folder = tmp_path / "recovery"
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    assert porch_desk.keeper._timer.isActive()
    porch_desk.keeper.write_now()
    assert copies(folder) == [".recovery"]
    porch_desk.menus.actions["save"].trigger()
    assert copies(folder) == []
    assert not porch_desk.keeper._timer.isActive()


def test_discarding_takes_the_copy_away(porch_desk: Desk, asks: FakeAsks, tmp_path: Path) -> None:
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    porch_desk.keeper.write_now()
    asks.on_unsaved = "discard"
    assert porch_desk.window.close()
    assert copies(tmp_path / "recovery") == []


def test_what_was_left_behind_is_opened_as_unsaved(
    desk: Desk, asks: FakeAsks, porch: Path, left_behind: Path
) -> None:
    asks.on_recover = "open"
    desk.begin(None)
    assert asks.asked[0].startswith("recover Heron Lane porch of ")
    assert desk.document.plan == read_plan(porch)
    assert desk.document.path == porch
    assert desk.window.isWindowModified()
    # The copy left behind is gone, and one of ours stands in for it.
    assert copies(left_behind) == [".recovery"]
    asks.on_overwrite = True
    desk.menus.actions["save"].trigger()
    assert "overwrite porch.layout.json" in asks.asked
    assert copies(left_behind) == []


CARPORT = SAMPLES / "orchard-row-carport.layout.json"


def test_a_file_named_at_the_start_is_shown_and_the_copy_of_another_only_mentioned(
    desk: Desk, asks: FakeAsks, left_behind: Path
) -> None:
    asks.on_recover = "open"
    desk.begin(CARPORT)
    assert desk.document.plan.title == "Orchard Row carport"
    assert asks.asked == []
    assert desk.slip.isVisible()
    assert desk.slip.text.text().startswith("Heron Lane porch was being edited when the program ended")
    assert len(copies(left_behind)) == 1
    desk.slip.button.click()
    assert desk.document.plan.title == "Heron Lane porch"
    assert desk.window.isWindowModified()


def test_a_copy_seen_to_later_asks_about_what_was_changed_since(
    desk: Desk, asks: FakeAsks, left_behind: Path
) -> None:
    asks.on_recover, asks.on_unsaved = "open", "keep editing"
    desk.begin(CARPORT)
    desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    desk.keeper.offer(desk.keeper.left_of_others(CARPORT), asks, desk.files)
    assert asks.asked[-1] == "unsaved Changed"
    assert desk.document.plan.title == "Changed"
    assert len(copies(left_behind)) == 1


def test_the_copy_of_the_very_file_named_is_asked_about(
    desk: Desk, asks: FakeAsks, porch: Path, left_behind: Path
) -> None:
    assert left_behind.is_dir()
    asks.on_recover = "open"
    desk.begin(porch)
    assert asks.asked[0].startswith("recover Heron Lane porch of ")
    assert desk.document.path == porch
    assert desk.window.isWindowModified()
    assert not desk.slip.isVisible()


def test_a_named_file_that_cannot_be_opened_leaves_room_for_the_copy(
    desk: Desk, asks: FakeAsks, tmp_path: Path, left_behind: Path
) -> None:
    assert left_behind.is_dir()
    asks.on_recover = "open"
    desk.begin(tmp_path / "gone.layout.json")
    assert desk.document.plan.title == "Heron Lane porch"


def test_what_was_left_behind_can_wait(desk: Desk, asks: FakeAsks, left_behind: Path) -> None:
    asks.on_recover = "later"
    desk.begin(CARPORT)
    desk.slip.button.click()
    assert desk.document.plan.title == "Orchard Row carport"
    assert len(copies(left_behind)) == 1


def test_what_was_left_behind_can_be_thrown_away(desk: Desk, asks: FakeAsks, left_behind: Path) -> None:
    asks.on_recover = "throw away"
    desk.begin(CARPORT)
    desk.slip.button.click()
    assert desk.document.plan.title == "Orchard Row carport"
    assert copies(left_behind) == []


def test_a_copy_that_cannot_be_written_is_said_once(porch_desk: Desk, tmp_path: Path, qtbot: QtBot) -> None:
    (tmp_path / "recovery").write_text("in the way", encoding="utf-8")
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Changed"))
    with qtbot.waitSignal(porch_desk.keeper.trouble):
        porch_desk.keeper.write_now()
    assert "recovery copy" in porch_desk.slip.text.text()
    porch_desk.slip.put_away()
    porch_desk.document.apply("Title", lambda p: edits.set_title(p, "Again"))
    porch_desk.keeper.write_now()
    qtbot.wait(50)
    assert not porch_desk.slip.isVisible()
