"""Plan files that are refused: the sentence names the file, the place, and what must stand there."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from layoutdesk.errors import FileError, PlanError
from layoutdesk.plan.file import plan_from_json
from tests.plan.whole_plan import text_of


def put(path: str, value: object) -> Callable[[dict[str, Any]], None]:
    """Return a change that puts a value at a place such as ``piers.0.at``."""

    def change(plan: dict[str, Any]) -> None:
        *way, last = path.split(".")
        spot: Any = plan
        for key in way:
            spot = spot[int(key)] if key.isdigit() else spot[key]
        spot[int(last) if last.isdigit() else last] = value

    return change


def without(path: str) -> Callable[[dict[str, Any]], None]:
    """Return a change that takes away the key at a place."""

    def change(plan: dict[str, Any]) -> None:
        *way, last = path.split(".")
        spot: Any = plan
        for key in way:
            spot = spot[int(key)] if key.isdigit() else spot[key]
        del spot[last]

    return change


POINT = "must be two numbers [x, y]"
REFUSED: list[tuple[str, str, Callable[[dict[str, Any]], object]]] = [
    # types, by msgspec, in our words
    ("piers[2].at", POINT, put("piers.2.at", [1])),
    ("piers[2].at", f"{POINT}, not text", put("piers.2.at", "here")),
    ("piers[2].at", f"{POINT}, not text", put("piers.2.at", [1, "2"])),
    ("piers[2].at", f"{POINT}, not null", put("piers.2.at", None)),
    ("piers[2].at", f"{POINT}, not true or false", put("piers.2.at", [True, 0])),
    ("piers[2].at", "is a number too large for a plan", put("piers.2.at", [10**400, 0])),
    ("piers[2].at", f"is missing; it {POINT}", without("piers.2.at")),
    ("piers[2].id", "is missing; it must be there", without("piers.2.id")),
    ("piers[2].id", "must be text, not a whole number", put("piers.2.id", 3)),
    ("piers[2]", "must be an entry { … }, not a list", put("piers.2", [])),
    ("piers", "must be a list, not an entry { … }", put("piers", {})),
    ("piers[0].line", "must be text or null, not a whole number", put("piers.0.line", 1)),
    ("title", "must be text, not null", put("title", None)),
    ("rounding", "must be a number, not text", put("rounding", "1/16")),
    ("units", "must be one of ft-in, m, mm", put("units", "yards")),
    ("paper", "must be one of letter, a4", put("paper", "a3")),
    ("walls[0].points[1]", POINT, put("walls.0.points.1", [1, 2, 3])),
    ("walls[0].points", "must be a list of points [[x, y], …], not a number", put("walls.0.points", 1.5)),
    ("walls[0].house_side", "must be one of left, right", put("walls.0.house_side", "north")),
    ("attachments[0].kind", "must be one of ledger, side-bolted, in-wall post", put("attachments.0.kind", "glue")),
    ("baseline", "must be an entry { … } or null, not a list", put("baseline", [])),
    ("baseline.origin", POINT, put("baseline.origin", [])),
    ("baseline.yard_side", "must be one of left, right", put("baseline.yard_side", "")),
    ("lines[0].from", POINT, put("lines.0.from", [1])),
    ("lines[0].to", f"is missing; it {POINT}", without("lines.0.to")),
    ("details[0].profile[1]", "must be two numbers [depth, diameter]", put("details.0.profile.1", [5])),
    (
        "details[0].profile[1]",
        "must be two numbers [depth, diameter], not null",
        put("details.0.profile.1", [5, None]),
    ),
    ("keepouts[0].kind", "must be one of tree, air conditioner, utility, other", put("keepouts.0.kind", "dog")),
    ("bays[0].corners", "must be four ids, in order round the bay", put("bays.0.corners", ["A1"])),
    ("tapes[0].from", "must be the id of a point, not a whole number", put("tapes.0.from", 1)),
    ("tapes[0].class", "must be one of I, II, III", put("tapes.0.class", "IV")),
    ("tapes[1].kind", "must be one of distance, square, string, right angle", put("tapes.1.kind", "arc")),
    ("tapes[1].third", "must be the id of a point, not a whole number", put("tapes.1.third", 4)),
    ("tapes[1].legs", "must be two lengths", put("tapes.1.legs", [3])),
    ("proof.control", "must be one of held, uncertain, free", put("proof.control", "loose")),
    ("proof.tolerance", "must be a number", put("proof.tolerance", "1/2 in")),
    ("proof.read_to", "must be a number, not text", put("proof.read_to", "1/16 in")),
    ("proof.read_to", "must be from 0 to 1000 mm", put("proof.read_to", -1)),
    ("tape_at_hand.class", "must be one of I, II, III", put("tape_at_hand.class", "0")),
    ("levels", "must be an entry { … }, not a list", put("levels", [])),
    ("levels.readings[0].kind", "must be one of back, fore", put("levels.readings.0.kind", "up")),
    ("levels.readings[0].setup", "must be a whole number, not a number", put("levels.readings.0.setup", 1.5)),
    ("bags[0].yield_m3", "must be a number, not text", put("bags.0.yield_m3", "much")),
    # rules
    ("piers[2].at", "is farther than 10 km (6 miles) out", put("piers.2.at", [0, 1.1e7])),
    ("walls[0].points[1]", "is farther than 10 km (6 miles) out", put("walls.0.points.1", [-1.1e7, 0])),
    ("baseline.toward", "is farther than 10 km (6 miles) out", put("baseline.toward", [1e300, 0])),
    ("baseline.origin", "is farther than 10 km (6 miles) out", put("baseline.origin", [1e300, 0])),
    ("lines[0].from", "is farther than 10 km (6 miles) out", put("lines.0.from", [1e300, 0])),
    ("slabs[0].outline[3]", "is farther than 10 km (6 miles) out", put("slabs.0.outline.3", [1e300, 0])),
    ("piers[1].id", "P1 is used twice, also at piers[0].id", put("piers.1.id", "P1")),
    ("keepouts[0].id", "W1 is used twice, also at walls[0].id", put("keepouts.0.id", "W1")),
    ("piers[1].id", "is empty", put("piers.1.id", " ")),
    ("piers[1].id", "is longer than 40 characters", put("piers.1.id", "P" * 41)),
    ("piers[1].id", "holds a character that cannot be printed", put("piers.1.id", "P\n1")),
    ("piers[0].mark", "holds a character that cannot be printed", put("piers.0.mark", "\ud800")),
    ("levels.benchmarks[1].id", "B1 is used twice", put("levels.benchmarks", [{"id": "B1", "elevation": 0}] * 2)),
    ("title", "is longer than 200 characters", put("title", "x" * 201)),
    ("date", "holds a character that cannot be printed", put("date", "4\t5")),
    ("rounding", "must be more than 0 and at most 1000 mm", put("rounding", 0)),
    ("rounding", "must be more than 0 and at most 1000 mm", put("rounding", -1.5)),
    ("walls[0].points", "needs at least 2 points", put("walls.0.points", [[0, 0]])),
    ("slabs[0].outline", "needs at least 3 corners", put("slabs.0.outline", [[0, 0], [1, 0]])),
    ("slabs[0].thickness", "must be more than 0", put("slabs.0.thickness", 0)),
    ("slabs[0].thickness", "is more than 10 km (6 miles)", put("slabs.0.thickness", 1e8)),
    ("keepouts[0].outline", "needs at least 3 corners", put("keepouts.0.outline", [])),
    ("details[0].profile", "is empty", put("details.0.profile", [])),
    ("details[0].profile", "goes back up from 700 to 600 mm", put("details.0.profile.2", [600, 450])),
    ("details[0].profile", "has the depth -1", put("details.0.profile.0", [-1, 450])),
    ("details[0].profile", "has the diameter 0", put("details.0.profile.0", [0, 0])),
    ("details[0].profile", "more than 200 entries", put("details.0.profile", [[0, 1]] * 201)),
    ("details[0].reveal", "is more than 10 km (6 miles)", put("details.0.reveal", 1e9)),
    ("lines[0].attachment", "there is no attachment A2", put("lines.0.attachment", "A2")),
    ("piers[0].line", "there is no beam line W1", put("piers.0.line", "W1")),
    ("piers[0].detail", "there is no detail D2", put("piers.0.detail", "D2")),
    ("piers[0].detail", "names no detail", put("piers.0.detail", "D\n2")),
    ("bays[0].corners[3]", "there is no pier or attachment C1", put("bays.0.corners.3", "C1")),
    ("bays[0].corners", "names a corner twice", put("bays.0.corners.3", "A1")),
    ("tapes[0].to", "there is no control point, attachment or pier L1", put("tapes.0.to", "L1")),
    ("tapes[0].to", "is C1 at both ends", put("tapes.0.to", "C1")),
    ("tapes[0].distance", "must be more than 0", put("tapes.0.distance", 0)),
    ("levels.benchmarks[0].elevation", "is more than 10 km (6 miles)", put("levels.benchmarks.0.elevation", 1e8)),
    ("levels.readings[0].point", "is empty", put("levels.readings.0.point", "")),
    ("levels.readings[0].reading", "is more than 10 km (6 miles)", put("levels.readings.0.reading", -1e8)),
    ("levels.readings[0].setup", "must be a whole number from 0", put("levels.readings.0.setup", -1)),
    ("tapes[1].third", "there is no control point, attachment or pier L1", put("tapes.1.third", "L1")),
    ("tapes[1].own", "is missing: mm, and mm for every metre", put("tapes.1.own", None)),
    ("proof.held_attachment", "there is no attachment P1", put("proof.held_attachment", "P1")),
    ("tape_at_hand.length", "must be more than 0", put("tape_at_hand.length", 0)),
    ("bags[0].product", "is empty", put("bags.0.product", "")),
    ("bags[0].yield_m3", "more than 0 and at most 10 m³", put("bags.0.yield_m3", 0)),
    # versions
    ("layoutdesk", "of version 2, and this program reads up to version 1", put("layoutdesk", 2)),
    ("layoutdesk", "of a version unheard of, and", put("layoutdesk", 10**25)),
    ("layoutdesk", "must be the version of the file", put("layoutdesk", "1")),
    ("layoutdesk", "must be the version of the file", put("layoutdesk", 0)),
    ("layoutdesk", "must be the version of the file", put("layoutdesk", value=True)),
    ("layoutdesk", "must be the version of the file", put("layoutdesk", 1.5)),
    ("", "the key “layoutdesk” with its version is missing", without("layoutdesk")),
]


@pytest.mark.parametrize(
    ("place", "problem", "change"),
    REFUSED,
    ids=[f"{n} {place} {problem}" for n, (place, problem, _) in enumerate(REFUSED)],
)
def test_what_is_wrong_is_named_with_its_place(
    place: str, problem: str, change: Callable[[dict[str, Any]], object]
) -> None:
    with pytest.raises(PlanError) as refused:
        plan_from_json(text_of(change), "porch.layout.json")
    assert refused.value.place == place
    assert problem in refused.value.problem
    assert str(refused.value) == ": ".join(
        part for part in ("porch.layout.json", place, refused.value.problem) if part
    )
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("text", ["[]", "3", '"plan"', "null"])
def test_json_that_is_no_plan_is_refused(text: str) -> None:
    with pytest.raises(PlanError, match="this is no plan file"):
        plan_from_json(text, "odd")


BROKEN: list[tuple[str, str | bytes]] = [
    ("is empty; open an earlier copy", ""),
    ("is empty; open an earlier copy", b" \n "),
    ("is empty; open an earlier copy", b"\xef\xbb\xbf"),
    ("byte 3 is no text", b'{"\xff"'),
    ("byte 1 is no text", '{"layoutdesk": 1}'.encode("utf-16")),
    ("is cut off at line 1", '{"layoutdesk": 1'),
    ("is cut off at line 2", '{"layoutdesk": 1,\n"title": "Por'),
    ("is no JSON at line 1, column 18", '{"layoutdesk": 1 "title": ""}'),
    ("is no JSON at line 1, column 1", b"%PDF-1.7 and so on"),
    ("is no JSON at line 1, column 19", '{"layoutdesk": 1} {}'),
    ("NaN is no number that a plan can hold", '{"layoutdesk": 1, "rounding": NaN}'),
    ("-Infinity is no number that a plan can hold", '{"layoutdesk": 1, "x": -Infinity}'),
    ("a number is too large", '{"layoutdesk": 1, "x": [[1e999]]}'),
    ("holds a number with thousands of digits", '{"layoutdesk": 1, "x": ' + "9" * 5000 + "}"),
    ("“title” stands twice in the entry;", '{"layoutdesk": 1, "title": "a", "title": "b"}'),
    ("“at” stands twice in the entry of P1;", '{"piers": [{"id": "P1", "at": [0, 0], "at": [1, 1]}]}'),
    ("is nested too deep", "[" * 100_000),
    ("are nested more than 60 deep", '{"layoutdesk": 1, "x": ' + "[" * 70 + "]" * 70 + "}"),
]


@pytest.mark.parametrize(
    ("problem", "text"), BROKEN, ids=[f"{n} {problem}" for n, (problem, _) in enumerate(BROKEN)]
)
def test_what_is_no_sound_json_is_refused_in_one_sentence(problem: str, text: str | bytes) -> None:
    with pytest.raises(FileError) as refused:
        plan_from_json(text, "odd.layout.json")
    assert problem in str(refused.value)
    assert str(refused.value).startswith("odd.layout.json")
    assert "\n" not in str(refused.value)
