"""A plan file in which every key stands, for tests to change."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

WHOLE: dict[str, Any] = {
    "layoutdesk": 1,
    "title": "Shed – lean-to",
    "units": "ft-in",
    "rounding": 1.5875,
    "issue": "B",
    "date": "2026-05-04",
    "paper": "a4",
    "walls": [{"id": "W1", "points": [[0, 0], [9000, 0]], "house_side": "left"}],
    "attachments": [{"id": "A1", "at": [0, 0], "kind": "in-wall post"}],
    "baseline": {"origin": [0, 0], "toward": [9000, 0], "yard_side": "right"},
    "controls": [{"id": "C1", "at": [0, 0]}, {"id": "C2", "at": [9000, 0], "measured": True}],
    "lines": [{"id": "L1", "from": [0, 0], "to": [0, -5000], "attachment": "A1"}],
    "piers": [
        {"id": "P1", "at": [0, -2000], "line": "L1", "detail": "D1", "mark": "corner"},
        {"id": "P2", "at": [0.1, -3000.25]},
        {"id": "P3", "at": [0, -4000]},
    ],
    "details": [{"id": "D1", "profile": [[0, 300], [700, 300], [900, 450]], "reveal": 50}],
    "slabs": [{"id": "S1", "outline": [[0, 0], [3000, 0], [3000, -2500], [0, -2500]], "thickness": 100}],
    "keepouts": [{"id": "K1", "outline": [[0, 0], [1, 0], [1, 1]], "kind": "tree"}],
    "bays": [{"id": "B1", "corners": ["A1", "P1", "P2", "P3"]}],
    "tapes": [
        {"from": "C1", "to": "P1", "distance": 2000.5, "class": "I"},
        {
            "from": "C1",
            "to": "P1",
            "distance": -2000,
            "class": "own",
            "kind": "square",
            "third": "C2",
            "own": [0.5, 0.1],
            "legs": [900, 1200],
            "rise": 20,
            "temperature": 5,
            "pull": 60,
            "section": 3,
        },
        {"from": "P2", "to": "P3", "distance": 1000, "class": "H44", "slope": 2},
    ],
    "levels": {
        "benchmarks": [{"id": "B1", "elevation": 0}],
        "readings": [{"setup": 1, "point": "B1", "kind": "back", "reading": 1200}],
    },
    "tape_at_hand": {"length": 50000, "class": "III"},
    "bags": [{"product": "80 lb bag", "yield_m3": 0.017}],
    "proof": {
        "control": "uncertain",
        "control_deviation": 2,
        "tolerance": 6.35,
        "house": "hold one attachment",
        "held_attachment": "A1",
        "exaggeration": 20,
        "read_to": 1.5875,
    },
}


def text_of(change: Callable[[dict[str, Any]], object] = lambda plan: plan) -> str:
    """Return the text of a whole plan after a change to its objects."""
    plan = copy.deepcopy(WHOLE)
    change(plan)
    return json.dumps(plan)
