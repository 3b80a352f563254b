"""Numbers of an entry as a plan keeps them: as floats, also where whole numbers were given."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import cache
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    Entry = TypeVar("Entry", bound=DataclassInstance)


@cache
def _numbers(kind: type[Any]) -> dict[str, bool]:
    """Return the fields of an entry that are numbers, and whether each may be missing."""
    written = {"float": False, "float | None": True}
    return {field.name: written[field.type] for field in fields(kind) if field.type in written}


def in_floats(entry: Entry) -> Entry:
    """Return an entry with each of its numbers as a float; one that may be missing stays missing."""
    found: dict[str, float | None] = {}
    for name, optional in _numbers(type(entry)).items():
        value = getattr(entry, name)
        found[name] = None if optional and value is None else float(value)
    return replace(entry, **found)
