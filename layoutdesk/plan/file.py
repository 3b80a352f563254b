"""The plan file, ``*.layout.json``: reading with checks that name the place, saving whole or not at all."""

from __future__ import annotations

import errno
import stat
from pathlib import Path
from typing import Final

from layoutdesk.errors import FileError, PlanError
from layoutdesk.plan.json_out import plan_to_json
from layoutdesk.plan.model import Plan
from layoutdesk.plan.whole import shown, write_whole

MOST_BYTES: Final = 64 * 1024 * 1024
"""The largest file that is read; ten thousand piers take a hundredth of it."""

_TROUBLE: Final = {
    errno.ENOENT: "is not there; check the name and the folder",
    errno.ENOTDIR: "is not there; check the name and the folder",
    errno.EACCES: "may not be read; ask for permission to read it or open a copy",
    errno.EPERM: "may not be read; ask for permission to read it or open a copy",
    errno.ELOOP: "is a link that goes round in a circle; choose the file itself",
    errno.ENAMETOOLONG: "has too long a name; check the name",
}


def read_plan(path: Path) -> Plan:
    """Return the plan in a file.

    Raises:
        FileError: when the file cannot be read or is no JSON.
        PlanError: when it says something impossible; the sentence names file, place and trouble.
    """
    return plan_from_json(_bytes_of(path), shown(path))


def write_plan(path: Path, plan: Plan) -> None:
    """Save a plan: the file holds the old plan or the new one whole, whatever happens meanwhile.

    What is about to be saved is first read back, as opening it would.

    Raises:
        FileError: when the file cannot be written; the old one is as it was.
        PlanError: when the plan says something impossible, so that it could not be opened again.
    """
    name = shown(path)
    data = _checked_text(plan, name).encode("utf-8")
    if plan_from_json(data, name) != plan:
        raise FileError(
            f"{name} was not saved: the plan would not read back as it is; undo the last step and save again"
        )
    write_whole(path, data)


def plan_from_json(text: str | bytes, name: str) -> Plan:
    """Return the plan that JSON text holds.

    Args:
        text: the text of a plan file.
        name: what to call it in a sentence: usually the file's name.

    Raises:
        FileError: when it is no JSON.
        PlanError: when it says something impossible.
    """
    from layoutdesk.plan.entries import plan_from_objects
    from layoutdesk.plan.migrate import migrated
    from layoutdesk.plan.strict_json import read_json
    from layoutdesk.plan.validate import check

    data = read_json(text, name)
    try:
        plan = plan_from_objects(migrated(data))
        check(plan)
    except PlanError as error:
        raise PlanError(error.place, error.problem, file=name) from None
    return plan


def _checked_text(plan: Plan, name: str) -> str:
    """Return the text of a plan that keeps all rules."""
    from layoutdesk.plan.validate import check

    try:
        check(plan)
    except PlanError as error:
        raise PlanError(error.place, error.problem, file=name) from None
    return plan_to_json(plan)


def _bytes_of(path: Path) -> bytes:
    """Return what is in an ordinary file of a bearable size."""
    name = shown(path)
    try:
        state = path.stat()  # looked at before opening: opening a pipe would wait for ever
        mode, size, data = state.st_mode, state.st_size, b""
        if stat.S_ISREG(mode) and size <= MOST_BYTES:
            with path.open("rb") as file:
                data = file.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:  # ValueError: a name with a null character
        code = error.errno if isinstance(error, OSError) else errno.ENOENT
        reason = _TROUBLE.get(code or 0, f"cannot be read ({getattr(error, 'strerror', None) or error})")
        raise FileError(f"{name} {reason}") from error
    if not stat.S_ISREG(mode):
        kind = (
            "a folder; choose a plan file in it" if stat.S_ISDIR(mode) else "no ordinary file; choose a plan file"
        )
        raise FileError(f"{name} is {kind}")
    if max(size, len(data)) > MOST_BYTES:
        raise FileError(f"{name} is larger than 64 MB, which no plan is; choose another file")
    return data


__all__ = ["MOST_BYTES", "plan_from_json", "plan_to_json", "read_plan", "write_plan", "write_whole"]
