"""Writing a file whole or not at all: whoever opens it sees the old bytes or the new ones, never a part.

The bytes go to a temporary file in the same folder, are forced to the disk and read back; only then does the
temporary file take the place of the old one, in one step of the file system.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import stat
from pathlib import Path
from typing import Final

from layoutdesk.errors import FileError
from layoutdesk.plan.locks import hold

_ENDING: Final = ".part"
_TROUBLE: Final = {
    errno.ENOSPC: "the disk is full; make room or save elsewhere",
    errno.EDQUOT: "your share of the disk is used up; make room or save elsewhere",
    errno.EROFS: "the disk is read-only; save elsewhere",
    errno.EACCES: "there is no permission to write there; save elsewhere",
    errno.EPERM: "there is no permission to write there; save elsewhere",
    errno.ENAMETOOLONG: "the name is too long; choose a shorter one",
    errno.ELOOP: "its links go round in a circle; save elsewhere",
    errno.ENOENT: "the folder is not there; make it or save elsewhere",
    errno.ENOTDIR: "the folder is not there; make it or save elsewhere",
    errno.EFBIG: "it is too large for that disk; save elsewhere",
    errno.EIO: "the disk reports a fault; save elsewhere",
}


def write_whole(path: Path, data: bytes) -> None:
    """Write ``data`` to ``path`` whole, or leave what was there as it was.

    Symbolic links are followed; an existing file keeps its mode.

    Raises:
        FileError: when it cannot be written: the sentence names the file, the trouble and the mend.
    """
    try:
        target = Path(os.path.realpath(path))
        before = _ordinary(path, target)
        part, descriptor = _new_part(target)
        try:
            _fill(descriptor, data, before)
            part.replace(target)
        except BaseException:
            with contextlib.suppress(OSError):
                part.unlink()
            raise
        _force_folder(target.parent)
        _sweep(target)
    except FileError:
        raise
    except (OSError, ValueError) as error:  # ValueError: a name with a null character
        code = error.errno if isinstance(error, OSError) else None
        reason = _TROUBLE.get(code or 0, f"{getattr(error, 'strerror', None) or error}; save elsewhere")
        raise FileError(f"{shown(path)} was not saved: {reason}") from error


def shown(path: Path) -> str:
    """Return the name of a file as a sentence can hold it."""
    name = path.name or str(path)
    return "".join(c if c.isprintable() else "�" for c in name)[:120]


def _ordinary(path: Path, target: Path) -> os.stat_result | None:
    """Return the old file's state, or None when there is none.

    Raises:
        FileError: when something stands there that must not be replaced.
    """
    try:
        before = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(before.st_mode):
        raise FileError(f"{shown(path)} was not saved: it is a folder; choose another name")
    if not stat.S_ISREG(before.st_mode):
        raise FileError(f"{shown(path)} was not saved: it is no ordinary file; choose another name")
    if not os.access(target, os.W_OK):
        raise FileError(f"{shown(path)} was not saved: it is write-protected; save it under another name")
    return before


def _new_part(target: Path) -> tuple[Path, int]:
    """Return a new temporary file beside the target, open and locked, with the mode that new files get."""
    flags = os.O_RDWR | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    while True:
        part = target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}{_ENDING}")
        descriptor = os.open(part, flags, 0o666)
        hold(descriptor)
        if os.name != "posix" or os.fstat(descriptor).st_nlink:
            return part, descriptor
        os.close(descriptor)  # swept away by another save before the lock was held


def _fill(descriptor: int, data: bytes, before: os.stat_result | None) -> None:
    """Write, force to disk, read back and close."""
    with os.fdopen(descriptor, "w+b") as part:
        part.write(data)
        part.flush()
        os.fsync(part.fileno())
        part.seek(0)
        if part.read() != data:
            raise OSError(errno.EIO, "the disk gives back other bytes than were written")
        if before is not None and os.name == "posix":
            with contextlib.suppress(OSError):  # only root may give files away
                os.fchown(part.fileno(), before.st_uid, before.st_gid)
            os.fchmod(part.fileno(), stat.S_IMODE(before.st_mode))


def _force_folder(folder: Path) -> None:
    """Force the folder's new entry to the disk where the system can."""
    if os.name != "posix":
        return
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _sweep(target: Path) -> None:
    """Clear away what a killed process left behind while it saved this very file."""
    with contextlib.suppress(OSError):
        for left in target.parent.glob(f".{_literal(target.name[:80])}.*{_ENDING}"):
            with contextlib.suppress(OSError):
                descriptor = os.open(left, os.O_RDWR)
                try:
                    dead = hold(descriptor)
                finally:
                    os.close(descriptor)
                if dead:
                    left.unlink()


def _literal(name: str) -> str:
    """Return a name as a pattern that fits only itself."""
    return "".join(f"[{c}]" if c in "*?[" else c for c in name)
