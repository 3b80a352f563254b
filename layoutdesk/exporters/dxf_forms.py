"""Many entities that are alike but for a few values: the library writes one, and the rest are filled in like it.

A drawing may hold thousands of references and dimensions. Making each as objects costs more than all the rest of
the file, so that one of a kind is made with marked values, written down by the library, and taken as a form.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Hashable, Sequence
from typing import Final

from ezdxf.document import Drawing as Document
from ezdxf.entities import DXFGraphic
from ezdxf.layouts import BaseLayout, BlockLayout
from ezdxf.lldxf.tagwriter import AbstractTagWriter, TagWriter

from layoutdesk.errors import ExportError

_HANDLE: Final = 5
_OWNER: Final = 330
_MARK: Final = 1_000_000.0625
"""Marked numbers count up from here by an eighth: exact in binary, and longer than any number of a plan's."""

Numbers = Sequence[float]
Texts = Sequence[str]
Maker = Callable[[BlockLayout, Numbers, Texts], None]
"""Adds entities to a block with given numbers and texts."""


class Form:
    """The tags of some entities with blanks for their handles, their owner, and the marked values.

    Raises:
        ExportError: when a marked value is not among the tags.
    """

    def __init__(self, tags: str, marked: Sequence[float | str], owner: str) -> None:
        lines = tags.split("\n")[:-1]
        pairs = list(zip(lines[::2], lines[1::2], strict=True))
        handles = [value for code, value in pairs if int(code) == _HANDLE]
        own = {handle: i for i, handle in enumerate([*handles, owner])}
        given = {str(value): len(own) + i for i, value in enumerate(marked)}
        self.handles = len(handles)
        self._blanks: list[int] = []
        self._pieces = [""]
        for code, value in pairs:
            blank = own.get(value) if int(code) in {_HANDLE, _OWNER} else given.get(value)
            if blank is None:
                self._pieces[-1] += f"{code}\n{value}\n"
            else:
                self._blanks.append(blank)
                self._pieces[-1] += f"{code}\n"
                self._pieces.append("\n")
        if not set(self._blanks) >= set(given.values()):
            raise ExportError("the DXF library does not write its entities as this program knows them")

    def filled(self, handles: Sequence[str], owner: str, values: Sequence[float | str]) -> str:
        """Return the tags with all blanks filled, the values in the order in which they were marked."""
        answers = [*handles, owner, *map(str, values)]
        out = [self._pieces[0]]
        for blank, piece in zip(self._blanks, self._pieces[1:], strict=True):
            out += (answers[blank], piece)
        return "".join(out)


class FilledIn(DXFGraphic):
    """Stands in a layout, as a reference might, for entities that are tags already."""

    DXFTYPE = "INSERT"

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []

    def export_dxf(self, tagwriter: AbstractTagWriter) -> None:
        """Write the tags as they are."""
        tagwriter.write_str("".join(self.tags))


class Forms:
    """The forms of one document, each made when its kind first comes up."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._forms: dict[Hashable, Form] = {}
        self._places: dict[str, FilledIn] = {}

    def add(self, layout: BaseLayout, kind: Hashable, numbers: Numbers, texts: Texts, make: Maker) -> None:
        """Add entities of a kind to a layout.

        Args:
            layout: model space, or a block.
            kind: what tells this form from others; all of a kind have as many numbers and texts.
            numbers: the numbers that this one has, its places among them.
            texts: the texts that this one has.
            make: adds the entities to a block; called once for each kind.
        """
        form = self._forms.get(kind)
        if form is None:
            form = self._forms[kind] = self._form(len(numbers), len(texts), make)
        database = self._document.entitydb
        handles = [database.next_handle() for _ in range(form.handles)]
        owner = layout.layout_key
        place = self._places.get(owner)
        if place is None:
            place = self._places[owner] = FilledIn.new(doc=self._document)
            layout.add_entity(place)
        place.tags.append(form.filled(handles, owner, [*map(float, numbers), *texts]))

    def _form(self, numbers: int, texts: int, make: Maker) -> Form:
        """Return the form of a kind: its first entities are made in a block that is then thrown away."""
        marked_numbers = tuple(_MARK + i / 8 for i in range(numbers))
        marked_texts = tuple(f"blank-{i}-blank" for i in range(texts))
        block = self._document.blocks.new_anonymous_block("U")
        make(block, marked_numbers, marked_texts)
        stream = io.StringIO()
        writer = TagWriter(stream, dxfversion=self._document.dxfversion)
        for entity in block:
            entity.export_dxf(writer)
        form = Form(stream.getvalue(), (*marked_numbers, *marked_texts), block.layout_key)
        self._document.blocks.delete_block(block.name, safe=False)
        return form
