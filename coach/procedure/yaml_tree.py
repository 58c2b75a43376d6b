"""YAML text as plain values that remember their lines.

Less than YAML on purpose: one document, no aliases, no tags, no duplicate keys, and only `true` and
`false` are truth values, so that `yes`, `no` and `on` stay the words an instructor wrote.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

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
_NOTHING = ("", "~", "null", "Null", "NULL")


@dataclass(frozen=True, slots=True)
class Tree:
    """The value of a file, and the line (from 1) where each part of it begins."""

    value: Json
    lines: Mapping[Path, int]

    def line(self, path: Path) -> int:
        """The line of the value at `path`, or of the nearest part of the file around it."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 1)


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
    builder = _Builder(file)
    try:
        value = builder.document(iter(yaml.parse(text, Loader=_LOADER)))
    except _BrokenError as broken:
        return None, (*builder.problems, broken.problem)
    except yaml.YAMLError as error:
        return None, (*builder.problems, _syntax_problem(error, text, file))
    return Tree(value, builder.lines), tuple(builder.problems)


class _BrokenError(Exception):
    """The file cannot be read any further."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


@dataclass(slots=True)
class _Builder:
    file: str
    lines: dict[Path, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def document(self, events: Iterator[yaml.Event]) -> Json:
        value: Json = None
        documents = 0
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self._broken(event, "a second document begins here: keep one in a file.")
                first = next(events)
                self.lines[()] = _line(first)
                value = self._value(first, events, ())
        if not documents:
            raise _BrokenError(Problem(self.file, 1, "the file is empty."))
        return value

    def _value(self, event: yaml.Event, events: Iterator[yaml.Event], path: Path) -> Json:
        if isinstance(event, yaml.AliasEvent):
            raise self._broken(
                event,
                f"'*{event.anchor}' is an alias, which these files do not use: write the text out, "
                "or put quotes around a text that begins with a star.",
            )
        if len(path) > DEEPEST:
            raise self._broken(event, f"more than {DEEPEST} levels are nested here: indent less.")
        tag = getattr(event, "tag", None)
        if tag not in (None, "!"):
            raise self._broken(
                event,
                f"'{tag}' is a tag, which these files do not use: take it out, or put quotes "
                "around a text that begins with an exclamation mark.",
            )
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(events, path)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(events, path)
        if isinstance(event, yaml.ScalarEvent):
            return _scalar(event)
        raise self._broken(event, "there is nothing here that can be read.")

    def _mapping(self, events: Iterator[yaml.Event], path: Path) -> Json:
        result: dict[str, Json] = {}
        while not isinstance(key := next(events), yaml.MappingEndEvent):
            if not isinstance(key, yaml.ScalarEvent):
                raise self._broken(key, "a key must be a plain word, followed by a colon.")
            place = (*path, key.value)
            if key.value in result:
                first = self.lines[place]
                message = f"'{key.value}' is here twice (first on line {first}): take one out."
                self.problems.append(Problem(self.file, _line(key), message))
                self._value(next(events), events, (*path, f"second {key.value}"))
                continue
            self.lines[place] = _line(key)
            result[key.value] = self._value(next(events), events, place)
        return result

    def _sequence(self, events: Iterator[yaml.Event], path: Path) -> Json:
        result: list[Json] = []
        while not isinstance(event := next(events), yaml.SequenceEndEvent):
            place = (*path, len(result))
            self.lines[place] = _line(event)
            result.append(self._value(event, events, place))
        return result

    def _broken(self, event: yaml.Event, message: str) -> _BrokenError:
        return _BrokenError(Problem(self.file, _line(event), message))


def _line(event: yaml.Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1


def _scalar(event: yaml.ScalarEvent) -> Json:
    text = str(event.value)
    if event.style in ("'", '"', "|", ">") or event.tag == "!":
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
