"""YAML text as plain values that remember their lines.

Less than YAML on purpose: one document, no aliases, no tags, no duplicate keys, and only `true` and
`false` are truth values, so that `yes`, `no` and `on` stay the words an instructor wrote.
"""

from __future__ import annotations

import math
import re
import string
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import yaml

from coach.core.problem import Problem

Json: TypeAlias = "dict[str, Json] | list[Json] | str | int | float | bool | None"
Path: TypeAlias = tuple[str | int, ...]
"""Keys and positions from the top of the file to a value."""

DEEPEST = 20
"""Levels of nesting allowed; a skill file needs seven."""

MOST_CHARACTERS = 1_000_000
"""Length of the longest file that is read, in characters."""

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_NOT_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
_INDENTED_BY_TAB = re.compile(r"^ *\t", re.MULTILINE)
_WHOLE = re.compile(r"[-+]?[0-9]{1,15}")
_DECIMAL = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]{1,3})?")
_BEGIN_ONLY_TEXT = frozenset(string.ascii_letters) - frozenset("tTfFnN")
"""Letters with which no number, no truth value and no name of nothing begins."""

_NOTHING = ("", "~", "null", "Null", "NULL")


@dataclass(slots=True)
class Lines:
    """The line (from 1) where a part of a file begins, and those of the parts within it.

    A part within that has none of its own is only the number of its line.
    """

    line: int
    within: dict[str | int, Lines | int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Tree:
    """The value of a file, and the lines of its parts."""

    value: Json
    lines: Lines

    def line(self, path: Path) -> int:
        """The line of the value at `path`, or of the nearest part of the file around it."""
        part = self.lines
        for key in path:
            inner = part.within.get(key)
            if not isinstance(inner, Lines):
                return part.line if inner is None else inner
            part = inner
        return part.line


def read_tree(text: str, file: str) -> tuple[Tree | None, tuple[Problem, ...]]:
    """The tree of a file's text, and what is wrong with it as YAML; no tree if it cannot be read.

    `file` is only a name for the problems.
    """
    text = text.removeprefix("\ufeff")
    if len(text) > MOST_CHARACTERS:
        limit = f"more than {MOST_CHARACTERS:,} characters"
        return None, (Problem(file, 1, f"the file has {limit}: this is not a skill file."),)
    control = _NOT_TEXT.search(text)
    if control:
        line = text.count("\n", 0, control.start()) + 1
        message = "there is a character here that is no text: save the file as plain UTF-8 text."
        return None, (Problem(file, line, message),)
    loader = _LOADER(text)
    builder = _Builder(file, loader.get_event)
    try:
        value, lines = builder.document()
    except _BrokenError as broken:
        return None, (*builder.problems, broken.problem)
    except yaml.YAMLError as error:
        return None, (*builder.problems, _syntax_problem(error, text, file))
    finally:
        loader.dispose()
    return Tree(value, lines), tuple(builder.problems)


class _BrokenError(Exception):
    """The file cannot be read any further."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


@dataclass(slots=True)
class _Builder:
    file: str
    next_event: Callable[[], Any]
    problems: list[Problem] = field(default_factory=list)

    def document(self) -> tuple[Json, Lines]:
        value: Json = None
        lines = Lines(1)
        documents = 0
        while (event := self.next_event()) is not None:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self._broken(event, "a second document begins here: keep one in a file.")
                first = self.next_event()
                lines.line = _line(first)
                value = self._value(first, lines, 0)
        if not documents:
            raise _BrokenError(Problem(self.file, 1, "the file is empty."))
        return value, lines

    def _value(self, event: yaml.Event, lines: Lines, depth: int) -> Json:
        """The value that an event begins; what is within it is noted in its `lines`."""
        if isinstance(event, yaml.AliasEvent):
            raise self._broken(
                event,
                f"'*{event.anchor}' is an alias, which these files do not use: write the text out, "
                "or put quotes around a text that begins with a star.",
            )
        if depth > DEEPEST:
            raise self._broken(event, f"more than {DEEPEST} levels are nested here: indent less.")
        tag = getattr(event, "tag", None)
        if tag not in (None, "!"):
            raise self._broken(
                event,
                f"'{tag}' is a tag, which these files do not use: take it out, or put quotes "
                "around a text that begins with an exclamation mark.",
            )
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(lines, depth + 1)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(lines, depth + 1)
        if isinstance(event, yaml.ScalarEvent):
            return _scalar(event)
        raise self._broken(event, "there is nothing here that can be read.")

    def _mapping(self, lines: Lines, depth: int) -> Json:
        result: dict[str, Json] = {}
        next_event, within = self.next_event, lines.within
        while not isinstance(event := next_event(), yaml.MappingEndEvent):
            if not isinstance(event, yaml.ScalarEvent):
                raise self._broken(event, "a key must be a plain word, followed by a colon.")
            key, line = event.value, _line(event)
            if key in result:
                known = within[key]
                first = known.line if isinstance(known, Lines) else known
                message = f"'{key}' is here twice (first on line {first}): take one out."
                self.problems.append(Problem(self.file, line, message))
                self._value(next_event(), Lines(line), depth)
                continue
            result[key] = self._part(next_event(), within, key, line, depth)
        return result

    def _sequence(self, lines: Lines, depth: int) -> Json:
        result: list[Json] = []
        next_event, within = self.next_event, lines.within
        while not isinstance(event := next_event(), yaml.SequenceEndEvent):
            result.append(self._part(event, within, len(result), _line(event), depth))
        return result

    def _part(
        self,
        event: yaml.Event,
        within: dict[str | int, Lines | int],
        key: str | int,
        line: int,
        depth: int,
    ) -> Json:
        if type(event) is yaml.ScalarEvent and event.tag is None and depth <= DEEPEST:
            # Most of a file; a whole part with its lines took a third of all reading.
            within[key] = line
            return _scalar(event)
        inner = within[key] = Lines(line)
        return self._value(event, inner, depth)

    def _broken(self, event: yaml.Event, message: str) -> _BrokenError:
        return _BrokenError(Problem(self.file, _line(event), message))


def _line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _scalar(event: yaml.ScalarEvent) -> Json:
    text = str(event.value)
    if event.style in ("'", '"', "|", ">") or event.tag == "!":
        return text
    if text[:1] in _BEGIN_ONLY_TEXT:
        return text
    if text in _NOTHING:
        return None
    if text.lower() in ("true", "false"):
        return text.lower() == "true"
    if _WHOLE.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text) and math.isfinite(float(text)):
        return float(text)
    return text


def _syntax_problem(error: yaml.YAMLError, text: str, file: str) -> Problem:
    """The problem of a text that is no YAML, where it began rather than where it was noticed."""
    what = getattr(error, "problem", None) or "the text breaks off"
    noticed = getattr(error, "problem_mark", None)
    opened = getattr(error, "context_mark", None)
    unclosed = any(kind in str(getattr(error, "context", "")) for kind in ("quoted", "flow"))
    mark = opened if unclosed and opened else noticed or opened
    lines = text.splitlines() or [""]
    line = min(mark.line + 1 if mark else 1, len(lines))
    if _INDENTED_BY_TAB.match(lines[line - 1]):
        return Problem(file, line, "the line is indented by a tab: use spaces.")
    if "nesting depth" in what:
        advice = f"at most {DEEPEST} levels may be nested"
    elif unclosed:
        advice = "the quotes or brackets that open here are not closed well: mend them"
    elif "mapping values are not allowed" in what:
        advice = "put quotes around a text that holds a colon and a space, or mend the indentation"
    else:
        advice = "look at the indentation, colons and quotes on this line and above"
    return Problem(file, line, f"this cannot be read as YAML ({what}): {advice}.")
