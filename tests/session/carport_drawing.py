"""A small drawing of our own as a DXF: a house, four beam lines with eight piers, furniture, dimensions."""

from __future__ import annotations

from pathlib import Path

import ezdxf

XS = (0.0, 3000.0, 6000.0, 9000.0)
YS = (-2500.0, -5000.0)


def save_carport(path: Path, *, unit: int = 4, dimensions: bool = True) -> Path:
    """Write the drawing in millimetres; ``unit`` is what its header says (4 mm, 0 nothing)."""
    document = ezdxf.new("R2010", setup=True)
    document.header["$INSUNITS"] = unit
    model = document.modelspace()
    _line(model, "A-WALL", (-3000, 0), (12000, 0), (12000, 6000), (-3000, 6000))
    for i, x in enumerate(XS):
        _line(model, "S-BEAM", (x, 0), (x, -5400))
        for j, y in enumerate(YS):
            model.add_circle((x, y), 150, dxfattribs={"layer": "S-PIER"})
            mark = model.add_text(f"P{2 * i + j + 1}", height=180, dxfattribs={"layer": "S-PIER"})
            mark.set_placement((x + 200, y + 200))
    for k in range(6):
        x = 800.0 * k
        _line(model, "A-FURN", (x, 1500), (x + 500, 1500), (x + 500, 2200), (x, 2200), (x, 1500))
    if dimensions:
        style = document.dimstyles.duplicate_entry("EZDXF", "OURS")
        style.dxf.dimtxt, style.dxf.dimdec, style.dxf.dimlfac, style.dxf.dimscale = 150, 0, 1, 1
        spans = [(XS[0], XS[1], "3000"), (XS[1], XS[2], "2950"), (XS[2], XS[3], "3000"), (XS[0], XS[3], "9000")]
        for k, (a, b, text) in enumerate(spans):
            base = (0, -7100 if k == 3 else -6500)
            model.add_linear_dim(base=base, p1=(a, YS[1]), p2=(b, YS[1]), dimstyle="OURS", text=text).render()
        model.add_linear_dim(
            base=(-1200, 0), p1=(0, 0), p2=(0, YS[0]), angle=90, dimstyle="OURS", text="2500"
        ).render()
    document.saveas(path)
    return path


def _line(model: object, layer: str, *points: tuple[float, float]) -> None:
    model.add_lwpolyline(points, dxfattribs={"layer": layer})  # type: ignore[attr-defined]
