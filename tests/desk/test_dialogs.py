"""The real dialogs behind the port: their words, their answers, and the harmless one on Esc."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QMessageBox, QWidget
from pytestqt.qtbot import QtBot

from layoutdesk.desk.asks import FileKind
from layoutdesk.desk.dialogs.answers import Dialogs, ended


def answering(do: Callable[[QWidget], None]) -> None:
    """Have something done to the dialog that is about to open."""

    def once() -> None:
        dialog = QApplication.activeModalWidget()
        if dialog is None:
            QTimer.singleShot(20, once)
        else:
            do(dialog)

    QTimer.singleShot(20, once)


def press(word: str) -> Callable[[QWidget], None]:
    def do(dialog: QWidget) -> None:
        assert isinstance(dialog, QMessageBox)
        next(b for b in dialog.buttons() if b.text() == word).click()

    return do


def name_it(dialog: QFileDialog, name: str) -> None:
    box = dialog.findChild(QLineEdit)
    assert isinstance(box, QLineEdit)
    box.setText(name)


@pytest.mark.parametrize(
    ("word", "answer"), [("Save", "save"), ("Discard", "discard"), ("Keep editing", "keep editing")]
)
def test_unsaved_changes_have_three_answers(qapp: QApplication, word: str, answer: str) -> None:
    answering(press(word))
    assert Dialogs().unsaved("Porch") == answer


def test_esc_keeps_editing(qtbot: QtBot) -> None:
    answering(lambda dialog: qtbot.keyClick(dialog, Qt.Key.Key_Escape))
    assert Dialogs().unsaved("Porch") == "keep editing"


def test_esc_leaves_a_recovery_copy_for_later(qtbot: QtBot) -> None:
    answering(lambda dialog: qtbot.keyClick(dialog, Qt.Key.Key_Escape))
    assert Dialogs().recover("Porch", "12 March") == "later"


def test_esc_replaces_nothing(qtbot: QtBot) -> None:
    answering(lambda dialog: qtbot.keyClick(dialog, Qt.Key.Key_Escape))
    assert Dialogs().overwrite("porch.layout.json") is False


def test_a_line_of_text_is_asked_for(qapp: QApplication) -> None:
    def fill(dialog: QWidget) -> None:
        box = dialog.findChild(QLineEdit)
        assert isinstance(box, QLineEdit)
        box.setText("P9")
        dialog.accept()  # type: ignore[attr-defined]

    answering(fill)
    assert Dialogs().text("Another name", "P4") == "P9"


def test_a_name_gets_its_ending(qapp: QApplication, tmp_path: Path) -> None:
    def choose(dialog: QWidget) -> None:
        assert isinstance(dialog, QFileDialog)
        name_it(dialog, "porch")
        dialog.accept()

    answering(choose)
    assert Dialogs().save_file(tmp_path / "x.pdf", "pdf") == tmp_path / "porch.pdf"


def test_a_file_that_is_there_is_asked_about(qapp: QApplication, tmp_path: Path) -> None:
    (tmp_path / "porch.pdf").write_bytes(b"old")

    def choose(dialog: QWidget) -> None:
        assert isinstance(dialog, QFileDialog)
        name_it(dialog, "porch.pdf")
        answering(press("Replace it"))
        dialog.accept()

    answering(choose)
    assert Dialogs().save_file(tmp_path / "x.pdf", "pdf") == tmp_path / "porch.pdf"


def test_leaving_the_file_dialog_chooses_nothing(qapp: QApplication, tmp_path: Path) -> None:
    answering(lambda dialog: dialog.reject())  # type: ignore[attr-defined]
    assert Dialogs().open_file(tmp_path) is None


@pytest.mark.parametrize(
    ("name", "kind", "ending"),
    [
        ("porch", "plan", "porch.layout.json"),
        ("porch.json", "plan", "porch.json"),
        ("porch.layout.json", "plan", "porch.layout.json"),
        ("porch v1.2", "dxf", "porch v1.2.dxf"),
        ("PORCH.PDF", "pdf", "PORCH.PDF"),
    ],
)
def test_endings(name: str, kind: FileKind, ending: str) -> None:
    assert ended(Path("/x") / name, kind).name == ending
