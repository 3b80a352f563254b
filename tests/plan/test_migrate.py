"""Older files are taken to the present version step by step."""

from __future__ import annotations

from typing import Any

import pytest

from layoutdesk.errors import PlanError
from layoutdesk.plan.migrate import STEPS, migrated


def test_a_file_of_the_present_version_is_left_as_it_is() -> None:
    data = {"layoutdesk": 1, "title": "Shed"}
    assert migrated(data) == data
    assert STEPS == {}


def test_steps_are_taken_in_order_and_the_old_objects_stay_as_they_were() -> None:
    def rename(old: dict[str, Any]) -> dict[str, Any]:
        return {("name" if key == "title" else key): value for key, value in old.items()}

    def add(old: dict[str, Any]) -> dict[str, Any]:
        return {**old, "name": old["name"] + "!"}

    data = {"layoutdesk": 1, "title": "Shed"}
    assert migrated(data, steps={1: rename, 2: add}, version=3) == {"layoutdesk": 3, "name": "Shed!"}
    assert data == {"layoutdesk": 1, "title": "Shed"}


def test_a_newer_file_is_refused_even_when_there_are_steps() -> None:
    with pytest.raises(PlanError, match="of version 4, and this program reads up to version 3"):
        migrated({"layoutdesk": 4}, steps={1: dict, 2: dict}, version=3)
