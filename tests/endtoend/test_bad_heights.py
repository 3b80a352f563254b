"""Heights in a plan file that say something impossible: one sentence with file, place and mend; nothing written."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from layoutdesk.cli import main
from layoutdesk.places import SAMPLES

PORCH = (SAMPLES / "heron-lane-porch.layout.json").read_text(encoding="utf-8")
Plan = dict[str, Any]
Change = Callable[[Plan], object]


def no_desk(_: Path | None) -> int:
    """Stand in for the desk, which no command with an output opens."""
    raise AssertionError("the desk was opened")


def booked(index: int, **values: object) -> Change:
    """Return a change of one reading."""
    return lambda plan: plan["levels"]["readings"][index].update(values)


def level(part: str, **values: object) -> Change:
    """Return a change of the settings or the columns."""
    return lambda plan: plan["levels"].setdefault(part, {}).update(values)


def one_of(part: str, **values: object) -> Change:
    """Return a change of the first entry of a list of the heights."""
    return lambda plan: plan["levels"][part][0].update(values)


def spot(**values: object) -> Change:
    """Return a change of the first spot."""
    return lambda plan: plan["spots"][0].update(values)


BAD: dict[str, tuple[Change, str]] = {
    "a reading of no kind": (booked(1, kind="sideways"), "levels.readings[1].kind"),
    "a reading that is text": (booked(1, reading="4 ft"), "levels.readings[1].reading"),
    "a reading of nothing": (booked(1, reading=None), "levels.readings[1].reading"),
    "a reading longer than any rod": (booked(1, reading=1e9), "levels.readings[1].reading"),
    "a reading of 400 digits": (booked(1, reading=10**400), "levels.readings[1].reading"),
    "a setup that is text": (booked(1, setup="one"), "levels.readings[1].setup"),
    "a reading without its point": (lambda p: p["levels"]["readings"][1].pop("point"), "levels.readings[1].point"),
    "a reading that is a number": (lambda p: p["levels"]["readings"].insert(1, 7), "levels.readings[1]"),
    "a benchmark without a height": (
        lambda p: p["levels"]["benchmarks"][0].pop("elevation"),
        "levels.benchmarks[0].elevation",
    ),
    "a benchmark twice": (
        lambda p: p["levels"]["benchmarks"].append(dict(p["levels"]["benchmarks"][0])),
        "levels.benchmarks[1].id",
    ),
    "a line that is not there": (one_of("lines", line="L99"), "levels.lines[0].line"),
    "a fall that is text": (one_of("lines", fall="steep"), "levels.lines[0].fall"),
    "a top of no rule": (one_of("lines", top="somewhere"), "levels.lines[0].top"),
    "a column as wide as nothing": (level("columns", width=0), "levels.columns.width"),
    "a stock length below zero": (level("columns", stock=[-1]), "levels.columns.stock"),
    "a frost that is text": (level("settings", frost="deep"), "levels.settings.frost"),
    "a spot without a place": (lambda p: p["spots"][0].pop("at"), "spots[0].at"),
    "a spot of one number": (spot(at=[1]), "spots[0].at"),
    "a spot named as a pier": (spot(id="P1"), "spots[0].id"),
    "levels that are a list": (lambda p: p.update(levels=[]), "levels"),
}


ENDINGS = {"sheets": ".pdf", "drawing": ".dxf", "figures": "", "points": ".csv"}


@pytest.mark.parametrize("command", ENDINGS)
@pytest.mark.parametrize("name", BAD)
def test_bad_heights_are_refused_in_one_sentence(
    name: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change, place = BAD[name]
    plan = json.loads(PORCH)
    change(plan)
    file = tmp_path / "job.layout.json"
    file.write_text(json.dumps(plan), encoding="utf-8")
    out = ["-o", str(tmp_path / f"out{ENDINGS[command]}")] if ENDINGS[command] else []
    assert main([command, str(file), *out], no_desk) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "job.layout.json" in told.err
    assert place in told.err
    assert len(told.err.strip().splitlines()) == 1
    assert "Traceback" not in told.err
    assert [path.name for path in tmp_path.iterdir()] == ["job.layout.json"]
