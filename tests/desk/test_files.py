"""Opening and saving from the desk: nothing is lost, and what cannot be done is said in a sentence."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from layoutdesk.desk.desk import Desk
from layoutdesk.desk.files import readable
from layoutdesk.desk.settings import Settings
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan

if TYPE_CHECKING:
    from tests.desk.conftest import FakeAsks


def retitle(desk: Desk, title: str) -> None:
    desk.document.apply("Title", lambda p: edits.set_title(p, title))


def test_a_file_is_opened_and_shown(desk: Desk, asks: FakeAsks, porch: Path) -> None:
    asks.opens = porch
    desk.menus.actions["open"].trigger()
    assert desk.document.path == porch
    assert desk.rail.title.text() == "Heron Lane porch"
    assert desk.rail.state.text() == "ft-in · porch · as in its file"


def test_a_saved_plan_reads_back(porch_desk: Desk, porch: Path) -> None:
    retitle(porch_desk, "Another porch")
    assert porch_desk.rail.state.text() == "ft-in · porch · not saved"
    porch_desk.menus.actions["save"].trigger()
    assert read_plan(porch) == porch_desk.document.plan
    assert "saved" in porch_desk.rail.state.text()
    assert not porch_desk.window.isWindowModified()


def test_a_new_plan_is_saved_under_a_name_asked_for(desk: Desk, asks: FakeAsks, tmp_path: Path) -> None:
    retitle(desk, "Pear Close: pergola/2")
    asks.saves = tmp_path / "pergola.layout.json"
    desk.menus.actions["save"].trigger()
    assert asks.asked == ["save plan as pear-close-pergola-2.layout.json"]
    assert read_plan(asks.saves).title == "Pear Close: pergola/2"
    assert desk.document.path == asks.saves


def test_a_plan_without_a_title_takes_the_name_of_its_file(desk: Desk, asks: FakeAsks, tmp_path: Path) -> None:
    """So that no sheet says Untitled; it is one step to undo, and the slip says so."""
    desk.document.apply("Pier", lambda p: edits.add_pier(p, (0, 0)))
    asks.saves = tmp_path / "pear-close_pergola.layout.json"
    desk.menus.actions["save_as"].trigger()
    assert read_plan(asks.saves).title == desk.document.plan.title == "Pear close pergola"
    assert desk.window.windowTitle() == "Pear close pergola[*] – Layoutdesk"
    assert "pear-close_pergola · saved" in desk.rail.state.text()
    assert "title is now Pear close pergola" in desk.slip.text.text()
    assert not desk.document.changed
    assert desk.document.undo_label == "Title"
    desk.document.undo()
    assert desk.document.plan.title == "Untitled"
    assert desk.window.windowTitle() == "pear-close_pergola[*] – Layoutdesk"
    desk.menus.actions["save"].trigger()
    assert read_plan(asks.saves).title == "Untitled"


@pytest.mark.parametrize(
    ("name", "title"),
    [("porch", "Porch"), ("Mill St 12", "Mill St 12"), ("heron--lane_porch", "Heron lane porch"), ("_", "")],
)
def test_the_name_of_a_file_as_a_title(name: str, title: str) -> None:
    assert readable(name) == title


def test_a_title_that_was_typed_stays_and_a_refused_file_gives_none(
    desk: Desk, asks: FakeAsks, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    desk.document.apply("Pier", lambda p: edits.add_pier(p, (0, 0)))
    asks.saves = tmp_path / "porch.layout.json"
    with monkeypatch.context() as patched:
        fill_the_disk(patched)
        desk.menus.actions["save_as"].trigger()
    assert desk.document.plan.title == "Untitled"
    retitle(desk, "Mine")
    desk.menus.actions["save_as"].trigger()
    assert read_plan(asks.saves).title == "Mine"
    assert desk.slip.text.text() == "Saved porch.layout.json."


def test_a_sample_is_opened_as_a_copy(desk: Desk, asks: FakeAsks) -> None:
    sample = SAMPLES / "orchard-row-carport.layout.json"
    before = sample.read_bytes()
    desk.files.open(sample)
    retitle(desk, "Mine")
    desk.menus.actions["save"].trigger()
    assert asks.asked == ["save plan as mine.layout.json"]
    assert sample.read_bytes() == before


@pytest.mark.parametrize("command", ["new", "open", "close"])
def test_unsaved_changes_are_asked_about(porch_desk: Desk, asks: FakeAsks, porch: Path, command: str) -> None:
    retitle(porch_desk, "Changed")
    kept = porch_desk.document.plan
    asks.opens = porch
    asks.on_unsaved = "keep editing"
    if command == "close":
        assert not porch_desk.window.close()
        assert porch_desk.window.isVisible()
    else:
        porch_desk.menus.actions[command].trigger()
    assert asks.asked[-1] == "unsaved Changed"
    assert porch_desk.document.plan is kept


def test_save_in_answer_saves_and_goes_on(porch_desk: Desk, asks: FakeAsks, porch: Path) -> None:
    retitle(porch_desk, "Changed")
    asks.on_unsaved = "save"
    porch_desk.menus.actions["new"].trigger()
    assert read_plan(porch).title == "Changed"
    assert porch_desk.document.plan == Plan()


def test_discard_in_answer_leaves_the_file_alone(porch_desk: Desk, asks: FakeAsks, porch: Path) -> None:
    before = porch.read_bytes()
    retitle(porch_desk, "Changed")
    asks.on_unsaved = "discard"
    porch_desk.menus.actions["new"].trigger()
    assert porch.read_bytes() == before
    assert not porch_desk.document.changed


def test_save_in_answer_that_fails_keeps_the_plan(
    porch_desk: Desk, asks: FakeAsks, monkeypatch: pytest.MonkeyPatch
) -> None:
    retitle(porch_desk, "Changed")
    asks.on_unsaved = "save"
    fill_the_disk(monkeypatch)
    assert not porch_desk.window.close()
    assert porch_desk.document.plan.title == "Changed"
    assert porch_desk.slip.isVisible()


def fill_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("os.fsync", full)


def test_a_full_disk_is_said_and_leaves_the_old_file_whole(
    porch_desk: Desk, porch: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = porch.read_bytes()
    retitle(porch_desk, "Changed")
    fill_the_disk(monkeypatch)
    porch_desk.menus.actions["save"].trigger()
    assert porch.read_bytes() == before
    assert porch_desk.window.isWindowModified()
    assert "porch.layout.json" in porch_desk.slip.text.text()
    assert [p.name for p in porch.parent.glob("*porch*")] == [porch.name]


@pytest.mark.parametrize(
    "content",
    [b"", b"{", b"\x00\xff\xfe", b"[]", b'{"layoutdesk": 99}', b'{"layoutdesk": 1, "piers": [{"id": "P1"}]}'],
)
def test_a_bad_file_is_refused_in_a_sentence_and_the_plan_stays(
    porch_desk: Desk, tmp_path: Path, content: bytes
) -> None:
    bad = tmp_path / "bad.layout.json"
    bad.write_bytes(content)
    before, path = porch_desk.document.plan, porch_desk.document.path
    assert not porch_desk.files.open(bad)
    assert porch_desk.document.plan is before
    assert porch_desk.document.path == path
    assert porch_desk.slip.isVisible()
    assert "bad.layout.json" in porch_desk.slip.text.text()


def test_a_file_that_is_gone_is_refused_in_a_sentence(porch_desk: Desk, tmp_path: Path) -> None:
    assert not porch_desk.files.open(tmp_path / "gone.layout.json")
    assert "gone.layout.json" in porch_desk.slip.text.text()


def test_a_file_changed_by_another_program_is_asked_about(porch_desk: Desk, asks: FakeAsks, porch: Path) -> None:
    retitle(porch_desk, "Mine")
    porch.write_text(porch.read_text(encoding="utf-8").replace("Heron", "Their"), encoding="utf-8")
    porch_desk.menus.actions["save"].trigger()
    assert asks.asked == ["overwrite porch.layout.json"]
    assert read_plan(porch).title == "Their Lane porch"
    asks.on_overwrite = True
    porch_desk.menus.actions["save"].trigger()
    assert read_plan(porch).title == "Mine"


def test_a_file_taken_away_meanwhile_is_written_again(porch_desk: Desk, asks: FakeAsks, porch: Path) -> None:
    retitle(porch_desk, "Mine")
    porch.unlink()
    porch_desk.menus.actions["save"].trigger()
    assert asks.asked == []
    assert read_plan(porch).title == "Mine"


def test_recent_files_are_listed_last_first(desk: Desk, tmp_path: Path, porch: Path, settings: Settings) -> None:
    other = tmp_path / "other.layout.json"
    other.write_bytes(porch.read_bytes())
    desk.files.open(porch)
    desk.files.open(other)
    menu = desk.menus.menus["recent"]
    menu.aboutToShow.emit()
    assert [a.text() for a in menu.actions()] == ["other.layout.json", "porch.layout.json"]
    menu.actions()[1].trigger()
    assert desk.document.path == porch
    other.unlink()
    assert settings.recent == (porch,)


def test_opening_another_plan_picks_nothing_and_cannot_be_undone(porch_desk: Desk) -> None:
    porch_desk.view.select(["P4"])
    retitle(porch_desk, "Changed")
    porch_desk.document.undo()
    porch_desk.files.open(SAMPLES / "orchard-row-carport.layout.json")
    assert porch_desk.view.selected == ()
    assert not porch_desk.menus.actions["undo"].isEnabled()
    assert not porch_desk.menus.actions["redo"].isEnabled()


def test_a_refused_save_offers_another_name(
    porch_desk: Desk, asks: FakeAsks, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    retitle(porch_desk, "Changed")
    with monkeypatch.context() as patched:
        fill_the_disk(patched)
        porch_desk.menus.actions["save"].trigger()
    asks.saves = tmp_path / "elsewhere.layout.json"
    assert porch_desk.slip.button.text() == "Save as …"
    porch_desk.slip.button.click()
    assert read_plan(asks.saves).title == "Changed"


@pytest.mark.parametrize("content", [None, b"{"])
def test_a_file_named_at_the_start_that_cannot_be_read_is_said(
    desk: Desk, tmp_path: Path, content: bytes | None
) -> None:
    path = tmp_path / "start.layout.json"
    if content is not None:
        path.write_bytes(content)
    desk.begin(path)
    assert desk.slip.isVisible()
    assert "start.layout.json" in desk.slip.text.text()
