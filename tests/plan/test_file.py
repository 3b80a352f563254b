"""The plan file: what is read, what is written, and that nothing is lost between."""

from __future__ import annotations

import json
import math
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
    ProofSettings,
    Reading,
    Slab,
    Tape,
    TapeAtHand,
    Wall,
)
from tests.plan.whole_plan import WHOLE, text_of


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
        controls=(Control(id="C1", at=(0.0, 0.0)), Control(id="C2", at=(9000.0, 0.0), measured=True)),
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
        tapes=(
            Tape(start="C1", end="P1", distance=2000.5, tape_class="I"),
            Tape(
                start="C1",
                end="P1",
                distance=-2000.0,
                tape_class="own",
                kind="square",
                third="C2",
                own=(0.5, 0.1),
                legs=(900.0, 1200.0),
                rise=20.0,
                temperature=5.0,
                pull=60.0,
                section=3.0,
            ),
            Tape(start="P2", end="P3", distance=1000.0, tape_class="H44", slope=2.0),
        ),
        levels=Levels(
            benchmarks=(Benchmark(id="B1", elevation=0.0),),
            readings=(Reading(setup=1, point="B1", kind="back", reading=1200.0),),
        ),
        tape_at_hand=TapeAtHand(length=50_000.0, tape_class="III"),
        bags=(BagProduct(product="80 lb bag", yield_m3=0.017),),
        proof=ProofSettings(
            control="uncertain",
            control_deviation=2.0,
            tolerance=6.35,
            house="hold one attachment",
            held_attachment="A1",
            exaggeration=20.0,
            read_to=1.5875,
        ),
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
