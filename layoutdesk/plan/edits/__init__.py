"""The edits: everything that can be done to a plan, each a pure function from plan to plan.

An edit that changes nothing returns the very plan it was given. An edit that cannot be carried out raises
:class:`~layoutdesk.errors.EditError` with one sentence. Whatever edits make of a sound plan is a sound plan: it
can be saved and opened again.
"""

from layoutdesk.plan.edits.arranging import align, space_equally
from layoutdesk.plan.edits.baseline import clear_baseline, flip_baseline, set_baseline, set_station_offset
from layoutdesk.plan.edits.belonging import (
    assign_line,
    attach_line,
    set_attachment_kind,
    set_house_side,
    set_keepout_kind,
    set_thickness,
)
from layoutdesk.plan.edits.chains import lay_out_chain
from layoutdesk.plan.edits.details import (
    add_detail,
    assign_detail,
    copy_detail,
    replace_detail,
    set_cast_in,
    set_square_from,
    set_steel,
    set_tube,
    usual_cast_in,
    usual_steel,
)
from layoutdesk.plan.edits.distances import set_distance, set_equal_distances
from layoutdesk.plan.edits.drawing import (
    add_attachment,
    add_bay,
    add_control,
    add_keepout,
    add_line,
    add_pier,
    add_slab,
    add_wall,
)
from layoutdesk.plan.edits.holes import (
    log_hole,
    log_holes,
    set_dig,
    set_openings,
    set_poured,
    set_truck,
    unlog_hole,
)
from layoutdesk.plan.edits.holes_text import HolesRead, holes_from_text
from layoutdesk.plan.edits.incoming import add_chain, attach_written, take_in
from layoutdesk.plan.edits.levels import (
    add_reading,
    add_readings,
    remove_benchmark,
    remove_readings,
    replace_reading,
    set_benchmark,
    set_setup,
)
from layoutdesk.plan.edits.levels_heights import (
    add_spot,
    set_columns,
    set_heights,
    set_line_heights,
    set_pier_heights,
    set_spot,
)
from layoutdesk.plan.edits.levels_text import ReadingsRead, readings_from_text
from layoutdesk.plan.edits.moving import copy, mirror, move, move_place, turn
from layoutdesk.plan.edits.naming import added, new_id, rename
from layoutdesk.plan.edits.removing import delete
from layoutdesk.plan.edits.revising import Change, revise
from layoutdesk.plan.edits.rows import add_grid, add_row
from layoutdesk.plan.edits.settings import (
    set_bags,
    set_date,
    set_issue,
    set_paper,
    set_rounding,
    set_tape_at_hand,
    set_title,
    set_units,
)
from layoutdesk.plan.edits.tapes import (
    add_tape,
    add_tapes,
    remove_tapes,
    replace_tape,
    set_measured,
    set_proof,
)
from layoutdesk.plan.edits.tapes_text import TapesRead, tapes_from_text
from layoutdesk.plan.edits.underlays import (
    add_underlay,
    find_underlay,
    place_underlay,
    refind_underlay,
    refuse_locked,
    set_underlay,
)

__all__ = [
    "Change",
    "HolesRead",
    "ReadingsRead",
    "TapesRead",
    "add_attachment",
    "add_bay",
    "add_chain",
    "add_control",
    "add_detail",
    "add_grid",
    "add_keepout",
    "add_line",
    "add_pier",
    "add_reading",
    "add_readings",
    "add_row",
    "add_slab",
    "add_spot",
    "add_tape",
    "add_tapes",
    "add_underlay",
    "add_wall",
    "added",
    "align",
    "assign_detail",
    "assign_line",
    "attach_line",
    "attach_written",
    "clear_baseline",
    "copy",
    "copy_detail",
    "delete",
    "find_underlay",
    "flip_baseline",
    "holes_from_text",
    "lay_out_chain",
    "log_hole",
    "log_holes",
    "mirror",
    "move",
    "move_place",
    "new_id",
    "place_underlay",
    "readings_from_text",
    "refind_underlay",
    "refuse_locked",
    "remove_benchmark",
    "remove_readings",
    "remove_tapes",
    "rename",
    "replace_detail",
    "replace_reading",
    "replace_tape",
    "revise",
    "set_attachment_kind",
    "set_bags",
    "set_baseline",
    "set_benchmark",
    "set_cast_in",
    "set_columns",
    "set_date",
    "set_dig",
    "set_distance",
    "set_equal_distances",
    "set_heights",
    "set_house_side",
    "set_issue",
    "set_keepout_kind",
    "set_line_heights",
    "set_measured",
    "set_openings",
    "set_paper",
    "set_pier_heights",
    "set_poured",
    "set_proof",
    "set_rounding",
    "set_setup",
    "set_spot",
    "set_square_from",
    "set_station_offset",
    "set_steel",
    "set_tape_at_hand",
    "set_thickness",
    "set_title",
    "set_truck",
    "set_tube",
    "set_underlay",
    "set_units",
    "space_equally",
    "take_in",
    "tapes_from_text",
    "turn",
    "unlog_hole",
    "usual_cast_in",
    "usual_steel",
]
