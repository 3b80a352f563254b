"""A plan as JSON text: the same text for the same plan, one entry a line, so that two issues compare well."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any, Final

from layoutdesk.plan.keys import ENTRIES, KEYS, LISTS, VERSION, VERSION_KEY
from layoutdesk.plan.model import (
    BagProduct,
    CastIn,
    Control,
    Extra,
    HoleLog,
    Holes,
    Levels,
    LineHeights,
    Plan,
    ProofSettings,
    Setup,
    Steel,
    Tape,
    TapeAtHand,
)
from layoutdesk.plan.usual import usual_holes, usual_levels
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
    "holes",
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
    HoleLog: {"along": 0.0, "away": 0.0, "water": 0.0, "poured": False},
    BagProduct: {"mass_kg": 0.0, "price": 0.0},
}
"""Keys of entries that are not written when they say only what goes without saying."""

_ALWAYS: Final = ("benchmarks", "readings")
"""Lists of the levels that are written even while they are empty."""
_SAID_EMPTY: Final = {(Steel, "hoop")}
"""Texts that are written even while they are empty: it means something."""


def plan_to_json(plan: Plan) -> str:
    """Return the text of a plan file: known keys in a fixed order, then the unknown ones; ends with a newline."""
    lines = [f'"{VERSION_KEY}": {VERSION}']
    for key in _ORDER:
        value = getattr(plan, key)
        if key in _LEFT_OUT_WHEN and value == _LEFT_OUT_WHEN[key]:
            continue
        if key == "tape_at_hand" and value == TapeAtHand(length=default_tape(plan.units)):
            continue
        if key == "holes" and value == usual_holes(plan.units):
            continue
        lines.append(f'"{key}": {_top(key, value, plan)}')
    lines += [f"{_text(key)}: {_foreign(value)}" for key, value in plan.extra]
    return "{\n  " + ",\n  ".join(lines) + "\n}\n"


def _top(key: str, value: Any, plan: Plan) -> str:
    """Return the value of one key of the whole plan."""
    if key in LISTS[Plan]:
        return _list(value, "  ")
    if key == "levels":
        return _room(value, usual_levels(plan.units))
    if key == "holes":
        return _room(value, usual_holes(plan.units))
    return _entry(value) if key in ENTRIES[Plan] else _value(value)


def _list(entries: tuple[Any, ...], indent: str) -> str:
    """Return a list with one entry a line."""
    if not entries:
        return "[]"
    inner = f",\n{indent}  ".join([_entry(entry) for entry in entries])
    return f"[\n{indent}  {inner}\n{indent}]"


def _room(room: Levels | Holes, usual: Levels | Holes) -> str:
    """Return a room of the plan with lists and rules of its own: on one line while its lists are empty."""
    lists, entries = LISTS[type(room)], ENTRIES[type(room)]
    parts = [
        f'"{key}": {_list(getattr(room, key), "    ")}' for key in lists if key in _ALWAYS or getattr(room, key)
    ]
    parts += [
        f'"{key}": {_entry(getattr(room, key))}' for key in entries if getattr(room, key) != getattr(usual, key)
    ]
    parts += _extra(room.extra)
    if not any(getattr(room, key) for key in lists):
        return "{" + ", ".join(parts) + "}"
    return "{\n    " + ",\n    ".join(parts) + "\n  }"


def _entry(entry: Any) -> str:
    """Return one entry on one line; references that are not there and empty marks are left out."""
    parts = []
    unsaid = _UNSAID.get(type(entry), {})
    for key, field in KEYS[type(entry)].items():
        value = getattr(entry, field)
        if value is None or (value == "" and (type(entry), key) not in _SAID_EMPTY):
            continue
        if key not in unsaid or value != unsaid[key]:
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
    CastIn: _entry,
    Steel: _entry,
}
