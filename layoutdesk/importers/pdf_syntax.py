"""How a PDF writes its objects (ISO 32000-1, 7.3): dictionaries, lists, names, strings, numbers and references."""

from __future__ import annotations

import base64
import re
import zlib
from typing import Any, Final, NamedTuple

_DEEPEST: Final = 60
_TOKEN: Final = re.compile(
    rb"(?:[\0\t\n\f\r ]|%[^\r\n]*)*"
    rb"(?:(?P<open><<|\[)|(?P<shut>>>|\])|/(?P<name>[^\0\t\n\f\r ()<>\[\]{}/%]*)"
    rb"|(?P<ref>\d{1,9}[ ]\d{1,5}[ ]R\b)|(?P<number>[+-]?(?:\d+\.?\d*|\.\d+))"
    rb"|(?P<string>\()|<(?P<hex>[0-9A-Fa-f\s]*)>|(?P<word>[^\0\t\n\f\r ()<>\[\]{}/%]+))"
)


class Ref(NamedTuple):
    """A reference to another object."""

    number: int


def unpacked(data: bytes, way: object, most: int) -> bytes:
    """Return data unpacked in one of the ways that instructions are packed in; in another, as they are.

    Of what swells to more than ``most`` bytes only so many are returned.
    """
    match way:
        case "FlateDecode" | "Fl":
            return zlib.decompressobj().decompress(data, most)
        case "ASCII85Decode" | "A85":
            return base64.a85decode(data.partition(b"~>")[0], ignorechars=b" \t\n\r\v\f\0")
        case "ASCIIHexDecode" | "AHx":
            return bytes.fromhex(data.partition(b">")[0].decode("ascii"))
        case _:
            return data


def parsed(data: bytes, at: int) -> tuple[object, int]:
    """Return the object that is written at a place, and where it ends: lists and dicts hold others, names are str.

    Strings are bytes, numbers floats, references :class:`Ref`; what makes no sense is None.
    """
    stack: list[list[Any]] = [[]]
    ends: list[bool] = []
    while True:
        token = _TOKEN.match(data, at)
        if token is None or len(stack) > _DEEPEST:
            return None, at
        at = token.end()
        match token.lastgroup:
            case "open":
                stack.append([])
                ends.append(token["open"] == b"<<")
            case "shut":
                if not ends:
                    return None, at
                held = stack.pop()
                if ends.pop():
                    pairs = zip(held[::2], held[1::2], strict=False)
                    stack[-1].append({k: v for k, v in pairs if isinstance(k, str)})
                else:
                    stack[-1].append(held)
            case "name":
                name = re.sub(rb"#([0-9A-Fa-f]{2})", lambda m: bytes([int(m[1], 16)]), token["name"])
                stack[-1].append(name.decode("latin-1"))
            case "ref":
                stack[-1].append(Ref(int(token["ref"].split()[0])))
            case "number":
                stack[-1].append(float(token["number"]))
            case "string":
                text, at = _string(data, at)
                stack[-1].append(text)
            case "hex":
                digits = b"".join(token["hex"].split())
                stack[-1].append(bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode("ascii")))
            case _:
                stack[-1].append(None)
        if not ends:
            return stack[0][0], at


def _string(data: bytes, at: int) -> tuple[bytes, int]:
    """Return a string that began before a place, and where it ends."""
    out = bytearray()
    depth = 1
    marks = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f", b"\n": b""}
    while at < len(data):
        sign = data[at : at + 1]
        at += 1
        if sign == b"\\":
            octal = re.compile(rb"[0-7]{1,3}").match(data, at)
            if octal:
                out.append(int(octal[0], 8) & 255)
                at = octal.end()
            else:
                out += marks.get(data[at : at + 1], data[at : at + 1])
                at += 1
            continue
        depth += {b"(": 1, b")": -1}.get(sign, 0)
        if depth == 0:
            break
        out += sign
    return bytes(out), at


def text_of(name: bytes) -> str:
    """Return a text string of a PDF: UTF-16 or UTF-8 with its mark, else taken as Latin letters."""
    if name[:2] in {b"\xfe\xff", b"\xff\xfe"}:
        return name.decode("utf-16", "replace")
    return name.decode("utf-8-sig", "replace") if name.startswith(b"\xef\xbb\xbf") else name.decode("latin-1")
