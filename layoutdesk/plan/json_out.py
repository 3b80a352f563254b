"""A plan as JSON text: the same text for the same plan, one entry a line, so that two issues compare well."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, Final

from layoutdesk.plan.keys import ENTRIES, KEYS, LISTS, VERSION, VERSION_KEY
from layoutdesk.plan.model import (
    ColumnRule,
    Control,
    Extra,
    HeightSettings,
    Levels,
    LineHeights,
    Plan,
    ProofSettings,
    Setup,
    Tape,
    TapeAtHand,
)
from layoutdesk.units import default_tape

_ORDER: Final = (
    "title",
    "units",
    "rounding",
    "issue",
    "date",
    "paper",
    "walls",
    "attachments",
    "baseline",
    "controls",
    "lines",
    "piers",
    "details",
    "slabs",
    "keepouts",
    "bays",
    "spots",
    "tapes",
    "levels",
    "tape_at_hand",
    "bags",
    "written",
    "chains",
    "underlays",
    "proof",
)
_LEFT_OUT_WHEN: Final[dict[str, object]] = {
    "issue": "",
    "date": "",
    "paper": "letter",
    "baseline": None,
    "bays": (),
    "spots": (),
    "bags": (),
    "written": (),
    "chains": (),
    "underlays": (),
    "proof": ProofSettings(),
}
"""Top-level keys that are not written when they say only what goes without saying."""

_UNSAID: Final[dict[type[Any], dict[str, object]]] = {
    Control: {"measured": False},
    Tape: {"kind": "distance"},
    ProofSettings: {"read_to": 0.0},
    Setup: {"method": "level"},
    LineHeights: {"fall": 0.0, "top": "reveal", "string_rule": "level"},
}
"""Keys of entries that are not written when they say only what goes without saying."""

_ALWAYS: Final = ("benchmarks", "readings")
"""Lists of the levels that are written even while they are empty."""
_USUAL_LEVELS: Final[dict[str, object]] = {"columns": ColumnRule(), "settings": HeightSettings()}


def plan_to_json(plan: Plan) -> str:
    """Return the text of a plan file: known keys in a fixed order, then the unknown ones; ends with a newline."""
    lines = [f'"{VERSION_KEY}": {VERSION}']
    for key in _ORDER:
        value = getattr(plan, key)
        if key in _LEFT_OUT_WHEN and value == _LEFT_OUT_WHEN[key]:
            continue
        if key == "tape_at_hand" and value == TapeAtHand(length=default_tape(plan.units)):
            continue
        lines.append(f'"{key}": {_top(key, value)}')
    lines += [f"{_text(key)}: {_foreign(value)}" for key, value in plan.extra]
    return "{\n  " + ",\n  ".join(lines) + "\n}\n"


def _top(key: str, value: Any) -> str:
    """Return the value of one key of the whole plan."""
    if key in LISTS[Plan]:
        return _list(value, "  ")
    if key == "levels":
        return _levels(value)
    return _entry(value) if key in ENTRIES[Plan] else _value(value)


def _list(entries: tuple[Any, ...], indent: str) -> str:
    """Return a list with one entry a line."""
    if not entries:
        return "[]"
    inner = f",\n{indent}  ".join([_entry(entry) for entry in entries])
    return f"[\n{indent}  {inner}\n{indent}]"


def _levels(levels: Levels) -> str:
    """Return the level book and the rules of heights: on one line while both are empty."""
    parts = [
        f'"{key}": {_list(getattr(levels, key), "    ")}'
        for key in LISTS[Levels]
        if key in _ALWAYS or getattr(levels, key)
    ]
    parts += [
        f'"{key}": {_entry(getattr(levels, key))}'
        for key in ENTRIES[Levels]
        if getattr(levels, key) != _USUAL_LEVELS[key]
    ]
    parts += _extra(levels.extra)
    if not any(getattr(levels, key) for key in LISTS[Levels]):
        return "{" + ", ".join(parts) + "}"
    return "{\n    " + ",\n    ".join(parts) + "\n  }"


def _entry(entry: Any) -> str:
    """Return one entry on one line; references that are not there and empty marks are left out."""
    parts = []
    unsaid = _UNSAID.get(type(entry), {})
    for key, field in KEYS[type(entry)].items():
        value = getattr(entry, field)
        if value is not None and value != "" and (key not in unsaid or value != unsaid[key]):
            parts.append(f'"{key}": {_value(value)}')
    if entry.extra:
        parts += _extra(entry.extra)
    return "{" + ", ".join(parts) + "}"


def _extra(extra: Extra) -> list[str]:
    return [f"{_text(key)}: {_foreign(value)}" for key, value in extra]


def _value(value: Any) -> str:
    """Return a value of the plan itself: a number, a text, or tuples of them."""
    return _WRITERS[type(value)](value)


def _number(value: float) -> str:
    """Return the shortest text that reads back as the very float; whole numbers without a point."""
    return str(int(value)) if value.is_integer() else repr(value)


def _tuple(value: tuple[Any, ...]) -> str:
    return "[" + ", ".join([_value(item) for item in value]) + "]"


def _text(value: str) -> str:
    return json.dumps(value, ensure_ascii=False) if _has_utf8(value) else json.dumps(value)


def _foreign(value: object) -> str:
    """Return a value that this version does not know, as it was read."""
    text = json.dumps(value, ensure_ascii=False, allow_nan=False)
    return text if _has_utf8(text) else json.dumps(value, allow_nan=False)


def _has_utf8(text: str) -> bool:
    """Return whether a text can be written as UTF-8: half a surrogate pair can only be written as an escape."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


_WRITERS: Final[dict[type[Any], Callable[[Any], str]]] = {
    float: _number,
    int: str,
    bool: json.dumps,
    str: _text,
    tuple: _tuple,
}
