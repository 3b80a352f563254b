"""What the program remembers from one day to the next: recent files, dress, sizes. One small JSON file."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path
from typing import Any, Final

from layoutdesk.desk.dress import LARGEST, SMALLEST, Choice

MOST_RECENT: Final = 8
_CHOICES: Final[tuple[Choice, ...]] = ("system", "light", "dark")


class Settings:
    """The remembered settings, read at once and written at every change.

    A file that cannot be read counts as none, and one that cannot be written is let be: losing a setting
    must never stand in the way of the work.
    """

    def __init__(self, folder: Path) -> None:
        self._file = folder / "settings.json"
        self._values: dict[str, Any] = {}
        with suppress(OSError, ValueError):
            read = json.loads(self._file.read_text(encoding="utf-8"))
            if isinstance(read, dict):
                self._values = read

    @property
    def dress(self) -> Choice:
        """Return which dress is wanted."""
        value = self._values.get("dress")
        return next((c for c in _CHOICES if c == value), "system")

    @dress.setter
    def dress(self, choice: Choice) -> None:
        self._put("dress", choice)

    @property
    def text_scale(self) -> float:
        """Return how many times its usual size text is shown."""
        value = self._values.get("text")
        return value if isinstance(value, float) and SMALLEST <= value <= LARGEST else 1.0

    @text_scale.setter
    def text_scale(self, scale: float) -> None:
        self._put("text", float(scale))

    @property
    def folder(self) -> Path:
        """Return where files were last opened or saved, or the person's home."""
        value = self._values.get("folder")
        folder = Path(value) if isinstance(value, str) else Path.home()
        return folder if folder.is_dir() else Path.home()

    @folder.setter
    def folder(self, folder: Path) -> None:
        self._put("folder", str(folder.absolute()))

    @property
    def recent(self) -> tuple[Path, ...]:
        """Return the files that were lately open, the last one first; those that are gone are left out."""
        value = self._values.get("recent")
        names = [n for n in value if isinstance(n, str)] if isinstance(value, list) else []
        return tuple(p for p in map(Path, names[:MOST_RECENT]) if p.is_file())

    def opened(self, path: Path) -> None:
        """Remember that a file was opened or saved."""
        path = path.absolute()
        rest = [str(p) for p in self.recent if p != path]
        self._values["folder"] = str(path.parent)
        self._put("recent", [str(path), *rest][:MOST_RECENT])

    @property
    def geometry(self) -> bytes | None:
        """Return where the window stood, as the window itself wrote it."""
        value = self._values.get("window")
        with suppress(ValueError):
            return bytes.fromhex(value) if isinstance(value, str) else None
        return None

    @geometry.setter
    def geometry(self, data: bytes) -> None:
        self._put("window", data.hex())

    def _put(self, key: str, value: object) -> None:
        if self._values.get(key) == value and key in self._values:
            return
        self._values[key] = value
        beside = self._file.with_name(f"{self._file.name}.{os.getpid()}")
        with suppress(OSError):
            # Written beside its place and moved in, so that a crash leaves the old settings whole.
            self._file.parent.mkdir(parents=True, exist_ok=True)
            beside.write_text(json.dumps(self._values, indent=1), encoding="utf-8")
            beside.replace(self._file)
