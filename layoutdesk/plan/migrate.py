"""Files of older versions, step by step: each step takes plain objects of one version to the next.

A step never guesses: it renames, moves or fills in what the next version says in another way.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from layoutdesk.errors import PlanError
from layoutdesk.plan.keys import VERSION, VERSION_KEY

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: Final[Mapping[int, Step]] = {}
"""From each older version to the next. Version 1 is the first, so there is no step yet."""


def migrated(data: object, *, steps: Mapping[int, Step] = STEPS, version: int = VERSION) -> dict[str, Any]:
    """Return a file's objects as the present version says them; what is given is not changed.

    Args:
        data: the objects of the file.
        steps: version -> step to the next version.
        version: the version wanted.

    Raises:
        PlanError: when this is no plan file, or when it is of a newer version than this program reads.
    """
    if not isinstance(data, dict):
        raise PlanError("", "this is no plan file, which holds one object { … }; choose another file")
    if VERSION_KEY not in data:
        raise PlanError(
            "", f"this is no plan file: the key “{VERSION_KEY}” with its version is missing; choose another file"
        )
    found = data[VERSION_KEY]
    if isinstance(found, bool) or not isinstance(found, int) or found < 1:
        raise PlanError(VERSION_KEY, f"must be the version of the file, a whole number such as {version}")
    if found > version:
        newer = f"version {found}" if found < 1_000_000 else "a version unheard of"
        raise PlanError(
            VERSION_KEY,
            f"the file is of {newer}, and this program reads up to version {version}; "
            "open it with a newer layoutdesk",
        )
    current = dict(data)
    while current[VERSION_KEY] < version:
        before = current[VERSION_KEY]
        current = {**steps[before](current), VERSION_KEY: before + 1}
    return current
