"""Drawings that the DXF tests share: the samples, and plans made up of the odd and the degenerate."""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import cache
from typing import TypeVar

import ezdxf
from ezdxf.document import Drawing as Document
from ezdxf.entities import DXFEntity
from ezdxf.layouts import BaseLayout

from layoutdesk.engine.derive import derive
from layoutdesk.engine.layout import Layout
from layoutdesk.exporters.dxf import write_dxf
from layoutdesk.places import SAMPLES
from layoutdesk.plan.file import read_plan
from layoutdesk.plan.model import Plan
from layoutdesk.sheets.drawing import plan_drawing
from layoutdesk.sheets.drawing_marks import Drawing
from tests.exporters.tag_reader import Dxf, read_tags

NAMES = tuple(sorted(path.name.removesuffix(".layout.json") for path in SAMPLES.glob("*.layout.json")))


Kind = TypeVar("Kind", bound=DXFEntity)


@dataclass(frozen=True)
class Written:
    """One plan on all its way to the file, and the file as two readers see it."""

    layout: Layout
    drawing: Drawing
    data: bytes
    document: Document
    tags: Dxf


def written(plan: Plan) -> Written:
    """Return a plan as a DXF file, read again."""
    layout = derive(plan)
    drawing = plan_drawing(layout)
    data = write_dxf(drawing)
    return Written(layout, drawing, data, read_again(data), read_tags(data))


def read_again(data: bytes) -> Document:
    """Return a DXF file as the library reads it."""
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


@cache
def sample(name: str) -> Written:
    """Return one of the samples; the tests only look at it."""
    return written(read_plan(SAMPLES / f"{name}.layout.json"))


def of_kind(layout: BaseLayout, kind: type[Kind]) -> list[Kind]:
    """Return the entities of one kind in a layout, in order."""
    return [entity for entity in layout if isinstance(entity, kind)]
