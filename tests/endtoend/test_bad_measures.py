"""Measures and settings of the proof that say something impossible: one sentence with file, place and mend."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from layoutdesk.cli import main
from layoutdesk.places import SAMPLES

STAKED = (SAMPLES / "heron-lane-porch-staked.layout.json").read_text(encoding="utf-8")
STRING = 45
"""The place in the sample's list of the measure on a string."""
Plan = dict[str, Any]
Change = Callable[[Plan], object]


def no_desk(_: Path | None) -> int:
    """Stand in for the desk, which no command with an output opens."""
    raise AssertionError("the desk was opened")


def taped(index: int, **values: object) -> Change:
    """Return a change of one measure; ``class_`` and ``from_`` stand for keys that are words of Python."""

    def change(plan: Plan) -> None:
        plan["tapes"][index].update({key.rstrip("_"): value for key, value in values.items()})

    return change


def without(index: int, key: str) -> Change:
    """Return a change that leaves a key of one measure out."""
    return lambda plan: plan["tapes"][index].pop(key)


def judged(**values: object) -> Change:
    """Return a change of the settings of the proof."""
    return lambda plan: plan.update(proof=values)


BAD: dict[str, tuple[Change, str, str]] = {
    "to itself": (taped(2, to="C4"), "tapes[2].to", "a tape needs two points"),
    "an unknown point": (taped(2, to="P99"), "tapes[2].to", "no control point, attachment or pier P99"),
    "a point that is a number": (taped(2, from_=3), "tapes[2].from", "the id of a point"),
    "an id twice": (lambda plan: plan["piers"][1].update(id="P1"), "piers[1].id", "P1 is used twice"),
    "an id of two kinds": (lambda plan: plan["piers"][1].update(id="C1"), "piers[1].id", "an id of its own"),
    "no distance at all": (without(2, "distance"), "tapes[2].distance", "is missing"),
    "a distance of zero": (taped(2, distance=0), "tapes[2].distance", "must be more than 0"),
    "below zero": (taped(2, distance=-5), "tapes[2].distance", "must be more than 0"),
    "text for a number": (taped(2, distance="12 ft"), "tapes[2].distance", "must be a number, not text"),
    "null": (taped(2, distance=None), "tapes[2].distance", "must be a number"),
    "true": (taped(2, distance=True), "tapes[2].distance", "must be a number"),
    "400 digits": (taped(2, distance=10**400), "tapes[2].distance", "too large"),
    "a string without its third point": (without(STRING, "third"), f"tapes[{STRING}].third", "needs three points"),
    "a string with a point twice": (taped(STRING, third="P1"), f"tapes[{STRING}].third", "needs three points"),
    "a right angle without legs": (taped(STRING, kind="right angle", distance=90), ".legs", "are missing"),
    "an unknown kind": (taped(2, kind="pacing"), "tapes[2].kind", "must be one of distance, square"),
    "an unknown class": (taped(2, class_="IX"), "tapes[2].class", "must be one of I, II, III"),
    "an own tape of unknown error": (taped(2, class_="own"), "tapes[2].own", "is missing"),
    "steeper than upright": (taped(2, rise=99999), "tapes[2].rise", "less than the distance"),
    "two slopes": (taped(2, rise=100, slope=3), "tapes[2].slope", "given twice"),
    "red hot": (taped(2, temperature=400), "tapes[2].temperature", "from -60 to 80"),
    "a push": (taped(2, pull=-1), "tapes[2].pull", "from 0 to 1000 N"),
    "measures that are no list": (lambda plan: plan.update(tapes={}), "tapes", "must be a list"),
    "a measure that is a number": (lambda plan: plan["tapes"].insert(2, 7), "tapes[2]", "must be an entry"),
    "a tolerance of nothing": (judged(tolerance=0), "proof.tolerance", "must be more than 0"),
    "control of no kind": (judged(control="maybe"), "proof.control", "must be one of held, uncertain, free"),
    "an attachment that is not there": (judged(held_attachment="A99"), "proof.held_attachment", "no attachment"),
    "no exaggeration": (judged(exaggeration=0), "proof.exaggeration", "must be from 1"),
    "read to less than nothing": (judged(read_to=-1), "proof.read_to", "must be from 0"),
}  # fmt: skip


def refused(text: str, command: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """Return the one sentence with which a command refuses a plan; nothing is written."""
    plan = folder / "porch.layout.json"
    plan.write_text(text, encoding="utf-8")
    end = {"figures": "", "sheets": ".pdf", "drawing": ".dxf"}[command]
    out = ["-o", str(folder / f"out{end}")] if end else []
    code = main([command, str(plan), *out], no_desk)
    said = capsys.readouterr()
    assert (code, said.out) == (2, ""), said.err
    assert said.err.startswith("layoutdesk: porch.layout.json: ")
    assert said.err.count("\n") == 1
    assert list(folder.iterdir()) == [plan]
    return said.err


@pytest.mark.parametrize("command", ["figures", "sheets", "drawing"])
@pytest.mark.parametrize("case", BAD)
def test_an_impossible_measure_is_refused_with_its_place_and_its_mend(
    case: str, command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    change, place, mend = BAD[case]
    plan = json.loads(STAKED)
    change(plan)
    said = refused(json.dumps(plan), command, tmp_path, capsys)
    assert place in said
    assert mend in said


@pytest.mark.parametrize("number", ["NaN", "Infinity", "1e999"])
def test_a_distance_that_is_no_number_is_refused(
    number: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = STAKED.replace('"distance": 2511.425', f'"distance": {number}')
    assert text != STAKED
    assert "put a finite number in its place" in refused(text, "figures", tmp_path, capsys)


def figures_of(change: Change, folder: Path, capfdbinary: pytest.CaptureFixture[bytes]) -> Plan:
    """Return the figures of the sample with something changed, read with every odd number refused."""
    plan = json.loads(STAKED)
    change(plan)
    file = folder / "porch.layout.json"
    file.write_text(json.dumps(plan), encoding="utf-8")
    assert main(["figures", str(file)], no_desk) == 0

    def odd(word: str) -> float:
        raise AssertionError(f"{word} stands in the figures")

    made: Plan = json.loads(capfdbinary.readouterr().out, parse_constant=odd)
    return made


def test_a_stake_without_tapes_is_named_and_has_no_numbers(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    def change(plan: Plan) -> None:
        plan["tapes"] = [t for t in plan["tapes"] if "P7" not in (t["from"], t["to"])]

    proof = figures_of(change, tmp_path, capfdbinary)["proof"]
    (lost,) = (point for point in proof["points"] if point["id"] == "P7")
    assert lost["verdict"] == "not determined"
    assert [lost[key] for key in ("x", "y", "semi_major", "semi_minor", "move")] == [None] * 5
    assert any("P7" in loose["about"] and "P7" in loose["text"] for loose in proof["loose"])
    known = [point for point in proof["points"] if point["id"] != "P7"]
    for point in known:
        assert all(isinstance(point[key], float) for key in ("x", "y", "semi_major", "semi_minor"))
        assert all(isinstance(point["move"][key], float) for key in ("along", "away"))


def test_feet_typed_for_inches_is_a_suspect_and_no_refusal(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    made = figures_of(taped(0, distance=12 * 2511.425), tmp_path, capfdbinary)
    ends = {(s["from"], s["to"]) for s in made["proof"]["suspects"]}
    assert ("C1", "P1") in ends
    assert all(isinstance(s["w"], float) for s in made["proof"]["suspects"])
    assert any("C1" in flag["text"] and "P1" in flag["text"] for flag in made["flags"])
