"""Where the files are that lie under the sheet: named from the plan's folder in its file, whole on the desk.

A plan file can so be moved together with the pictures beside it, and a plan on the desk can be saved anywhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path, PurePosixPath

from layoutdesk.plan.model import Plan


def as_found(plan: Plan, folder: Path) -> Plan:
    """Return a plan that was read from ``folder``, with whole paths to what lies under its sheet."""
    return _renamed(plan, lambda file: _whole(file, folder))


def as_kept(plan: Plan, folder: Path) -> Plan:
    """Return a plan that is to be written to ``folder``: what lies there or below is named from there."""
    return _renamed(plan, lambda file: _named_from(file, folder))


def _renamed(plan: Plan, name: Callable[[str], str]) -> Plan:
    if not plan.underlays:
        return plan
    after = tuple([replace(u, file=name(u.file)) for u in plan.underlays])
    return plan if after == plan.underlays else plan.with_(underlays=after)


def _whole(file: str, folder: Path) -> str:
    return file if Path(file).is_absolute() else str(folder.absolute() / PurePosixPath(file))


def _named_from(file: str, folder: Path) -> str:
    path, home = Path(file), folder.absolute()
    return path.relative_to(home).as_posix() if path.is_relative_to(home) else file
