"""Lengths: typed text to millimetres and back, exactly; other quantities through pint, which lives here only.

Inside the program a length is a float of millimetres. Text becomes such a float once, when it is typed or
read, by exact rational arithmetic; a float becomes text once, when it is shown. 1 in = 25.4 mm exactly (the
international inch of 1959), 1 ft = 12 in.
"""

from layoutdesk.units.exact import format_exact
from layoutdesk.units.quantities import (
    format_mass,
    format_volume,
    format_water,
    parse_volume,
    registry,
    to_unit,
)
from layoutdesk.units.slopes import SLOPE_EXAMPLE, exact_slope, format_slope, parse_slope
from layoutdesk.units.system import (
    KG_PER_POUND,
    LIMIT_MM,
    MM_PER_FOOT,
    MM_PER_INCH,
    UNITS,
    Units,
    default_paper,
    default_step,
    default_tape,
    inches,
)
from layoutdesk.units.typed import (
    CHAIN_EXAMPLE,
    LIST_EXAMPLE,
    parse_angle,
    parse_chain,
    parse_length,
    parse_lengths,
)
from layoutdesk.units.written import (
    SUBSCRIPTS,
    SUPERSCRIPTS,
    LengthParts,
    format_length,
    format_small,
    length_parts,
    round_half_away,
    round_to_step,
    round_up_to_step,
    small_fraction,
    small_units,
    write_parts,
)

__all__ = [
    "CHAIN_EXAMPLE",
    "KG_PER_POUND",
    "LIMIT_MM",
    "LIST_EXAMPLE",
    "MM_PER_FOOT",
    "MM_PER_INCH",
    "SLOPE_EXAMPLE",
    "SUBSCRIPTS",
    "SUPERSCRIPTS",
    "UNITS",
    "LengthParts",
    "Units",
    "default_paper",
    "default_step",
    "default_tape",
    "exact_slope",
    "format_exact",
    "format_length",
    "format_mass",
    "format_slope",
    "format_small",
    "format_volume",
    "format_water",
    "inches",
    "length_parts",
    "parse_angle",
    "parse_chain",
    "parse_length",
    "parse_lengths",
    "parse_slope",
    "parse_volume",
    "registry",
    "round_half_away",
    "round_to_step",
    "round_up_to_step",
    "small_fraction",
    "small_units",
    "to_unit",
    "write_parts",
]
