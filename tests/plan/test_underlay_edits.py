"""Laying pictures and pages under the sheet, placing them, and where their files are."""

from __future__ import annotations

from pathlib import Path

import pytest

from layoutdesk.errors import EditError
from layoutdesk.geometry.projective import apply
from layoutdesk.plan import edits
from layoutdesk.plan.file import plan_from_json, plan_to_json
from layoutdesk.plan.model import Plan
from layoutdesk.plan.underlay_files import as_found, as_kept
from layoutdesk.plan.validate import check
from tests.gestures.scenes import porch

HERE = (10.0, 0.0, -500.0, 0.0, -10.0, 700.0, 0.0, 0.0, 1.0)


def laid(**more: object) -> Plan:
    """Return a plan with one picture of 1000 by 500 pixels under it."""
    return edits.add_underlay(Plan(), "/jobs/scan.png", (1000.0, 500.0), to_plan=HERE, **more)  # type: ignore[arg-type]


def test_what_is_laid_is_kept_by_the_file() -> None:
    plan = laid(page=3)
    check(plan)
    assert plan_from_json(plan_to_json(plan), "it") == plan
    assert plan.underlays[0].id == "U1"
    assert plan.underlays[0].page == 3
    assert edits.delete(plan, ("U1",)) == Plan()


def test_without_a_place_it_lies_upright_about_what_is_drawn() -> None:
    """Its top is away from the yard, and it is a little larger than what is drawn."""
    plan = edits.add_underlay(porch(), "/jobs/scan.png", (1000.0, 500.0))
    top_left, bottom_right = apply(plan.underlays[0].to_plan, [(0.0, 0.0), (1000.0, 500.0)])
    places = [p.at for p in plan.piers]
    assert top_left[0] < min(x for x, _ in places)
    assert bottom_right[0] > max(x for x, _ in places)
    assert top_left[1] > bottom_right[1]


def test_the_next_one_has_an_id_of_its_own() -> None:
    plan = edits.add_underlay(laid(), "/jobs/other.pdf", (612.0, 792.0), page=1)
    assert [u.id for u in plan.underlays] == ["U1", "U2"]


@pytest.mark.parametrize(
    ("file", "size", "page", "rows"),
    [
        ("", (10.0, 10.0), 0, HERE),
        ("a\nb", (10.0, 10.0), 0, HERE),
        ("a.png", (0.0, 10.0), 0, HERE),
        ("a.png", (float("nan"), 10.0), 0, HERE),
        ("a.png", (10.0, 10.0), -1, HERE),
        ("a.png", (10.0, 10.0), 0, (1.0,) * 9),
        ("a.png", (10.0, 10.0), 0, (*HERE[:2], float("inf"), *HERE[3:])),
        ("a.png", (10.0, 10.0), 0, (*HERE[:2], 1e12, *HERE[3:])),
    ],
)
def test_what_makes_no_sense_is_refused(file: str, size: tuple[float, float], page: int, rows: object) -> None:
    with pytest.raises(EditError):
        edits.add_underlay(Plan(), file, size, page=page, to_plan=rows)  # type: ignore[arg-type]


def test_a_locked_one_refuses_to_be_placed() -> None:
    plan = edits.set_underlay(laid(), "U1", locked=True)
    with pytest.raises(EditError, match="U1 is locked"):
        edits.place_underlay(plan, "U1", HERE)
    moved = (*HERE[:2], 0.0, *HERE[3:])
    free = edits.place_underlay(edits.set_underlay(plan, "U1", locked=False), "U1", moved)
    assert free.underlays[0].to_plan == moved


def test_what_changes_nothing_returns_the_very_plan() -> None:
    plan = laid()
    assert edits.place_underlay(plan, "U1", HERE) is plan
    assert edits.set_underlay(plan, "U1", strength=0.5, shown=True) is plan


def test_settings_are_kept_and_nonsense_refused() -> None:
    plan = edits.set_underlay(laid(page=1), "U1", strength=0.25, shown=False, page=2, size=(300.0, 400.0))
    one = plan.underlays[0]
    assert (one.strength, one.shown, one.page, one.size) == (0.25, False, 2, (300.0, 400.0))
    for wrong in ({"strength": 1.5}, {"strength": float("nan")}, {"page": 0}):
        with pytest.raises(EditError):
            edits.set_underlay(plan, "U1", **wrong)
    with pytest.raises(EditError, match="has no pages"):
        edits.set_underlay(laid(), "U1", page=2)
    with pytest.raises(EditError, match="no U7"):
        edits.set_underlay(plan, "U7", shown=True)


def test_a_picture_saved_at_half_the_size_keeps_its_place() -> None:
    plan = edits.refind_underlay(laid(), "U1", "/jobs/small.png", (500.0, 250.0))
    one = plan.underlays[0]
    assert one.file == "/jobs/small.png"
    assert apply(one.to_plan, [(500.0, 250.0)]) == apply(HERE, [(1000.0, 500.0)])


def test_files_beside_the_plan_are_named_from_there(tmp_path: Path) -> None:
    inside, beyond = str(tmp_path / "pictures" / "yard.jpg"), str(tmp_path.parent / "far.png")
    plan = edits.add_underlay(Plan(), inside, (10.0, 10.0))
    plan = edits.add_underlay(plan, beyond, (10.0, 10.0))
    kept = as_kept(plan, tmp_path)
    assert [u.file for u in kept.underlays] == ["pictures/yard.jpg", beyond]
    assert as_found(kept, tmp_path) == plan
    moved = as_found(kept, Path("/elsewhere"))
    assert moved.underlays[0].file == str(Path("/elsewhere/pictures/yard.jpg"))
    assert as_kept(Plan(), tmp_path) == Plan()
