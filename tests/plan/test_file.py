"""The plan file: what is written, what is read, and what is refused with its place."""

from __future__ import annotations

import copy
import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from layoutdesk.errors import FileError, PlanError
from layoutdesk.places import SAMPLES
from layoutdesk.plan import edits, file
from layoutdesk.plan.file import plan_from_json, plan_to_json, read_plan, write_plan
from layoutdesk.plan.model import (
    Attachment,
    BagProduct,
    Baseline,
    Bay,
    BeamLine,
    Benchmark,
    Control,
    Detail,
    Keepout,
    Levels,
    Pier,
    Plan,
    Reading,
    Slab,
    Tape,
    TapeAtHand,
    Wall,
)

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
    "controls": [{"id": "C1", "at": [0, 0]}],
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
    "tapes": [{"from": "C1", "to": "P1", "distance": 2000.5, "class": "I"}],
    "levels": {
        "benchmarks": [{"id": "B1", "elevation": 0}],
        "readings": [{"setup": 1, "point": "B1", "kind": "back", "reading": 1200}],
    },
    "tape_at_hand": {"length": 50000, "class": "III"},
    "bags": [{"product": "80 lb bag", "yield_m3": 0.017}],
}


def text_of(change: Callable[[dict[str, Any]], object] = lambda plan: plan) -> str:
    """Return the text of a whole plan after a change to its objects."""
    plan = copy.deepcopy(WHOLE)
    change(plan)
    return json.dumps(plan)


def test_every_key_of_the_file_is_read() -> None:
    assert plan_from_json(text_of(), "whole") == Plan(
        title="Shed – lean-to",
        units="ft-in",
        rounding=1.5875,
        issue="B",
        date="2026-05-04",
        paper="a4",
        walls=(Wall(id="W1", points=((0.0, 0.0), (9000.0, 0.0)), house_side="left"),),
        attachments=(Attachment(id="A1", at=(0.0, 0.0), kind="in-wall post"),),
        baseline=Baseline(origin=(0.0, 0.0), toward=(9000.0, 0.0), yard_side="right"),
        controls=(Control(id="C1", at=(0.0, 0.0)),),
        lines=(BeamLine(id="L1", start=(0.0, 0.0), end=(0.0, -5000.0), attachment="A1"),),
        piers=(
            Pier(id="P1", at=(0.0, -2000.0), line="L1", detail="D1", mark="corner"),
            Pier(id="P2", at=(0.1, -3000.25)),
            Pier(id="P3", at=(0.0, -4000.0)),
        ),
        details=(Detail(id="D1", profile=((0.0, 300.0), (700.0, 300.0), (900.0, 450.0)), reveal=50.0),),
        slabs=(
            Slab(id="S1", outline=((0.0, 0.0), (3000.0, 0.0), (3000.0, -2500.0), (0.0, -2500.0)), thickness=100.0),
        ),
        keepouts=(Keepout(id="K1", outline=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)), kind="tree"),),
        bays=(Bay(id="B1", corners=("A1", "P1", "P2", "P3")),),
        tapes=(Tape(start="C1", end="P1", distance=2000.5, tape_class="I"),),
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            readings=(Reading(setup=1, point="B1", kind="back", reading=1200.0),),
        ),
        tape_at_hand=TapeAtHand(length=50_000.0, tape_class="III"),
        bags=(BagProduct(product="80 lb bag", yield_m3=0.017),),
    )


def test_what_is_written_says_what_was_read_and_nothing_else() -> None:
    assert json.loads(plan_to_json(plan_from_json(text_of(), "whole"))) == WHOLE


def test_coordinates_become_floats() -> None:
    plan = plan_from_json(text_of(), "whole")
    assert {type(n) for wall in plan.walls for point in wall.points for n in point} == {float}
    assert type(plan.details[0].reveal) is float


def test_the_text_is_one_entry_a_line_with_the_shortest_numbers() -> None:
    text = plan_to_json(plan_from_json(text_of(), "whole"))
    assert text.splitlines()[:12] == [
        "{",
        '  "layoutdesk": 1,',
        '  "title": "Shed – lean-to",',
        '  "units": "ft-in",',
        '  "rounding": 1.5875,',
        '  "issue": "B",',
        '  "date": "2026-05-04",',
        '  "paper": "a4",',
        '  "walls": [',
        '    {"id": "W1", "points": [[0, 0], [9000, 0]], "house_side": "left"}',
        "  ],",
        '  "attachments": [',
    ]
    assert '    {"id": "P2", "at": [0.1, -3000.25]},' in text.splitlines()
    assert text.endswith("}\n")


def test_the_shortest_file_is_a_plan_and_its_defaults_are_left_out() -> None:
    plan = plan_from_json('{"layoutdesk": 1}', "short")
    assert plan == Plan()
    keys = list(json.loads(plan_to_json(plan)))
    assert keys == [
        "layoutdesk", "title", "units", "rounding", "walls", "attachments", "controls", "lines", "piers",
        "details", "slabs", "keepouts", "tapes", "levels",
    ]  # fmt: skip


def test_null_says_that_there_is_none() -> None:
    def change(plan: dict[str, Any]) -> None:
        plan["baseline"] = None
        plan["piers"][0]["line"] = plan["piers"][0]["detail"] = None
        plan["lines"][0]["attachment"] = None

    plan = plan_from_json(text_of(change), "whole")
    assert plan.baseline is None
    assert (plan.piers[0].line, plan.piers[0].detail, plan.lines[0].attachment) == (None, None, None)


@pytest.mark.parametrize("sample", sorted(SAMPLES.glob("*.layout.json")), ids=lambda path: path.name)
def test_a_sample_comes_back_byte_for_byte(sample: Path, tmp_path: Path) -> None:
    write_plan(tmp_path / sample.name, read_plan(sample))
    assert (tmp_path / sample.name).read_bytes() == sample.read_bytes()


def test_there_are_samples() -> None:
    assert len(list(SAMPLES.glob("*.layout.json"))) >= 2


def test_unknown_keys_at_every_level_survive_a_save() -> None:
    strange = {"a": [1, 2.5, None, {"b": "é\u2028"}], "half": "\ud800"}

    def change(plan: dict[str, Any]) -> None:
        def mark(entry: Any) -> None:
            if isinstance(entry, dict):
                for value in list(entry.values()):
                    mark(value)
                entry["x-new"] = strange
                entry["extra"] = 7
            elif isinstance(entry, list):
                for value in entry:
                    mark(value)

        mark(plan)
        plan["lines"][0]["start"] = "not ours"

    text = text_of(change)
    plan = plan_from_json(text, "new")
    written = plan_to_json(plan)
    assert json.loads(written) == json.loads(text)
    assert plan_from_json(written.encode(), "again") == plan
    assert plan.levels.readings[0].extra == (("x-new", strange), ("extra", 7))


def test_an_empty_level_book_keeps_its_unknown_keys() -> None:
    text = '{"layoutdesk": 1, "levels": {"benchmarks": [], "readings": [], "rod": 5}}'
    written = plan_to_json(plan_from_json(text, "book"))
    assert '  "levels": {"benchmarks": [], "readings": [], "rod": 5}' in written
    assert json.loads(written)["levels"]["rod"] == 5


def test_a_plan_with_unknown_keys_can_still_be_hashed() -> None:
    plan = plan_from_json('{"layoutdesk": 1, "x": [{}]}', "new")
    assert hash(plan) == hash(Plan())
    assert plan != Plan()


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
    ("tape_at_hand.class", "must be one of I, II, III", put("tape_at_hand.class", "0")),
    ("levels", "must be an entry { … }, not a list", put("levels", [])),
    ("levels.readings[0].kind", "must be one of back, fore", put("levels.readings.0.kind", "up")),
    ("levels.readings[0].setup", "must be a whole number, not a number", put("levels.readings.0.setup", 1.5)),
    ("bags[0].yield_m3", "must be a number, not text", put("bags.0.yield_m3", "much")),
    # rules
    ("piers[2].at", "is farther than 10 km out", put("piers.2.at", [0, 1.1e7])),
    ("walls[0].points[1]", "is farther than 10 km out", put("walls.0.points.1", [-1.1e7, 0])),
    ("baseline.toward", "is farther than 10 km out", put("baseline.toward", [1e300, 0])),
    ("baseline.origin", "is farther than 10 km out", put("baseline.origin", [1e300, 0])),
    ("lines[0].from", "is farther than 10 km out", put("lines.0.from", [1e300, 0])),
    ("slabs[0].outline[3]", "is farther than 10 km out", put("slabs.0.outline.3", [1e300, 0])),
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
    ("slabs[0].thickness", "is more than 10 km", put("slabs.0.thickness", 1e8)),
    ("keepouts[0].outline", "needs at least 3 corners", put("keepouts.0.outline", [])),
    ("details[0].profile", "is empty", put("details.0.profile", [])),
    ("details[0].profile", "goes back up from 700 to 600 mm", put("details.0.profile.2", [600, 450])),
    ("details[0].profile", "has the depth -1", put("details.0.profile.0", [-1, 450])),
    ("details[0].profile", "has the diameter 0", put("details.0.profile.0", [0, 0])),
    ("details[0].profile", "more than 200 entries", put("details.0.profile", [[0, 1]] * 201)),
    ("details[0].reveal", "is more than 10 km", put("details.0.reveal", 1e9)),
    ("lines[0].attachment", "there is no attachment A2", put("lines.0.attachment", "A2")),
    ("piers[0].line", "there is no beam line W1", put("piers.0.line", "W1")),
    ("piers[0].detail", "there is no detail D2", put("piers.0.detail", "D2")),
    ("piers[0].detail", "names no detail", put("piers.0.detail", "D\n2")),
    ("bays[0].corners[3]", "there is no pier or attachment C1", put("bays.0.corners.3", "C1")),
    ("bays[0].corners", "names a corner twice", put("bays.0.corners.3", "A1")),
    ("tapes[0].to", "there is no control point, attachment or pier L1", put("tapes.0.to", "L1")),
    ("tapes[0].to", "is C1 at both ends", put("tapes.0.to", "C1")),
    ("tapes[0].distance", "must be more than 0", put("tapes.0.distance", 0)),
    ("levels.benchmarks[0].elevation", "is more than 10 km", put("levels.benchmarks.0.elevation", 1e8)),
    ("levels.readings[0].point", "is empty", put("levels.readings.0.point", "")),
    ("levels.readings[0].reading", "is more than 10 km", put("levels.readings.0.reading", -1e8)),
    ("levels.readings[0].setup", "must be a whole number from 0", put("levels.readings.0.setup", -1)),
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
    ("is no UTF-8 text from byte 3 on", b'{"\xff"'),
    ("is no UTF-8 text from byte 1 on", '{"layoutdesk": 1}'.encode("utf-16")),
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


def test_too_little_memory_is_said_in_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def none_left(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr(json, "loads", none_left)
    with pytest.raises(FileError, match="needs more memory than there is"):
        plan_from_json("{}", "odd")


@pytest.mark.parametrize("mark", ["\ufeff", b"\xef\xbb\xbf"])
def test_a_byte_order_mark_is_passed_over(mark: str | bytes) -> None:
    text = '{"layoutdesk": 1}'
    assert plan_from_json(mark + text if isinstance(mark, str) else mark + text.encode(), "marked") == Plan()


def test_ten_thousand_piers_are_read_and_written() -> None:
    plan = edits.add_grid(Plan(), (0, 0), (1, 0), [2000.5] * 100, [1500.25] * 99)
    assert plan_from_json(plan_to_json(plan), "many") == plan


def test_a_plan_that_could_not_be_opened_again_is_not_saved(tmp_path: Path) -> None:
    path = tmp_path / "plan.layout.json"
    bad = Plan(piers=(Pier(id="P1", at=(math.nan, 0.0)),))
    with pytest.raises(PlanError, match=r"plan.layout.json: piers\[0\].at: is not a finite number"):
        write_plan(path, bad)
    assert not path.exists()


def test_a_plan_that_does_not_read_back_as_it_is_is_not_saved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(file, "plan_to_json", lambda _: '{"layoutdesk": 1}')
    path = tmp_path / "plan.layout.json"
    with pytest.raises(FileError, match="would not read back as it is"):
        write_plan(path, Plan(title="Shed"))
    assert not path.exists()
