"""Recovery copies: what was being edited when the program ended without being asked to.

While a plan is edited a copy of it is kept in a folder of the program's own. A clean close takes the copy away;
after a crash, a kill or a power cut it is still there, and the next start offers it. Whether its writer still
runs is told by a lock beside the copy, which the system lets go when the writer ends, however it ends.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from layoutdesk.errors import FileError, LayoutdeskError
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.locks import hold
from layoutdesk.plan.model import Plan
from layoutdesk.plan.strict_json import read_json

_COPY: Final = ".recovery"
_LOCK: Final = ".lock"


@dataclass(frozen=True, slots=True)
class Left:
    """A copy whose writer has ended: the plan, when it was written, and the file it was to be saved in, in full.

    ``path`` is None when the plan had not been saved yet.
    """

    plan: Plan
    path: Path | None
    when: datetime
    copy: Path

    def discard(self) -> None:
        """Take the copy away, once the person has opened it or does not want it; no error when it is gone."""
        for file in (self.copy, self.copy.with_suffix(_LOCK)):
            with contextlib.suppress(OSError):
                file.unlink()


class RecoveryCopy:
    """The recovery copy of one open document.

    Args:
        folder: the program's own folder for such copies; it is made when needed.
        key: what tells this document from others, usually the path of its file.
    """

    def __init__(self, folder: Path, key: str) -> None:
        digest = hashlib.sha256(key.encode("utf-8", "surrogateescape")).hexdigest()[:16]
        # The token keeps a later process, which may get the same number, from writing over a copy left behind.
        self._copy = folder / f"{digest}-{os.getpid()}-{secrets.token_hex(4)}{_COPY}"
        self._lock: int | None = None
        self._written: tuple[Plan, Path | None] | None = None

    def write(self, plan: Plan, path: Path | None) -> None:
        """Keep a copy of the plan as it stands; nothing is written when it is the very plan written last.

        The copy is whole or the one before, but is not forced to the disk: that would take longer than an edit
        may, and guards only against a power cut. Ten thousand piers take some 50 ms.

        Raises:
            FileError: when the copy cannot be written.
        """
        if self._written is not None and self._written[0] is plan and self._written[1] == path:
            return
        head = {
            "path": None if path is None else os.fsdecode(path.absolute()),
            "when": datetime.now(UTC).isoformat(),
        }
        part = self._copy.with_suffix(".part")
        try:
            self._hold_lock()
            part.write_bytes(f"{json.dumps(head)}\n{plan_to_json(plan)}".encode())
            part.replace(self._copy)
        except OSError as error:
            with contextlib.suppress(OSError):
                part.unlink()
            raise FileError(
                f"no recovery copy could be kept ({error.strerror or error}); save the plan often"
            ) from error
        self._written = (plan, path)

    def clear(self) -> None:
        """Take the copy away, as after a save or on a clean close; a later write starts anew."""
        self._written = None
        with contextlib.suppress(OSError):
            self._copy.unlink()
        if self._lock is not None:
            lock, self._lock = self._lock, None
            with contextlib.suppress(OSError):
                os.close(lock)
            with contextlib.suppress(OSError):
                self._copy.with_suffix(_LOCK).unlink()

    def _hold_lock(self) -> None:
        """Hold the lock beside the copy for as long as this process lives or until the copy is cleared."""
        if self._lock is None:
            self._copy.parent.mkdir(parents=True, exist_ok=True)
            lock = os.open(self._copy.with_suffix(_LOCK), os.O_RDWR | os.O_CREAT, 0o600)
            hold(lock)
            self._lock = lock


def left_behind(folder: Path) -> list[Left]:
    """Return the copies in a folder whose writers have ended, the newest first.

    Copies of running programs, and copies that cannot be read as a plan, are passed over; so is everything
    where the file system knows no locks, because then nobody can tell. Never raises.
    """
    found: list[Left] = []
    with contextlib.suppress(OSError):
        for copy in folder.glob(f"*{_COPY}"):
            if _writer_has_ended(copy):
                with contextlib.suppress(OSError, LayoutdeskError, ValueError, TypeError, KeyError):
                    found.append(_read(copy))
    return sorted(found, key=lambda left: left.when, reverse=True)


def _writer_has_ended(copy: Path) -> bool:
    """Return whether nobody holds the lock beside a copy any more; without a lock its writer was clearing it."""
    try:
        lock = os.open(copy.with_suffix(_LOCK), os.O_RDWR)
    except OSError:
        return False
    try:
        return hold(lock)
    finally:
        os.close(lock)


def _read(copy: Path) -> Left:
    """Return a copy as it can be offered."""
    head, _, text = copy.read_bytes().partition(b"\n")
    known = read_json(head, copy.name)
    path = known["path"]
    return Left(
        plan=plan_from_json(text, copy.name),
        path=None if path is None else Path(path),
        when=datetime.fromisoformat(known["when"]).astimezone(UTC),
        copy=copy,
    )
