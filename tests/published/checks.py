"""The published values, as the tests read them."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from layoutdesk.places import PUBLISHED


@cache
def published() -> dict[str, dict[str, Any]]:
    """Return all published checks by id."""
    with (PUBLISHED / "published.toml").open("rb") as file:
        entries = tomllib.load(file)["check"]
    found = {entry["id"]: entry for entry in entries}
    assert len(found) == len(entries), "an id is there twice"
    return found


def on_topic(topic: str) -> list[dict[str, Any]]:
    """Return the checks of one topic, in file order."""
    return [entry for entry in published().values() if entry["topic"] == topic]
