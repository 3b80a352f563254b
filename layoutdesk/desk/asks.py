"""What the desk asks the person: the port behind which the dialogs stand, so that tests can answer."""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal, Protocol

FileKind = Literal["plan", "pdf", "dxf", "csv", "png"]
Unsaved = Literal["save", "discard", "keep editing"]
Recovery = Literal["open", "later", "throw away"]

ENDING: Final[dict[FileKind, str]] = {
    "plan": ".layout.json",
    "pdf": ".pdf",
    "dxf": ".dxf",
    "csv": ".csv",
    "png": ".png",
}
"""How the name of each kind of file ends."""


class Asks(Protocol):
    """Questions to the person. Each returns the answer, and None or the harmless answer when left."""

    def open_file(self, folder: Path) -> Path | None:
        """Ask for a plan, or for a drawing that is to become one."""
        ...

    def open_drawing(self, folder: Path) -> Path | None:
        """Ask for a drawing, a picture or a table of points to take in."""
        ...

    def lay_file(self, folder: Path) -> Path | None:
        """Ask for a picture or a PDF that is to lie under the sheet."""
        ...

    def save_file(self, start: Path, kind: FileKind) -> Path | None:
        """Ask for a name to save under; the answer ends as its kind does, and overwriting has been agreed to."""
        ...

    def unsaved(self, title: str) -> Unsaved:
        """Ask what to do with changes that are not saved."""
        ...

    def recover(self, title: str, when: str) -> Recovery:
        """Ask whether to open what was being edited when the program ended without saving."""
        ...

    def overwrite(self, name: str) -> bool:
        """Ask whether to replace a file that another program has changed since it was opened."""
        ...

    def text(self, question: str, start: str) -> str | None:
        """Ask for a line of text."""
        ...

    def tell(self, title: str, sentence: str) -> None:
        """Say something that must not be missed."""
        ...
