"""Files of figures that ship with the program, each read once."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from layoutdesk.places import RESOURCES


@cache
def shipped(name: str) -> dict[str, Any]:
    """Return what a file of figures says, by its topics; ``name`` is that of the file, such as ``steel``."""
    with (RESOURCES / f"{name}.toml").open("rb") as file:
        return tomllib.load(file)
