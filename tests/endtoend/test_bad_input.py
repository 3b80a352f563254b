"""Broken, cut off, huge and hostile input: one sentence that names the file, and nothing written."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from layoutdesk.cli import main
from layoutdesk.places import SAMPLES

PLAN = (SAMPLES / "heron-lane-porch.layout.json").read_text(encoding="utf-8")
Plan = dict[str, Any]


def no_desk(_: Path | None) -> int:
    """Stand in for the desk, which no command with an output opens."""
    raise AssertionError("the desk was opened")


def assert_refused(words: list[str | Path], named: str, out: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """Hold that a command line is refused in one line that holds ``named``, and that nothing was written."""
    before = sorted(out.parent.iterdir())
    code = main([str(word) for word in words], no_desk)
    said = capsys.readouterr()
    assert (code, said.out) == (2, ""), said.err
    assert said.err.startswith("layoutdesk: ")
    assert said.err.count("\n") == 1
    assert named in said.err
    assert "Traceback" not in said.err
    assert sorted(out.parent.iterdir()) == before
    return said.err


def changed(change: Callable[[Plan], object]) -> str:
    """Return the sample with something changed."""
    plan = json.loads(PLAN)
    change(plan)
    return json.dumps(plan)


def put(*way: str | int, value: object) -> str:
    """Return the sample with one value replaced."""

    def change(plan: Plan) -> None:
        inner: Any = plan
        for step in way[:-1]:
            inner = inner[step]
        inner[way[-1]] = value

    return changed(change)


BROKEN: dict[str, str | bytes] = {
    "empty": "",
    "white": " \n\t ",
    "a list": "[]",
    "a number": "42",
    "null": "null",
    "a sentence": "the porch of Heron Lane",
    "a page of the web": "<!doctype html><html></html>",
    "a PDF by another name": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n",
    "zeros": bytes(4096),
    "half a character": PLAN.encode()[:30] + b"\xc3",
    "not UTF-8": PLAN.replace("Heron", "H\u00e9ron").encode("latin-1"),
    "UTF-16": PLAN.encode("utf-16"),
    "two plans": PLAN + PLAN,
    "a comma too many": PLAN.replace('"walls": [', '"walls": [,'),
    "lists in lists": "[" * 200_000 + "]" * 200_000,
    "objects in objects": '{"a":' * 50_000 + "1" + "}" * 50_000,
    "a key twice": PLAN.replace('"units":', '"title": "again", "units":'),
    "no version": changed(lambda plan: plan.pop("layoutdesk")),
    "version true": put("layoutdesk", value=True),
    "version as text": put("layoutdesk", value="1"),
    "version 0": put("layoutdesk", value=0),
    "a newer version": put("layoutdesk", value=2),
    "NaN": PLAN.replace("[609.6, -2438.4]", "[NaN, -2438.4]"),
    "infinite": PLAN.replace("[609.6, -2438.4]", "[Infinity, -2438.4]"),
    "too large for a float": PLAN.replace("[609.6, -2438.4]", "[1e999, -2438.4]"),
    "a whole number of 400 digits": PLAN.replace("[609.6, -2438.4]", f"[{'9' * 400}, -2438.4]"),
    "another continent": put("piers", 3, "at", value=[1e12, 0]),
    "one coordinate": put("piers", 3, "at", value=[1]),
    "three coordinates": put("piers", 3, "at", value=[1, 2, 3]),
    "coordinates as text": put("piers", 3, "at", value=["1", "2"]),
    "a place that is true": put("piers", 3, "at", value=[True, False]),
    "no place": changed(lambda plan: plan["piers"][3].pop("at")),
    "piers as an object": put("piers", value={"P1": [0, 0]}),
    "a pier that is null": put("piers", 3, value=None),
    "an id twice": put("piers", 3, "id", value="P1"),
    "an id of two kinds": put("controls", 0, "id", value="P1"),
    "an empty id": put("piers", 3, "id", value=""),
    "an id that is a number": put("piers", 3, "id", value=7),
    "an id with a line break": put("piers", 3, "id", value="P\n9"),
    "an endless id": put("piers", 3, "id", value="P" * 100_000),
    "a line that is not there": put("piers", 3, "line", value="L99"),
    "a detail that is not there": put("piers", 3, "detail", value="D99"),
    "a corner that is not there": put("bays", 0, "corners", value=["A1", "A2", "P4", "Q9"]),
    "a hole upside down": put("details", 0, "profile", value=[[800, 300], [0, 300]]),
    "a hole of no width": put("details", 0, "profile", value=[[0, -300], [800, -300]]),
    "unknown units": put("units", value="cubits"),
    "rounding to nothing": put("rounding", value=0),
    "rounding below nothing": put("rounding", value=-1),
    "an unknown side": put("walls", 0, "house_side", value="behind"),
    "a wall of one point": put("walls", 0, "points", value=[[0, 0]]),
    "an outline of two points": put("slabs", 0, "outline", value=[[0, 0], [1, 1]]),
    "a slab thinner than nothing": put("slabs", 0, "thickness", value=-5),
}


@pytest.mark.parametrize("case", BROKEN)
def test_a_plan_that_says_something_impossible_is_refused_in_one_sentence(
    case: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    content = BROKEN[case]
    plan, out = tmp_path / "porch.layout.json", tmp_path / "out" / "porch.pdf"
    out.parent.mkdir()
    plan.write_bytes(content if isinstance(content, bytes) else content.encode())
    assert_refused(["sheets", plan, "-o", out], "porch.layout.json", out, capsys)


def test_the_sentence_names_the_place_in_the_plan(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan, out = tmp_path / "porch.layout.json", tmp_path / "porch.pdf"
    plan.write_text(put("piers", 3, "at", value=[1]), encoding="utf-8")
    assert "piers[3].at" in assert_refused(["sheets", plan, "-o", out], "porch.layout.json", out, capsys)


def test_a_plan_cut_off_anywhere_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    plan, out = tmp_path / "porch.layout.json", tmp_path / "porch.pdf"
    whole = PLAN.rstrip().encode()
    for length in [*range(0, len(whole), 61), len(whole) - 1]:
        plan.write_bytes(whole[:length])
        assert_refused(["sheets", plan, "-o", out], "porch.layout.json", out, capsys)


def test_files_that_cannot_be_read_as_a_plan_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A folder, nothing at all, a link in a circle, more bytes than any plan has, and a pipe that never ends."""
    out = tmp_path / "out.pdf"
    (tmp_path / "folder.json").mkdir()
    huge = tmp_path / "huge.json"
    with huge.open("wb") as file:
        file.truncate(3_000_000_000)
    names = ["folder.json", "nothing.json", "huge.json", "nowhere/porch.json"]
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.json")
        (tmp_path / "circle.json").symlink_to("circle.json")
        names += ["pipe.json", "circle.json"]
    for name in names:
        assert_refused(["sheets", tmp_path / name, "-o", out], name.rsplit("/", 1)[-1], out, capsys)


@pytest.mark.parametrize("name", ["plan.dxf", "points.CSV", "scan.pdf", "photo.jpg"])
@pytest.mark.parametrize("there", [True, False])
def test_foreign_files_without_a_drawing_in_them_are_refused(
    name: str, *, there: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan, out = tmp_path / name, tmp_path / "out.pdf"
    if there:
        plan.write_bytes(b"0\nSECTION\n")
    assert_refused(["sheets", plan, "-o", out], name, out, capsys)
