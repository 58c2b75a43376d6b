"""What skills have in common: the table of facts, and the steps that several share."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

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


def facts_for(folder: Path) -> FactTable:
    """The program's table of facts, with that of a folder added if there is one.

    InputError if one cannot be read, and BrokenFileError with a line for each mistake in it.
    """
    own = folder / FACTS
    files = [program_facts()]
    if own.is_file() and own.resolve() != files[0].resolve():
        files.append(own)
    return _table(tuple((file, file.stat().st_mtime_ns, file.stat().st_size) for file in files))


def fragments_for(folder: Path) -> Fragments:
    """The program's shared steps, with those of a folder added or put in their place.

    InputError if a file of them cannot be read, and BrokenFileError with a line for each mistake.
    """
    files = [data_folder("procedures") / FRAGMENTS, folder / FRAGMENTS]
    found = list(dict.fromkeys(file.resolve() for file in files if file.is_file()))
    return _fragments(tuple((file, file.stat().st_mtime_ns, file.stat().st_size) for file in found))


def read_fragments(path: Path) -> ParsedFragments:
    """What is in a file of shared steps, or its problems; InputError if it cannot be read."""
    schema = published_schema("fragments.schema.json")
    return parse_fragments(read_text(path), shown(path), schema, facts_for(path.parent))


@lru_cache(maxsize=4)
def _fragments(stamped: tuple[tuple[Path, int, int], ...]) -> Fragments:
    """The shared steps of these files in one; see `_table` for the stamps."""
    fragments = NO_FRAGMENTS
    for file, _, _ in stamped:
        parsed = read_fragments(file)
        if parsed.fragments is None:
            raise BrokenFileError(shown(file), parsed.problems)
        fragments = fragments.with_more(parsed.fragments)
    return fragments


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
def _table(stamped: tuple[tuple[Path, int, int], ...]) -> FactTable:
    """The table of these files in one; time and size are there so that a changed file is read."""
    table = EMPTY
    for file, _, _ in stamped:
        parsed = read_facts(file)
        if parsed.table is None:
            raise BrokenFileError(shown(file), parsed.problems)
        table = table.with_more(parsed.table)
    return table
