"""Heights that are wrong: refused with file, place and mend, or taken and told in one sentence each."""

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


def row_of(plan: Plan, point: str) -> dict[str, Any]:
    """Return the last reading on a point."""
    rows: list[dict[str, Any]] = [row for row in plan["levels"]["readings"] if row["point"] == point]
    return rows[-1]


def levels(key: str, value: object) -> Change:
    """Return a change of one key of the levels."""
    return lambda plan: plan["levels"].update({key: value})


def reading(**values: object) -> Change:
    """Return a change of the third reading."""
    return lambda plan: plan["levels"]["readings"][2].update(values)


BAD: dict[str, tuple[Change, str, str]] = {
    "text for a reading": (reading(reading="5 ft"), "levels.readings[2].reading", "must be a number, not text"),
    "a reading beyond all": (reading(reading=1e9), "levels.readings[2].reading", "more than 10 km"),
    "half a setup": (reading(setup=1.5), "levels.readings[2].setup", "must be a whole number"),
    "a sight aside": (reading(kind="side"), "levels.readings[2].kind", "one of back, fore"),
    "a point without a name": (reading(point=" "), "levels.readings[2].point", "is empty"),
    "a benchmark twice": (
        levels("benchmarks", [{"id": "BM1", "elevation": 0}, {"id": "BM1", "elevation": 25}]),
        "levels.benchmarks[1].id",
        "BM1 is used twice",
    ),
    "a benchmark without a height": (levels("benchmarks", [{"id": "BM1"}]), ".elevation", "is missing"),
    "a setup twice": (levels("setups", [{"setup": 1}, {"setup": 1}]), "levels.setups[1].setup", "used twice"),
    "a method of no kind": (levels("setups", [{"setup": 1, "method": "eye"}]), ".method", "one of level"),
    "heights of no line": (levels("lines", [{"line": "L9"}]), "levels.lines[0].line", "no beam line L9"),
    "heights of no pier": (levels("piers", [{"pier": "P99"}]), "levels.piers[0].pier", "no pier P99"),
    "a beam down a wall": (levels("lines", [{"line": "L1", "fall": 48}]), "levels.lines[0].fall", "a slope"),
    "a column of nothing": (levels("columns", {"width": 0}), "levels.columns.width", "more than 0"),
    "frost above the ground": (levels("settings", {"frost": -5}), "levels.settings.frost", "from 0 to 10000 mm"),
    "a spot that is a pier": (
        lambda plan: plan["spots"][0].update(id="P1"),
        "P1 is used twice",
        "an id of its own",
    ),
    "a spot nowhere": (lambda plan: plan["spots"][0].update(at=[1e9, 0]), "spots[0].at", "farther than 10 km"),
}


@pytest.mark.parametrize("case", BAD)
def test_impossible_heights_are_refused_with_their_place(
    case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change, place, mend = BAD[case]
    plan = json.loads(PORCH)
    change(plan)
    file = tmp_path / "porch.layout.json"
    file.write_text(json.dumps(plan), encoding="utf-8")
    code = main(["figures", str(file)], no_desk)
    said = capsys.readouterr()
    assert (code, said.out) == (2, ""), said.err
    assert said.err.startswith("layoutdesk: porch.layout.json: ")
    assert said.err.count("\n") == 1
    assert place in said.err
    assert mend in said.err


def no_number(text: str) -> float:
    """Refuse what JSON does not know."""
    raise AssertionError(f"{text} in the figures")


def flags_of(change: Change, folder: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> dict[str, list[str]]:
    """Return the flags of the sample with something changed, by code; every figure is a number."""
    plan = json.loads(PORCH)
    change(plan)
    file = folder / "porch.layout.json"
    file.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["figures", str(file)], no_desk) == 0
    figures = json.loads(capfdbinary.readouterr().out, parse_constant=no_number)
    found: dict[str, list[str]] = {}
    for flag in figures["flags"]:
        found.setdefault(flag["code"], []).append(flag["text"])
    return found


def loose(plan: Plan) -> None:
    plan["levels"]["readings"] += [
        {"setup": 7, "point": "T9", "kind": "back", "reading": 1000},
        {"setup": 7, "point": "fence", "kind": "fore", "reading": 1100},
    ]


def second_benchmark(plan: Plan) -> None:
    plan["levels"]["benchmarks"].append({"id": "TP1", "elevation": -300})


def gone(plan: Plan) -> None:
    """Take a pier away and leave its readings, as deleting does."""
    plan["piers"] = [pier for pier in plan["piers"] if pier["id"] != "P10"]


TOLD: dict[str, tuple[Change, str, str]] = {
    "inches typed as feet": (
        lambda plan: row_of(plan, "P8").update(reading=row_of(plan, "P8")["reading"] * 12),
        "reading-doubtful",
        "P8 reads 61′\u00a010\u2009¹⁄₂″ from setup 1: probably 5′\u00a01\u2009⁷⁄₈″, read in inches and typed as",
    ),
    "feet typed as inches on the way": (
        lambda plan: row_of(plan, "TP1").update(reading=row_of(plan, "TP1")["reading"] / 12),
        "reading-doubtful",
        "read in feet and typed as inches",
    ),
    "a setup that connects to nothing": (loose, "level-book-doubtful", "Setup 7 connects to nothing: T9 and fence"),
    "two benchmarks that disagree": (second_benchmark, "benchmarks-disagree", "BM1 and TP1 disagree"),
    "a loop that does not close": (
        lambda plan: row_of(plan, "BM1").update(reading=1200),
        "levels-do-not-close",
        "Setups 1 and 2 come back to BM1",
    ),
    "no benchmark": (levels("benchmarks", []), "level-book-doubtful", "there is no benchmark in this plan"),
    "no backsight": (
        lambda plan: plan["levels"]["readings"][0].update(kind="fore"),
        "level-book-doubtful",
        "Setup 1 has no back reading",
    ),
    "ground above the seat": (
        levels("lines", [{"line": "L1", "seat": -400}]),
        "ground-above-seat",
        "",
    ),
}


@pytest.mark.parametrize("case", TOLD)
def test_doubtful_heights_are_told_in_one_sentence(
    case: str, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    change, code, words = TOLD[case]
    found = flags_of(change, tmp_path, capfdbinary)
    assert code in found
    assert any(words in text for text in found[code]), found[code]


def test_readings_of_a_pier_that_is_gone_break_nothing(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    before = flags_of(lambda plan: plan, tmp_path, capfdbinary)
    after = flags_of(gone, tmp_path, capfdbinary)
    assert set(after) <= set(before) | {"string-sags"}
