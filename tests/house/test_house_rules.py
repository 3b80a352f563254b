"""What reviewers said twice: patterns that no file may hold, each with the reason."""

from __future__ import annotations

import ast
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LONGEST_MODULE = 400
FOLDERS = ("layoutdesk", "tests", "samples", "shared", "resources", ".ci")
ENDINGS = (".py", ".md", ".toml", ".json", ".lock", ".html", ".css", ".svg", "")
EXPECTS = ("raises", "warns", "fail", "waitUntil", "waitExposed")
DRAWERS = ("utils", "util", "helpers", "helper", "manager", "managers", "misc", "common", "tools")


@dataclass(frozen=True)
class Rule:
    """A pattern that must not appear in files under ``where``, except in ``but``."""

    pattern: str
    why: str
    where: tuple[str, ...] = ("layoutdesk/",)
    but: tuple[str, ...] = ()


THIS = "tests/house/test_house_rules.py"
RULES = (
    Rule(
        r"\.connect\(\s*(lambda|(functools\.)?partial\()",
        "a lambda or partial keeps its widget alive for ever, and runs in the thread of the signal",
    ),
    Rule(r"^\s*print\(", "the commands write to their streams; nothing else speaks"),
    Rule(
        r"except( Exception| BaseException)?:\s*\n\s*(pass|\.\.\.)\s*$",
        "an error that is swallowed here is found on site",
    ),
    Rule(
        r"\b(datetime\.now|date\.today|time\.time|utcnow)\(",
        "the same plan must give the same bytes on any day",
        but=("layoutdesk/desk/", "layoutdesk/session/", "layoutdesk/app.py"),
    ),
    Rule(
        r"parse_expression|registry\(\)\(",
        "pint misreads typed lengths without a word; units.parse_length reads them",
    ),
    Rule(
        r"(?<![\w.])/(work|tmp|home|root|opt|Users)/\w",
        "a path of one machine",
        where=("",),
        but=(THIS,),
    ),
    Rule(
        r"\bTODO(?!: \w+ \w+)",
        "a TODO says what is missing and why",
        where=("",),
        but=(THIS, "pyproject.toml"),
    ),
    Rule(r"^\s*qtbot\.wait(Exposed|Active|Signals?)\(", "without 'with' it waits for nothing", where=("tests/",)),
    Rule(
        r"^\s*(from|import) PySide6",
        "tests that use Qt live in tests/desk",
        where=("tests/",),
        but=("tests/desk/", "tests/benchmarks/", "tests/house/test_canary.py", "tests/endtoend/test_desk_opens.py"),
    ),
    Rule(
        r"perf_counter|time\.monotonic|process_time",
        "timing lives in tests/benchmarks and is run by hand",
        where=("tests/",),
        but=("tests/benchmarks/", THIS),
    ),
)


@cache
def own_files() -> tuple[str, ...]:
    """Return the text files of the project, from the top, with forward slashes."""
    inside = (path for folder in FOLDERS for path in (ROOT / folder).rglob("*"))
    return tuple(
        path.relative_to(ROOT).as_posix()
        for path in sorted((*ROOT.iterdir(), *inside))
        if path.is_file() and path.suffix in ENDINGS
    )


def modules(folder: str) -> list[str]:
    """Return the Python files under a folder."""
    return [name for name in own_files() if name.startswith(folder) and name.endswith(".py")]


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.why)
def test_no_file_breaks_a_house_rule(rule: Rule) -> None:
    found = [
        f"{name}:{text.count(chr(10), 0, match.start()) + 1}: {match[0].strip()}"
        for name in own_files()
        if name.startswith(rule.where) and not name.startswith(rule.but or ("\0",))
        for text in [(ROOT / name).read_text(encoding="utf-8")]
        for match in re.finditer(rule.pattern, text, re.MULTILINE)
    ]
    assert not found, rule.why


def test_every_rule_still_looks_at_some_file() -> None:
    """A rule whose files were renamed would hold for ever."""
    blind = [rule.why for rule in RULES if not any(name.startswith(rule.where) for name in own_files())]
    assert not blind


def test_modules_stay_small() -> None:
    """One topic a file; the set-up at the top of the project counts too."""
    lines = {name: len((ROOT / name).read_text(encoding="utf-8").splitlines()) for name in modules("")}
    assert len(lines) > 50
    assert {name: count for name, count in lines.items() if count > LONGEST_MODULE} == {}


def test_no_module_is_a_drawer_for_everything() -> None:
    assert [name for name in modules("") if Path(name).stem in DRAWERS or Path(name).parent.name in DRAWERS] == []


def test_every_test_function_checks_something() -> None:
    """Each test asserts, expects an error, or hands over to a function of its file that does."""
    silent = []
    for name in modules("tests/"):
        if not Path(name).name.startswith("test_"):
            continue
        tree = ast.parse((ROOT / name).read_text(encoding="utf-8"))
        functions = {n.name: n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef)}
        silent += [
            f"{name}: {function.name}"
            for function in functions.values()
            if function.name.startswith("test_") and not checks(function, functions, frozenset())
        ]
    assert silent == []


def checks(function: ast.FunctionDef, functions: dict[str, ast.FunctionDef], seen: frozenset[str]) -> bool:
    """Return whether a function asserts something, itself or through those that it calls."""
    for node in ast.walk(function):
        if isinstance(node, ast.Assert) or (isinstance(node, ast.Attribute) and node.attr in EXPECTS):
            return True
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            called = node.func.id
            if called.startswith(("assert_", "check_", "holds_")):
                return True
            if called in functions and called not in seen and checks(functions[called], functions, seen | {called}):
                return True
    return False


def test_no_two_test_files_share_a_name() -> None:
    """Tests are imported by path; two of a name are told apart by nobody who reads a report."""
    names = [Path(name).name for name in modules("tests/") if Path(name).name.startswith("test_")]
    assert sorted(names) == sorted(set(names))
