"""A second reader of DXF files, for checks only: pairs of code and value, straight from the bytes.

Written from the layout of the format (a code on one line, its value on the next; records begin at code 0), so that
what one library writes is not only read by the same library.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import groupby, pairwise

Tag = tuple[int, str]


@dataclass(frozen=True)
class Record:
    """One entity or table entry: its kind and its tags in order."""

    kind: str
    tags: tuple[Tag, ...]

    def all(self, code: int) -> list[str]:
        """Return all values of a code."""
        return [value for c, value in self.tags if c == code]

    def text(self, code: int) -> str:
        """Return the first value of a code."""
        return self.all(code)[0]

    def number(self, code: int) -> float:
        """Return the first value of a code as a number."""
        return float(self.text(code))

    def place(self, code: int) -> tuple[float, float]:
        """Return the point whose x has this code."""
        return self.number(code), self.number(code + 10)


@dataclass(frozen=True)
class Dxf:
    """A DXF file: header variables and the records of each section, in order."""

    header: dict[str, list[str]]
    sections: dict[str, list[Record]] = field(default_factory=dict)

    def entities(self, kind: str) -> list[Record]:
        """Return the entities of one kind in model space and on the active sheet."""
        return [record for record in self.sections["ENTITIES"] if record.kind == kind]

    def table(self, kind: str) -> list[Record]:
        """Return the entries of one table."""
        return [record for record in self.sections["TABLES"] if record.kind == kind]

    def blocks(self) -> dict[str, list[Record]]:
        """Return what each block holds, by its name."""
        found: dict[str, list[Record]] = {}
        for record in self.sections["BLOCKS"]:
            if record.kind == "BLOCK":
                name = record.text(2)
                found[name] = []
            elif record.kind != "ENDBLK":
                found[name].append(record)
        return found

    def with_attributes(self) -> list[tuple[Record, dict[str, str]]]:
        """Return each block reference of the ENTITIES section with its attributes by tag."""
        found: list[tuple[Record, dict[str, str]]] = []
        for record in self.sections["ENTITIES"]:
            if record.kind == "INSERT":
                found.append((record, {}))
            elif record.kind == "ATTRIB":
                found[-1][1][record.text(2)] = record.text(1)
        return found


def read_tags(data: bytes) -> Dxf:
    """Return what a DXF file holds.

    Raises:
        ValueError: when it is not made of pairs, or a section is not closed.
    """
    lines = data.decode("utf-8").split("\n")
    if lines[-1] == "":
        lines.pop()
    if len(lines) % 2:
        raise ValueError("a code has no value")
    tags = [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]
    if tags[-1] != (0, "EOF"):
        raise ValueError("the file does not end with EOF")
    sections: dict[str, list[Record]] = {}
    name = ""
    for record in _records(tags[:-1]):
        if record.kind == "SECTION":
            if name:
                raise ValueError(f"section {name} is not closed")
            name = record.text(2)
            sections[name] = [Record(name, record.tags[1:])] if name == "HEADER" else []
        elif record.kind == "ENDSEC":
            name = ""
        else:
            sections[name].append(record)
    return Dxf(_variables(sections.pop("HEADER")[0].tags), sections)


def _records(tags: list[Tag]) -> Iterator[Record]:
    starts = [i for i, (code, _) in enumerate(tags) if code == 0]
    for start, end in pairwise([*starts, len(tags)]):
        yield Record(tags[start][1], tuple(tags[start + 1 : end]))


def _variables(tags: tuple[Tag, ...]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for named, group in groupby(tags, key=lambda tag: tag[0] == 9):
        values = [value for _, value in group]
        if named:
            name = values[-1]
            found[name] = []
        else:
            found[name] += values
    return found
