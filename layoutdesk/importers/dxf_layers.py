"""Layers of a DXF: how their names are written, which are switched off or frozen, which draw in dashes."""

from __future__ import annotations

from dataclasses import dataclass

from ezdxf.document import Drawing as Document
from ezdxf.lldxf.const import DXFError

from layoutdesk.importers.dxf_codes import whole


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer: ``hidden`` when it is off or frozen, ``frozen`` when what is used on it is frozen with it."""

    name: str
    hidden: bool = False
    frozen: bool = False
    dashed: bool = False


class Layers:
    """The layers of a file, found whatever case their names are written in."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._dashed: dict[str, bool] = {}
        self._found: dict[str, Layer] = {}
        self._by_name: dict[str, Layer] = {}
        for entry in document.layers:
            name = whole(str(entry.dxf.name))
            frozen = bool(entry.is_frozen())
            self._by_name[name.lower()] = Layer(
                name,
                hidden=frozen or bool(entry.is_off()),
                frozen=frozen,
                dashed=self.is_dashed(str(entry.dxf.linetype)),
            )

    def layer(self, name: str) -> Layer:
        """Return a layer by name; one that the file does not describe is on and draws in full lines."""
        found = self._found.get(name)
        if found is None:
            found = self._found[name] = self._by_name.setdefault(whole(name).lower(), Layer(whole(name)))
        return found

    def is_dashed(self, line: str) -> bool:
        """Return whether a line type has gaps."""
        known = self._dashed.get(line)
        if known is None:
            known = self._dashed[line] = self._has_gaps(line)
        return known

    def names(self, used: set[str]) -> tuple[str, ...]:
        """Return the names of the layers that are used, in the order of the file."""
        return tuple(layer.name for layer in self._by_name.values() if layer.name in used)

    def hidden(self, used: set[str]) -> tuple[str, ...]:
        """Return the names of those that are used and switched off or frozen."""
        return tuple(layer.name for layer in self._by_name.values() if layer.name in used and layer.hidden)

    def _has_gaps(self, line: str) -> bool:
        if line.upper() in {"CONTINUOUS", "BYLAYER", "BYBLOCK", ""}:
            return False
        try:
            return len(self._document.linetypes.get(line).simplified_line_pattern()) > 1
        except (DXFError, ValueError, TypeError, IndexError):
            return False
