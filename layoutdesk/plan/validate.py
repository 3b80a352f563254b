"""The rules that a whole plan must keep; the first that is broken is named with its place in the file."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from layoutdesk.errors import PlanError
from layoutdesk.geometry.vector import Vector
from layoutdesk.plan.height_rules import wrong_levels
from layoutdesk.plan.hole_rules import wrong_bag, wrong_detail, wrong_holes
from layoutdesk.plan.keys import NAMED
from layoutdesk.plan.model import Plan
from layoutdesk.plan.rules import (
    MOST_PATH,
    MOST_STEP,
    wrong_chain,
    wrong_map,
    wrong_name,
    wrong_number,
    wrong_outline,
    wrong_place,
    wrong_step,
    wrong_text,
    wrong_wall,
)
from layoutdesk.plan.tape_rules import wrong_proof, wrong_tape


def check(plan: Plan) -> None:
    """Make sure that a plan can be worked with, saved and opened again.

    What is merely questionable (a baseline without a length, piers that overlap) passes: the Layout flags it.

    Raises:
        PlanError: naming the first place that breaks a rule.
    """
    _check_settings(plan)
    _check_names(plan)
    for place, point in _points(plan):
        if trouble := wrong_place(point):
            raise PlanError(place, trouble)
    _check_shapes(plan)
    _check_references(plan)
    for place, problem in (*wrong_levels(plan), *wrong_holes(plan)):
        raise PlanError(place, problem)
    _check_records(plan)


def _check_settings(plan: Plan) -> None:
    for place in ("title", "issue", "date"):
        if trouble := wrong_text(getattr(plan, place)):
            raise PlanError(place, trouble)
    if trouble := wrong_step(plan.rounding):
        raise PlanError("rounding", trouble)
    _check_positive("tape_at_hand.length", plan.tape_at_hand.length)
    for index, bag in enumerate(plan.bags):
        if wrong := wrong_bag(bag):
            raise PlanError(f"bags[{index}].{wrong[0]}", wrong[1])


def _named(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield place and id of everything that shares one stock of ids."""
    for key in NAMED:
        for index, thing in enumerate(getattr(plan, key)):
            yield f"{key}[{index}].id", thing.id


def _check_names(plan: Plan) -> None:
    """Check every id and mark; benchmarks are checked apart: they may share an id with the point they lie on."""
    places: dict[str, str] = {}
    for place, name in _named(plan):
        _check_name(place, name)
        if name in places:
            raise PlanError(place, f"{name} is used twice, also at {places[name]}; each needs an id of its own")
        places[name] = place
    for index, pier in enumerate(plan.piers):
        if pier.mark:
            _check_name(f"piers[{index}].mark", pier.mark)


def _check_name(place: str, name: str) -> None:
    if trouble := wrong_name(name):
        raise PlanError(place, trouble)


def _points(plan: Plan) -> Iterator[tuple[str, Vector]]:
    """Yield place and coordinates of every point in the plan."""
    for index, wall in enumerate(plan.walls):
        yield from ((f"walls[{index}].points[{n}]", at) for n, at in enumerate(wall.points))
    for key in ("attachments", "controls", "spots", "piers"):
        yield from ((f"{key}[{index}].at", point.at) for index, point in enumerate(getattr(plan, key)))
    if plan.baseline:
        yield "baseline.origin", plan.baseline.origin
        yield "baseline.toward", plan.baseline.toward
    for index, line in enumerate(plan.lines):
        yield f"lines[{index}].from", line.start
        yield f"lines[{index}].to", line.end
    for key in ("written", "chains"):
        for index, record in enumerate(getattr(plan, key)):
            for end, at in (("from", record.start), ("to", record.end)):
                if at is not None:
                    yield f"{key}[{index}].{end}", at
    for key in ("slabs", "keepouts"):
        for index, area in enumerate(getattr(plan, key)):
            yield from ((f"{key}[{index}].outline[{n}]", at) for n, at in enumerate(area.outline))


def _check_shapes(plan: Plan) -> None:
    for index, wall in enumerate(plan.walls):
        if trouble := wrong_wall(wall.points):
            raise PlanError(f"walls[{index}].points", trouble)
    for key in ("slabs", "keepouts"):
        for index, area in enumerate(getattr(plan, key)):
            if trouble := wrong_outline(area.outline):
                raise PlanError(f"{key}[{index}].outline", trouble)
    for index, slab in enumerate(plan.slabs):
        _check_positive(f"slabs[{index}].thickness", slab.thickness)
    for index, detail in enumerate(plan.details):
        if wrong := wrong_detail(detail):
            raise PlanError(f"details[{index}].{wrong[0]}", wrong[1])


def _check_references(plan: Plan) -> None:
    attachments = {a.id for a in plan.attachments}
    lines = {line.id for line in plan.lines}
    details = {d.id for d in plan.details}
    piers = {p.id for p in plan.piers}
    for index, line in enumerate(plan.lines):
        _check_reference(f"lines[{index}].attachment", line.attachment, attachments, "attachment")
    for index, pier in enumerate(plan.piers):
        _check_reference(f"piers[{index}].line", pier.line, lines, "beam line")
        _check_reference(f"piers[{index}].detail", pier.detail, details, "detail")
    for index, bay in enumerate(plan.bays):
        for n, corner in enumerate(bay.corners):
            _check_reference(f"bays[{index}].corners[{n}]", corner, piers | attachments, "pier or attachment")
        if len(set(bay.corners)) < 4:
            raise PlanError(f"bays[{index}].corners", "names a corner twice; a bay has four different corners")
    points = piers | attachments | {c.id for c in plan.controls}
    _check_measures(plan, points)


def _check_measures(plan: Plan, points: Collection[str]) -> None:
    """Check what was taped, against the ids of all points, and how it is judged."""
    for index, tape in enumerate(plan.tapes):
        for end, name in (("from", tape.start), ("to", tape.end), ("third", tape.third)):
            _check_reference(f"tapes[{index}].{end}", name, points, "control point, attachment or pier")
        if wrong := wrong_tape(tape):
            raise PlanError(f"tapes[{index}].{'to' if wrong[0] == 'end' else wrong[0]}", wrong[1])
    if wrong := wrong_proof(plan.proof):
        raise PlanError(f"proof.{wrong[0]}", wrong[1])
    attachments = {attachment.id for attachment in plan.attachments}
    _check_reference("proof.held_attachment", plan.proof.held_attachment, attachments, "attachment")


def _check_reference(place: str, name: str | None, known: Collection[str], what: str) -> None:
    if name is not None and name not in known:
        raise PlanError(place, f"there is no {what} {name[:40]}" if name.isprintable() else f"names no {what}")


def _check_records(plan: Plan) -> None:
    """Check what came with a drawing: dimensions and chains as written, and what lies under the sheet."""
    points = {point.id for kind in (plan.piers, plan.attachments, plan.controls) for point in kind}
    for index, written in enumerate(plan.written):
        _check_positive(f"written[{index}].value", written.value)
        if trouble := wrong_text(written.text):
            raise PlanError(f"written[{index}].text", trouble)
        _check_step(f"written[{index}].step", written.step)
        _check_reference(
            f"written[{index}].start_on", written.start_on, points, "pier, attachment or control point"
        )
        _check_reference(f"written[{index}].end_on", written.end_on, points, "pier, attachment or control point")
        if written.along is not None and (trouble := wrong_number(written.along)):
            raise PlanError(f"written[{index}].along", trouble)
    known = {name for _, name in _named(plan)}
    for index, chain in enumerate(plan.chains):
        if trouble := wrong_chain(chain.parts, chain.overall):
            raise PlanError(f"chains[{index}].parts", trouble)
        _check_step(f"chains[{index}].step", chain.step)
        if trouble := wrong_text(chain.text):
            raise PlanError(f"chains[{index}].text", trouble)
        for n, name in enumerate(chain.about):
            _check_reference(f"chains[{index}].about[{n}]", name, known, "piece")
    for index, underlay in enumerate(plan.underlays):
        place = f"underlays[{index}]"
        if trouble := wrong_text(underlay.file, most=MOST_PATH) if underlay.file else "is empty":
            raise PlanError(f"{place}.file", trouble)
        for n, side in enumerate(underlay.size):
            _check_positive(f"{place}.size[{n}]", side)
        if trouble := wrong_map(underlay.to_plan):
            raise PlanError(f"{place}.to_plan", trouble)
        if not 0 <= underlay.strength <= 1:
            raise PlanError(f"{place}.strength", "must be from 0 to 1")
        if not 0 <= underlay.page <= 1_000_000:
            raise PlanError(f"{place}.page", "must be a page from 1, or 0 for a picture")


def _check_step(place: str, step: float) -> None:
    """Check the step to which a number is written: 0 when it is not known."""
    if not 0 <= step <= MOST_STEP:
        raise PlanError(place, f"must be from 0 to {MOST_STEP:g} mm")


def _check_positive(place: str, value: float) -> None:
    if trouble := wrong_number(value):
        raise PlanError(place, trouble)
    if value <= 0:
        raise PlanError(place, "must be more than 0")
