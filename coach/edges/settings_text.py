"""The settings file: YAML, one `name: value` a line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import yaml

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.edges.folders import SETTINGS_VARIABLE, settings_file
from coach.edges.setting_values import unknown_name


@dataclass(frozen=True, slots=True)
class Given:
    """The text of a value and where it stands: a flag, a variable, or file and line."""

    text: str
    origin: str
    line: int = 0


def from_file(environ: Mapping[str, str]) -> dict[str, Given]:
    """The values of the settings file, unless there is none in the usual place."""
    path = settings_file(environ)
    told = bool(environ.get(SETTINGS_VARIABLE))
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        if not told:
            return {}
        raise InputError(
            f"{SETTINGS_VARIABLE} names {path}, which does not exist: create it, or unset "
            f"{SETTINGS_VARIABLE}."
        ) from None
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}).") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not a text file in UTF-8: save it as such.") from error
    return read_settings(text, path)


def read_settings(text: str, path: Path) -> dict[str, Given]:
    """The settings in the text of a file; InputError tells every mistake with its line."""
    try:
        tree = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark
        if mark and error.context_mark and mark.index >= len(text.rstrip()):
            # What was left open is noticed only at the end of the file: tell where it begins.
            mark = error.context_mark
        line = mark.line + 1 if mark else 0
        raise InputError(str(Problem(str(path), line, f"{_sentence(error)} {_SHAPE}"))) from error
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        wrong = "A control character stands in this line: remove it."
        raise InputError(str(Problem(str(path), line, wrong))) from error
    if tree is None or tree.tag == _NULL:
        return {}
    if not isinstance(tree, yaml.MappingNode):
        raise InputError(str(Problem(str(path), tree.start_mark.line + 1, _SHAPE)))
    given: dict[str, Given] = {}
    problems: list[Problem] = []
    for key, value in tree.value:
        line = key.start_mark.line + 1
        name = str(key.value)
        if wrong := _wrong_entry(name, value, given):
            problems.append(Problem(str(path), line, wrong))
            continue
        # The text as it stands: YAML would take "no" for a truth and 1:30 for a number.
        given[name] = Given("" if value.tag == _NULL else value.value, f"{path}:{line}", line)
    if problems:
        raise InputError("\n".join(map(str, problems)))
    return given


def _sentence(error: yaml.MarkedYAMLError) -> str:
    wrong = error.problem or "this is not YAML"
    return f"{wrong[0].upper()}{wrong[1:]}."


_NULL = "tag:yaml.org,2002:null"

_SHAPE = 'The file holds one setting a line, such as "region: us".'


def _wrong_entry(name: str, value: yaml.Node, before: Mapping[str, Given]) -> str:
    """What is wrong with one entry of the file; empty if nothing is."""
    if wrong := unknown_name(name):
        return wrong
    if name in before:
        return f"{name} stands in line {before[name].line} already: keep one of the two."
    if not isinstance(value, yaml.ScalarNode):
        return f"{name} takes one value. {_SHAPE}"
    return ""
