"""The sentence at the foot of the rail: what comes next, with as many flags as the stages show."""

from __future__ import annotations

from dataclasses import replace

from layoutdesk.desk.rail import upcoming
from layoutdesk.engine.derive import derive
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan


def test_the_flags_to_look_at_are_counted_as_the_stages_count_them() -> None:
    plan = read_plan(SAMPLES / "heron-lane-porch.layout.json")
    flag = derive(plan).plan_flags[0]
    warning, note, error = (replace(flag, severity=severity) for severity in ("warning", "note", "error"))
    assert upcoming(plan, [warning]) == "Next: look at the flag, then print the field sheets."
    assert upcoming(plan, [note, warning]) == "Next: look at the 2 flags, then print the field sheets."
    assert upcoming(plan, [note]).startswith("Next: print the field sheets.")
    assert upcoming(plan, [note, error]) == "Next: mend what is wrong (1) before anything is printed."
