"""Whether somebody still works on a file: a lock that ends with its process, however that ends."""

from __future__ import annotations

import contextlib
import sys


def hold(descriptor: int) -> bool:
    """Lock an open file for this process, without waiting; return whether it is now held.

    The system lets go when the file is closed or the process ends, even when it is killed. Where a file system
    knows no locks the answer is no, which callers take as somebody else's.
    """
    with contextlib.suppress(OSError):
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        return True
    return False
