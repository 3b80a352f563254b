"""The questions of the desk as dialogs: words on every button, and the harmless answer on Esc."""

from __future__ import annotations

from pathlib import Path
from typing import Final, TypeVar

from PySide6.QtWidgets import QApplication, QFileDialog, QInputDialog, QLineEdit, QMainWindow, QMessageBox, QWidget

from layoutdesk.desk.asks import ENDING, FileKind, Recovery, Unsaved

Answer = TypeVar("Answer")

_KINDS: Final[dict[FileKind, str]] = {
    "plan": "Plan",
    "pdf": "Field sheets",
    "dxf": "Drawing",
    "csv": "Table of points",
    "png": "Picture",
}

_ENDINGS: Final[dict[str, tuple[str, ...]]] = {
    "Drawings": ("dxf", "pdf"),
    "Pictures": ("png", "jpg", "jpeg", "tif", "tiff", "bmp", "gif", "webp"),
    "Tables of points": ("csv", "tsv", "txt"),
}


def _patterns(*endings: str) -> str:
    """Return patterns for files that end so, in small or in capital letters."""
    return " ".join(f"*.{e} *.{e.upper()}" for e in endings)


_FOREIGN: Final = _patterns(*(e for endings in _ENDINGS.values() for e in endings))


class Dialogs:
    """Asks by dialogs over the active window."""

    def open_file(self, folder: Path) -> Path | None:
        """Ask for a plan, or for a drawing that is to become one."""
        plans = f"*{ENDING['plan']} *.json"
        return _file_from(
            folder, "Open a plan or a drawing", (f"Plans and drawings ({plans} {_FOREIGN})", f"Plans ({plans})")
        )

    def open_drawing(self, folder: Path) -> Path | None:
        """Ask for a drawing, a picture or a table of points to take in."""
        return _file_from(folder, "Take in a drawing", ())

    def lay_file(self, folder: Path) -> Path | None:
        """Ask for a picture or a PDF that is to lie under the sheet."""
        kinds = _patterns(*_ENDINGS["Pictures"], "pdf")
        return _file_from(folder, "Lay a picture under the sheet", (f"Pictures and PDF ({kinds})",))

    def save_file(self, start: Path, kind: FileKind) -> Path | None:
        """Ask for a name, see that it ends as it should, and ask again before another file is replaced."""
        while True:
            dialog = QFileDialog(_over(), f"Save: {_KINDS[kind].lower()}", str(start.parent))
            dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
            dialog.setOption(QFileDialog.Option.DontConfirmOverwrite)
            dialog.setNameFilters([f"{_KINDS[kind]} (*{ENDING[kind]})"])
            dialog.selectFile(start.name)
            path = _chosen(dialog)
            if path is None:
                return None
            path = ended(path, kind)
            if not path.exists() or _ask(
                f"{path.name} is there already.",
                "Saving replaces it.",
                (("Replace it", True), ("Another name", False)),
                left=False,
            ):
                return path
            start = path

    def unsaved(self, title: str) -> Unsaved:
        """Ask what to do with changes that are not saved."""
        answers: tuple[tuple[str, Unsaved], ...] = (
            ("Save", "save"),
            ("Discard", "discard"),
            ("Keep editing", "keep editing"),
        )
        return _ask(
            f"{title} has changes that are not saved.", "Discarded changes are gone.", answers, left="keep editing"
        )

    def recover(self, title: str, when: str) -> Recovery:
        """Ask whether to open what a crash left behind."""
        answers: tuple[tuple[str, Recovery], ...] = (
            ("Open it", "open"),
            ("Ask again later", "later"),
            ("Throw it away", "throw away"),
        )
        return _ask(
            f"{title} was being edited when the program ended without saving.",
            f"There is a copy of {when}. Opening it changes no file until you save.",
            answers,
            left="later",
        )

    def overwrite(self, name: str) -> bool:
        """Ask whether to replace a file that another program has changed since it was opened."""
        return _ask(
            f"{name} was changed by another program since it was opened.",
            "Replacing it loses what that program wrote. Save as writes under another name.",
            (("Replace it", True), ("Do not save", False)),
            left=False,
        )

    def text(self, question: str, start: str) -> str | None:
        """Ask for a line of text."""
        answer, taken = QInputDialog.getText(_over(), "Layoutdesk", question, QLineEdit.EchoMode.Normal, start)
        return answer if taken else None

    def tell(self, title: str, sentence: str) -> None:
        """Say something that must not be missed."""
        _ask(title, sentence, (("Close", None),), left=None)


def ended(path: Path, kind: FileKind) -> Path:
    """Return the path with the ending of its kind; a plain ``.json`` will do for a plan."""
    name = path.name.lower()
    if name.endswith(ENDING[kind]) or (kind == "plan" and name.endswith(".json")):
        return path
    return path.with_name(path.name + ENDING[kind])


def _over() -> QWidget | None:
    """Return the window to stand over: never another dialog, which may be gone before the question is answered."""
    return next((w for w in QApplication.topLevelWidgets() if isinstance(w, QMainWindow) and w.isVisible()), None)


def _chosen(dialog: QFileDialog) -> Path | None:
    taken = dialog.exec()
    names = dialog.selectedFiles()
    dialog.deleteLater()
    return Path(names[0]) if taken and names else None


def _ask(question: str, more: str, answers: tuple[tuple[str, Answer], ...], *, left: Answer) -> Answer:
    """Ask a question; the first answer is offered, and ``left`` is what Esc means."""
    box = QMessageBox(_over())
    box.setWindowTitle("Layoutdesk")
    box.setText(question)
    box.setInformativeText(more)
    roles = QMessageBox.ButtonRole
    buttons = [box.addButton(text, roles.ActionRole) for text, _ in answers]
    box.setDefaultButton(buttons[0])
    for button, (_, answer) in zip(buttons, answers, strict=True):
        if answer == left:
            box.setEscapeButton(button)
    box.exec()
    pressed = box.clickedButton()
    box.deleteLater()
    return next((a for b, (_, a) in zip(buttons, answers, strict=True) if b is pressed), left)


def _file_from(folder: Path, title: str, filters: tuple[str, ...]) -> Path | None:
    """Ask for a file that is there; after ``filters`` come those of everything that can be taken in."""
    dialog = QFileDialog(_over(), title, str(folder))
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    foreign = [f"{name} ({_patterns(*endings)})" for name, endings in _ENDINGS.items()]
    everything = () if filters else (f"Drawings, pictures and points ({_FOREIGN})",)
    dialog.setNameFilters([*filters, *everything, *foreign, "All files (*)"])
    return _chosen(dialog)
