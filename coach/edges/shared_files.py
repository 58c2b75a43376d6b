"""What skills have in common: the table of facts, and the steps that several share."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path
from typing import Protocol, Self, TypeVar

from coach.core.problem import Problem
from coach.edges.data_files import data_folder
from coach.edges.skill_folders import FACTS, FRAGMENTS
from coach.edges.skill_text import BrokenFileError, published_schema, read_text, shown
from coach.procedure.fact_file import parse_facts
from coach.procedure.facts import EMPTY, FactTable, ParsedFacts
from coach.procedure.fragments import (
    NO_FRAGMENTS,
    Fragments,
    ParsedFragments,
    parse_fragments,
)

_Stamped = tuple[tuple[Path, int, int], ...]
"""Files with their times and sizes, so that one that was changed is read anew."""


class _Growing(Protocol):
    """What can be in several files."""

    def with_more(self, other: Self, /) -> Self:
        """This with another's content added."""


_Content = TypeVar("_Content", bound=_Growing)


def facts_for(folder: Path) -> FactTable:
    """The program's table of facts, with that of a folder added if there is one.

    InputError if one cannot be read, and BrokenFileError with a line for each mistake in it.
    """
    own = folder / FACTS
    files = [program_facts()]
    if own.is_file() and own.resolve() != files[0].resolve():
        files.append(own)
    return _table(_stamped(files))


def fragments_for(folder: Path) -> Fragments:
    """The program's shared steps, with those of a folder added or put in their place.

    InputError if a file of them cannot be read, and BrokenFileError with a line for each mistake.
    """
    files = [data_folder("procedures") / FRAGMENTS, folder / FRAGMENTS]
    found = list(dict.fromkeys(file.resolve() for file in files if file.is_file()))
    return _fragments(_stamped(found))


def read_fragments(path: Path) -> ParsedFragments:
    """What is in a file of shared steps, or its problems; InputError if it cannot be read."""
    schema = published_schema("fragments.schema.json")
    return parse_fragments(read_text(path), shown(path), schema, facts_for(path.parent))


@lru_cache(maxsize=4)
def _fragments(files: _Stamped) -> Fragments:
    found = ((file, read_fragments(file)) for file, _, _ in files)
    return _in_one(NO_FRAGMENTS, ((file, one.fragments, one.problems) for file, one in found))


def program_facts() -> Path:
    """The table of facts that comes with the program."""
    return data_folder("procedures") / FACTS


def read_facts(path: Path) -> ParsedFacts:
    """What is in a table of facts, or its problems; InputError if it cannot be read as text."""
    of_program = path.resolve() == program_facts().resolve()
    beside = EMPTY if of_program else facts_for(program_facts().parent)
    return _facts_as_written(read_text(path), shown(path), beside)


@lru_cache(maxsize=8)
def _facts_as_written(text: str, file: str, beside: FactTable) -> ParsedFacts:
    return parse_facts(text, file, published_schema("facts.schema.json"), beside)


@lru_cache(maxsize=4)
def _table(files: _Stamped) -> FactTable:
    found = ((file, read_facts(file)) for file, _, _ in files)
    return _in_one(EMPTY, ((file, one.table, one.problems) for file, one in found))


def _stamped(files: Iterable[Path]) -> _Stamped:
    return tuple((file, file.stat().st_mtime_ns, file.stat().st_size) for file in files)


def _in_one(
    nothing: _Content, files: Iterable[tuple[Path, _Content | None, tuple[Problem, ...]]]
) -> _Content:
    """What is in these files, the later ones added to the earlier; BrokenFileError for the first
    with problems and no content."""
    whole = nothing
    for file, content, problems in files:
        if content is None:
            raise BrokenFileError(shown(file), problems)
        whole = whole.with_more(content)
    return whole
