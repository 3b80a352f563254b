"""Moving, turning, mirroring, copying, aligning and spacing."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest

from layoutdesk.errors import EditError
from layoutdesk.geometry.vector import Vector, distance
from layoutdesk.plan import edits
from layoutdesk.plan.model import Piece, Plan, places_of

NAN = math.nan


def porch() -> Plan:
    """Return a wall, a ledger, a beam line with three piers, and one pier by itself."""
    plan = edits.add_wall(Plan(), [(0, 0), (9000, 0)])
    plan = edits.add_attachment(plan, (600, 0))
    plan = edits.add_row(plan, (600, 0), (600, -1), [1000, 2000, 2000], attachment="A1")
    plan = edits.add_pier(plan, (4000, -1000))
    plan = edits.add_control(plan, (0, 0))
    plan = edits.add_keepout(plan, [(5000, -3000), (6000, -3000), (6000, -4000)])
    return edits.set_baseline(plan, (0, 0), (9000, 0), yard_side="right")


def at(plan: Plan, *ids: str) -> list[Vector]:
    """Return the places of pieces, one after the other."""
    return [place for i in ids for place in places_of(piece(plan, i))]


def piece(plan: Plan, piece_id: str) -> Piece:
    """Return a piece that is there."""
    found = plan.piece(piece_id)
    assert found is not None
    return found


def close(found: Sequence[Vector], *wanted: Vector) -> bool:
    """Return whether places are where they should be, to a millionth of a millimetre."""
    return len(found) == len(wanted) and all(distance(a, b) <= 1e-6 for a, b in zip(found, wanted, strict=True))


def test_a_beam_line_carries_its_piers_and_leaves_its_attachment() -> None:
    plan = edits.move(porch(), ["L1", "P2"], (100, 10))
    assert close(at(plan, "L1"), (700, 10), (700, -4990))
    assert close(at(plan, "P1", "P2", "P3"), (700, -990), (700, -2990), (700, -4990))
    assert close(at(plan, "A1", "P4"), (600, 0), (4000, -1000))
    assert plan.lines[0].attachment == "A1"


@pytest.mark.parametrize("picked", [["W1"], ["W1", "A1"], ["C1", "W1", "A1"]])
def test_a_wall_carries_the_baseline_and_the_points_on_it_once(picked: list[str]) -> None:
    plan = edits.move(porch(), picked, (0, 50))
    assert close(at(plan, "W1", "A1", "C1"), (0, 50), (9000, 50), (600, 50), (0, 50))
    assert close(at(plan, "L1", "P4"), (600, 0), (600, -5000), (4000, -1000))
    assert plan.baseline == edits.set_baseline(plan, (0, 50), (9000, 50), yard_side="right").baseline


def test_what_does_not_move_stays_the_very_object() -> None:
    before = porch()
    after = edits.move(before, ["P4"], (1, 0))
    assert after.walls is before.walls
    assert after.piers[0] is before.piers[0]
    assert edits.move(before, ["P4"], (0, 0)) is before
    assert edits.move(before, [], (5, 5)) is before


def test_one_place_of_a_piece_moves() -> None:
    plan = edits.move_place(porch(), "L1", 1, (650, -6000))
    assert close(at(plan, "L1"), (600, 0), (650, -6000))
    assert at(plan, "P1") == at(porch(), "P1")
    plan = edits.move_place(plan, "K1", 2, (5500, -5000))
    assert close(at(plan, "K1"), (5000, -3000), (6000, -3000), (5500, -5000))


def test_turning_goes_to_the_left_about_a_place() -> None:
    plan = edits.turn(porch(), ["L1"], (600, 0), 90)
    assert close(at(plan, "L1"), (600, 0), (5600, 0))
    assert close(at(plan, "P1", "P3"), (1600, 0), (5600, 0))
    for nothing in (0, 360, -360):
        assert edits.turn(plan, ["L1"], (0, 0), nothing) is plan


def test_mirroring_moves_and_turns_the_house_side_over() -> None:
    plan = edits.mirror(porch(), ["W1", "L1"], (4500, 0), (4500, 1), keep=False)
    assert close(at(plan, "W1"), (9000, 0), (0, 0))
    assert plan.walls[0].house_side == "right"
    assert close(at(plan, "L1", "P1"), (8400, 0), (8400, -5000), (8400, -1000))
    assert edits.mirror(plan, ["W1"], (4500, 0), (4500, 1), keep=False).walls == porch().walls


def test_mirroring_can_keep_what_there_was() -> None:
    before = porch()
    plan = edits.mirror(before, ["L1", "A1"], (4500, 0), (4500, 1), keep=True)
    assert plan.lines[0] == before.lines[0]
    assert edits.added(before, plan) == ("L2", "A2", "P5", "P6", "P7")
    assert close(at(plan, "L2"), (8400, 0), (8400, -5000))
    assert plan.lines[1].attachment == "A2"
    assert [p.line for p in plan.piers] == ["L1"] * 3 + [None] + ["L2"] * 3


def test_a_copied_line_brings_its_piers_and_refers_to_what_was_copied_with_it() -> None:
    before = edits.rename(porch(), "P1", "corner")
    plan = edits.copy(before, ["L1"], (3000, 0))
    assert edits.added(before, plan) == ("L2", "P5", "P6", "P7")
    assert plan.lines[1].attachment is None
    assert close(at(plan, "P5", "P7"), (3600, -1000), (3600, -5000))
    assert plan.piers[4].mark == ""
    with_ledger = edits.copy(before, ["L1", "A1"], (3000, 0))
    assert with_ledger.lines[1].attachment == "A2"


def test_a_pier_copied_alone_belongs_to_its_line_only_while_it_lies_on_it() -> None:
    plan = porch()
    assert edits.copy(plan, ["P1"], (0, -500)).piers[-1].line == "L1"
    assert edits.copy(plan, ["P1"], (500, 0)).piers[-1].line is None
    assert edits.copy(plan, ["P4"], (0, -500)).piers[-1].line is None
    squeezed = plan.with_(lines=tuple(edits.add_line(Plan(), (0, 0), (1, 0)).lines))
    degenerate = squeezed.with_(lines=(squeezed.lines[0].__class__(id="L1", start=(0.0, 0.0), end=(0.0, 0.0)),))
    assert edits.copy(degenerate, ["P1"], (0, -500)).piers[-1].line is None


def test_a_piece_lands_at_its_station_and_offset() -> None:
    plan = edits.set_station_offset(porch(), "P4", 1234.5, 678.9)
    assert close(at(plan, "P4"), (1234.5, -678.9))
    plan = edits.set_station_offset(plan, "L1", 700, 100)
    assert close(at(plan, "L1", "P1"), (700, -100), (700, -5100), (700, -1100))


@pytest.mark.parametrize(("by", "wanted"), [("station", (600.0, -1000.0)), ("offset", (4000.0, -3000.0))])
def test_points_align_to_the_first_of_them(by: str, wanted: Vector) -> None:
    plan = edits.align(porch(), ("P2", "W1", "P4"), by=by)  # type: ignore[arg-type]
    assert close(at(plan, "P2", "P4"), (600, -3000), wanted)


def test_points_are_spaced_equally_on_the_line_between_the_two_farthest_apart() -> None:
    plan = edits.add_row(Plan(), (0, 0), (1, 0), [0, 100, 300, 2600])
    plan = edits.move(plan, ["P3"], (0, 40))
    plan = edits.space_equally(plan, ("P3", "P1", "P4", "L1", "P2"))
    assert close(at(plan, "P1", "P2", "P3", "P4"), (0, 0), (1000, 0), (2000, 0), (3000, 0))
    assert edits.space_equally(plan, ("P1", "P2", "P3", "P4")) is plan


def test_a_baseline_read_from_its_other_end_leaves_the_yard_where_it_is() -> None:
    plan = edits.flip_baseline(porch())
    assert plan.baseline is not None
    assert (plan.baseline.origin, plan.baseline.toward) == ((9000.0, 0.0), (0.0, 0.0))
    assert plan.baseline.yard_side == "left"
    assert edits.flip_baseline(plan) == porch()


def test_a_baseline_keeps_its_unknown_keys_and_can_be_cleared() -> None:
    before = porch()
    assert before.baseline is not None
    before = before.with_(
        baseline=before.baseline.__class__(
            origin=(0.0, 0.0), toward=(1.0, 0.0), yard_side="left", extra=(("paint", "blue"),)
        )
    )
    plan = edits.set_baseline(before, (0, 0), (5, 5), yard_side="left")
    assert plan.baseline is not None
    assert plan.baseline.extra == (("paint", "blue"),)
    assert edits.set_baseline(plan, (0, 0), (5, 5), yard_side="left") is plan
    bare = edits.clear_baseline(plan)
    assert bare.baseline is None
    assert edits.clear_baseline(bare) is bare


BARE = edits.clear_baseline(porch())
BAD: list[tuple[str, Callable[[], object]]] = [
    ("no P9 on the sheet", lambda: edits.move(porch(), ["P1", "P9"], (1, 1))),
    ("not a finite number", lambda: edits.move(porch(), ["P1"], (NAN, 1))),
    ("P1 would lie at a place that is farther", lambda: edits.move(porch(), ["P1"], (1e7, 0))),
    ("no P9 on the sheet", lambda: edits.move_place(porch(), "P9", 0, (0, 0))),
    ("L1 has no place number 3", lambda: edits.move_place(porch(), "L1", 2, (0, 0))),
    ("L1 has no place number 0", lambda: edits.move_place(porch(), "L1", -1, (0, 0))),
    ("L1 would have no length", lambda: edits.move_place(porch(), "L1", 1, (600, 0))),
    ("W1 would have no length", lambda: edits.move_place(porch(), "W1", 1, (0, 0))),
    ("K1 would enclose nothing", lambda: edits.move_place(porch(), "K1", 2, (5500, -3000))),
    ("between -360 and 360", lambda: edits.turn(porch(), ["L1"], (0, 0), 361)),
    ("between -360 and 360", lambda: edits.turn(porch(), ["L1"], (0, 0), NAN)),
    ("the line to mirror in has no length", lambda: edits.mirror(porch(), ["L1"], (1, 1), (1, 1), keep=True)),
    ("no X1 on the sheet", lambda: edits.copy(porch(), ["X1"], (1, 1))),
    ("a baseline; choose one first", lambda: edits.set_station_offset(BARE, "P1", 0, 0)),
    ("the station must be a length", lambda: edits.set_station_offset(porch(), "P1", NAN, 0)),
    ("the offset must be a length", lambda: edits.set_station_offset(porch(), "P1", 0, 1e8)),
    ("a baseline; choose one first", lambda: edits.align(BARE, ("P1", "P2"), by="station")),
    ("at least two piers", lambda: edits.align(porch(), ("P1", "L1"), by="station")),
    ("align by must be one of", lambda: edits.align(porch(), ("P1", "P2"), by="height")),  # type: ignore[arg-type]
    ("at least three piers", lambda: edits.space_equally(porch(), ("P1", "P2", "W1"))),
    (
        "no length",
        lambda: edits.space_equally(
            edits.copy(edits.copy(edits.add_pier(Plan(), (1, 1)), ["P1"], (0, 0)), ["P1"], (0, 0)),
            ("P1", "P2", "P3"),
        ),
    ),
    ("the baseline has no length", lambda: edits.set_baseline(porch(), (1, 1), (1, 1), yard_side="left")),
    ("the yard side must be one of", lambda: edits.set_baseline(porch(), (1, 1), (2, 1), yard_side="up")),  # type: ignore[arg-type]
    ("no baseline to turn round", lambda: edits.flip_baseline(BARE)),
]


@pytest.mark.parametrize(("sentence", "edit"), BAD, ids=[f"{n} {sentence}" for n, (sentence, _) in enumerate(BAD)])
def test_what_cannot_be_moved_is_refused_in_one_sentence(sentence: str, edit: Callable[[], object]) -> None:
    with pytest.raises(EditError, match=sentence):
        edit()


def test_copying_more_than_ten_thousand_piers_is_refused() -> None:
    plan = edits.add_grid(Plan(), (0, 0), (1, 0), [20.0] * 100, [20.0] * 99)
    plan = edits.add_pier(plan, (0, -20))
    with pytest.raises(EditError, match="at most 10 000"):
        edits.copy(plan, [p.id for p in plan.piers], (0, 5))


def test_the_baseline_goes_with_the_wall_that_it_lies_on() -> None:
    """Otherwise every station and offset would change without a word."""
    moved = edits.move(edits.delete(porch(), ["C1"]), ["W1"], (100, -250))
    assert moved.baseline is not None
    assert (moved.baseline.origin, moved.baseline.toward) == ((100, -250), (9100, -250))


def test_points_on_a_wall_turn_and_mirror_with_it_and_follow_its_station() -> None:
    turned = edits.turn(porch(), ["W1"], (0, 0), 90)
    assert close(at(turned, "A1", "C1"), (0, 600), (0, 0))
    over = edits.mirror(porch(), ["W1"], (0, 0), (0, 1), keep=False)
    assert close(at(over, "A1", "C1"), (-600, 0), (0, 0))
    assert edits.mirror(porch(), ["W1"], (0, 0), (0, 1), keep=True).attachments == porch().attachments
    back = edits.set_station_offset(porch(), "W1", 100, -20)
    assert close(at(back, "W1", "A1", "C1"), (100, 20), (9100, 20), (700, 20), (100, 20))


def test_a_corner_of_a_wall_takes_along_the_points_at_that_very_corner() -> None:
    plan = edits.move_place(porch(), "W1", 0, (-30, 40))
    assert close(at(plan, "C1", "A1"), (-30, 40), (600, 0))
    assert plan.baseline is not None
    assert plan.baseline.origin == (-30, 40)


def test_a_point_that_a_wall_which_stays_also_holds_stays_with_it() -> None:
    plan = edits.add_wall(porch(), [(0, 0), (0, 4000)])
    assert close(at(edits.move(plan, ["W1"], (0, 50)), "C1", "A1"), (0, 0), (600, 50))
    assert close(at(edits.move_place(plan, "W1", 0, (0, 50)), "C1"), (0, 0))
    assert close(at(edits.move(plan, ["W1", "W2"], (0, 50)), "C1"), (0, 50))


def test_an_end_of_the_baseline_goes_with_its_control_point() -> None:
    plan = edits.add_control(edits.add_control(Plan(), (0, 0)), (5000, 0))
    plan = edits.set_baseline(plan, (0, 0), (5000, 0), yard_side="right")
    moved = edits.move_place(plan, "C2", 0, (5000, 40))
    assert moved.baseline is not None
    assert (moved.baseline.origin, moved.baseline.toward) == ((0, 0), (5000, 40))


def test_a_wall_keeps_the_baseline_when_only_the_nail_beside_its_corner_is_corrected() -> None:
    before = porch()
    assert edits.move(before, ["C1"], (3, 0)).baseline == before.baseline


def test_a_corner_of_the_wall_takes_along_just_the_end_that_stands_on_it() -> None:
    moved = edits.move_place(edits.delete(porch(), ["C1"]), "W1", 1, (9000, 300))
    assert moved.baseline is not None
    assert (moved.baseline.origin, moved.baseline.toward) == ((0, 0), (9000, 300))


def test_a_mirrored_wall_has_its_yard_on_the_other_hand() -> None:
    before = edits.delete(porch(), ["C1"])
    moved = edits.mirror(before, ["W1"], (0, 0), (0, 1), keep=False)
    assert before.baseline is not None
    assert moved.baseline == replace(before.baseline, toward=(-9000, 0), yard_side="left")
    assert before.baseline.yard_side == "right"


def test_a_baseline_chalked_anywhere_else_stays() -> None:
    plan = edits.set_baseline(porch(), (0, -500), (9000, -500), yard_side="right")
    assert edits.move(plan, ["W1"], (100, 100)).baseline == plan.baseline
