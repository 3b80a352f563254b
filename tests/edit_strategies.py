"""Hypothesis strategies of edits that a person may try on a plan."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from hypothesis import strategies as st

from layoutdesk.plan import edits
from layoutdesk.plan.model import (
    ATTACHMENT_KINDS,
    CONTROL_TRUSTS,
    HOUSE_CHOICES,
    KEEPOUT_KINDS,
    PAPERS,
    SETUP_METHODS,
    SIDES,
    TAKEN_CLASSES,
    TAPE_CLASSES,
    TAPE_KINDS,
    TOP_RULES,
    BagProduct,
    CastIn,
    Detail,
    HoleLog,
    Plan,
    Reading,
    Steel,
    Tape,
)
from layoutdesk.units import UNITS
from tests.level_strategies import heights
from tests.strategies import coordinates, lengths, maybe, names, places, profiles, texts

Edit = Callable[[Plan], Plan]


def edits_on(plan: Plan) -> st.SearchStrategy[Edit]:
    """Return edits that a person may try on a plan; some are refused with an EditError."""
    on_sheet = [piece.id for piece in plan.pieces()]
    lines = [line.id for line in plan.lines]
    details = [detail.id for detail in plan.details]
    choices = [*_drawing(lines, details), *_settings()]
    if on_sheet:
        choices += _on_pieces(on_sheet, [*on_sheet, *details, *(bay.id for bay in plan.bays)])
    if plan.piers:
        some = st.lists(st.sampled_from([pier.id for pier in plan.piers]), min_size=1, max_size=4)
        choices += [
            _edit(edits.assign_line, some, maybe(lines)),
            _edit(edits.assign_detail, some, maybe(details)),
        ]
    return st.one_of([*choices, *_on_kinds(plan), *_on_tapes(plan), *_on_levels(plan), *_on_holes(plan)])


def _on_kinds(plan: Plan) -> list[st.SearchStrategy[Edit]]:
    """Return the edits that each suit one kind of piece, as far as the plan has such pieces."""
    attachments = [attachment.id for attachment in plan.attachments]
    corners = [*attachments, *(pier.id for pier in plan.piers)]
    choices: list[st.SearchStrategy[Edit]] = []
    if len(corners) >= 4:
        choices.append(_edit(edits.add_bay, st.lists(st.sampled_from(corners), min_size=4, max_size=4)))
    for edit, ids, values in (
        (edits.attach_line, [line.id for line in plan.lines], maybe(attachments)),
        (edits.set_attachment_kind, attachments, st.sampled_from(ATTACHMENT_KINDS)),
        (edits.set_keepout_kind, [keepout.id for keepout in plan.keepouts], st.sampled_from(KEEPOUT_KINDS)),
        (edits.set_thickness, [slab.id for slab in plan.slabs], lengths),
        (edits.set_house_side, [wall.id for wall in plan.walls], st.sampled_from(SIDES)),
    ):
        if ids:
            choices.append(_edit(edit, st.sampled_from(ids), values))
    if plan.details:
        new = st.builds(
            Detail,
            id=st.sampled_from([detail.id for detail in plan.details]),
            profile=profiles,
            reveal=st.floats(0, 300),
        )
        choices.append(_edit(edits.replace_detail, new))
    return choices


def _on_tapes(plan: Plan) -> list[st.SearchStrategy[Edit]]:
    """Return the edits of what was measured; many a measure names a point twice, or too few."""
    stops = [point.id for kind in (plan.controls, plan.attachments, plan.piers) for point in kind]
    choices = [
        _edit(
            edits.set_proof,
            control=st.none() | st.sampled_from(CONTROL_TRUSTS),
            tolerance=st.none() | st.floats(0, 50),
            read_to=st.none() | st.floats(-1, 10),
            house=st.none() | st.sampled_from(HOUSE_CHOICES),
            held_attachment=maybe([attachment.id for attachment in plan.attachments]),
        ),
        _edit(edits.remove_tapes, st.lists(st.integers(0, len(plan.tapes)), max_size=2)),
    ]
    if stops:
        one = st.sampled_from(stops)
        taped = lengths | st.just(90.0) | st.just(0.0)
        new = st.builds(Tape, start=one, end=one, distance=taped, tape_class=st.sampled_from(TAKEN_CLASSES))
        choices += [
            _edit(
                edits.add_tape,
                one,
                one,
                taped,
                kind=st.sampled_from(TAPE_KINDS),
                third=maybe(stops),
                legs=st.none() | st.just((900.0, 1200.0)),
            ),
            _edit(edits.replace_tape, st.integers(0, len(plan.tapes)), new),
            _edit(edits.set_measured, one, measured=st.booleans()),
        ]
    return choices


def _on_levels(plan: Plan) -> list[st.SearchStrategy[Edit]]:
    """Return the edits of heights; some readings are of points that are no pieces."""
    stops = [p.id for kind in (plan.controls, plan.attachments, plan.spots, plan.piers) for p in kind]
    point = names if not stops else names | st.sampled_from(stops)
    reading = st.builds(
        Reading,
        setup=st.integers(1, 5),
        point=point,
        kind=st.sampled_from(("back", "fore")),
        reading=heights,
    )
    row = st.integers(0, len(plan.levels.readings))
    some = st.none() | heights
    choices = [
        _edit(edits.set_benchmark, point, elevation=heights),
        _edit(edits.set_benchmark, point, at=st.none() | places),
        _edit(edits.remove_benchmark, point),
        _edit(edits.add_reading, reading, index=st.none() | row),
        _edit(edits.replace_reading, row, reading),
        _edit(edits.remove_readings, st.lists(row, max_size=2)),
        _edit(edits.set_setup, st.integers(-1, 5), method=st.sampled_from(SETUP_METHODS)),
        _edit(edits.set_setup, st.integers(1, 5), deviation=st.none() | st.floats(0, 5)),
        _edit(edits.add_spot, places, elevation=some),
        _edit(edits.set_columns, width=st.floats(-1, 300), stock=st.lists(lengths, max_size=3).map(tuple)),
        _edit(edits.set_heights, frost=st.none() | st.floats(-1, 2000), misclosure=st.floats(0, 20)),
    ]
    if plan.spots:
        choices.append(_edit(edits.set_spot, st.sampled_from([spot.id for spot in plan.spots]), some))
    if plan.lines:
        ids = st.lists(st.sampled_from([line.id for line in plan.lines]), max_size=3)
        choices.append(_edit(edits.set_line_heights, ids, seat=some, top=st.sampled_from(TOP_RULES)))
        choices.append(_edit(edits.set_line_heights, ids, fall=st.floats(-2, 2), string=some))
    if plan.piers:
        ids = st.lists(st.sampled_from([pier.id for pier in plan.piers]), max_size=3)
        choices.append(_edit(edits.set_pier_heights, ids, ground=some, top=some))
    return choices


def _on_holes(plan: Plan) -> list[st.SearchStrategy[Edit]]:
    """Return the edits of details, of the hole log and of its rules; some numbers cannot be."""
    some, depth = st.floats(-1, 1000), st.none() | st.floats(-1, 1000)
    choices = [
        _edit(edits.set_dig, over_dig=st.none() | st.floats(-1, 1), chance=st.floats(0, 1), minutes=some),
        _edit(edits.set_truck, step_m3=st.floats(0, 1), price_m3=some),
        _edit(edits.set_openings, margin=some, carry=some),
    ]
    if plan.details:
        one = st.sampled_from([detail.id for detail in plan.details])
        steel = st.builds(Steel, bars=st.integers(0, 2000), bar=st.sampled_from(("", "No. 4")), spacing=some)
        choices += [
            _edit(edits.copy_detail, one),
            _edit(edits.set_square_from, one, depth),
            _edit(edits.set_tube, one, depth),
            _edit(edits.set_cast_in, one, st.none() | st.builds(CastIn, width=some, foot=some)),
            _edit(edits.set_steel, one, st.none() | steel),
        ]
    if plan.piers:
        pier = st.sampled_from([pier.id for pier in plan.piers])
        hole = st.builds(
            HoleLog, pier=pier, depth=some, top=some, bottom=some, along=some, water=st.just(0.0) | some
        )
        choices += [
            _edit(edits.log_hole, hole),
            _edit(edits.unlog_hole, st.lists(pier, max_size=2)),
            _edit(edits.set_poured, st.lists(pier, max_size=2), poured=st.booleans()),
        ]
    return choices


def _edit(
    edit: Callable[..., Plan],
    *given: st.SearchStrategy[Any],
    **options: st.SearchStrategy[Any],
) -> st.SearchStrategy[Edit]:
    """Return an edit with drawn arguments, as the desk would hand it to the document."""
    return st.builds(
        lambda args, kwargs: lambda plan: edit(plan, *args, **kwargs),
        st.tuples(*given),
        st.fixed_dictionaries(options),
    )


def _drawing(lines: list[str], details: list[str]) -> list[st.SearchStrategy[Edit]]:
    rings = st.lists(places, min_size=3, max_size=5)
    runs = st.lists(lengths, min_size=1, max_size=4)
    return [
        _edit(edits.add_wall, st.lists(places, min_size=2, max_size=4), house_side=st.sampled_from(SIDES)),
        _edit(edits.add_attachment, places, kind=st.sampled_from(ATTACHMENT_KINDS)),
        _edit(edits.add_control, places),
        _edit(edits.add_line, places, places),
        _edit(edits.add_pier, places, line=maybe(lines), detail=maybe(details)),
        _edit(edits.add_row, places, places, runs, detail=maybe(details)),
        _edit(edits.add_grid, places, places, runs, st.lists(lengths, max_size=2)),
        _edit(edits.add_slab, rings, thickness=lengths),
        _edit(edits.add_keepout, rings, kind=st.sampled_from(KEEPOUT_KINDS)),
        _edit(edits.add_detail, profiles, reveal=st.floats(0, 300)),
    ]


def _settings() -> list[st.SearchStrategy[Edit]]:
    return [
        _edit(edits.set_baseline, places, places, yard_side=st.sampled_from(SIDES)),
        _edit(edits.flip_baseline),
        _edit(edits.clear_baseline),
        _edit(edits.set_title, texts),
        _edit(edits.set_units, st.sampled_from(UNITS)),
        _edit(edits.set_rounding, st.floats(0.1, 10)),
        _edit(edits.set_paper, st.sampled_from(PAPERS)),
        _edit(edits.set_tape_at_hand, lengths, st.sampled_from(TAPE_CLASSES)),
        _edit(edits.set_issue, texts),
        _edit(edits.set_date, texts),
        _edit(edits.set_bags, st.lists(st.builds(BagProduct, product=names, yield_m3=st.floats(0, 1)), max_size=2)),
    ]


def _on_pieces(on_sheet: list[str], named: list[str]) -> list[st.SearchStrategy[Edit]]:
    one = st.sampled_from(on_sheet)
    some = st.lists(one, min_size=1, max_size=5).map(tuple)
    return [
        _edit(edits.move, some, places),
        _edit(edits.move_place, one, st.integers(0, 3), places),
        _edit(edits.copy, some, places),
        _edit(edits.mirror, some, places, places, keep=st.booleans()),
        _edit(edits.turn, some, places, st.floats(-360, 360)),
        _edit(edits.delete, st.lists(st.sampled_from(named), max_size=3)),
        _edit(edits.align, some, by=st.sampled_from(("station", "offset"))),
        _edit(edits.space_equally, some),
        _edit(edits.set_station_offset, one, coordinates, coordinates),
        _edit(
            edits.set_distance,
            one,
            one,
            lengths,
            sets=st.sampled_from(("spacing", "row", "overall", "from wall", "from baseline", "side")),
        ),
        _edit(
            edits.set_equal_distances,
            st.lists(st.tuples(one, one), min_size=1, max_size=4),
            lengths,
            sets=st.sampled_from(("spacing", "row")),
            beyond=st.lists(one, max_size=2),
        ),
        _edit(edits.rename, st.sampled_from(named), names),
    ]
