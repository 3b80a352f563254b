"""Points, directions, frames and polygons in the plan's own axes: millimetres, y up."""
