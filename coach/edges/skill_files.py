"""Finds and reads skill files and their dialogues: those that come with the program, the user's."""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from coach.core.errors import InputError
from coach.core.problem import Problem
from coach.edges.data_files import data_folder
from coach.edges.folders import user_data_folder
from coach.procedure.dialogue_file import Dialogue, parse_dialogues
from coach.procedure.fact_file import parse_facts
from coach.procedure.facts import EMPTY, FactTable, ParsedFacts
from coach.procedure.fragments import (
    NO_FRAGMENTS,
    Fragments,
    ParsedFragments,
    parse_fragments,
    with_fragments,
)
from coach.procedure.in_force import in_force
from coach.procedure.local_facts import LocalProgram, parse_local_facts
from coach.procedure.parse import ParsedSkill, parse_skill
from coach.procedure.resolve import mapping
from coach.procedure.skill_file import SkillFile
from coach.procedure.wording import counted, did_you_mean
from coach.procedure.yaml_tree import Json, read_tree

FOLDER_VARIABLE = "COACH_PROCEDURES"
"""Environment variable that names another folder of one's own skill files."""

FACTS = "facts.yaml"
"""Name of the table of facts in a folder of skill files."""

FRAGMENTS = "fragments.yaml"
"""Name of the file of shared steps in a folder of skill files."""

SCENARIO = ".scenario"
"""Between a scenario's id and the ending of its file."""

SCORING = "scoring.yaml"
"""Name of the rule of scoring in a folder of skill files."""

ENDINGS = (".yaml", ".yml")
DIALOGUES = ".dialogues"
"""Between the skill's id and the ending of a dialogue file."""

LOCAL = ".local"
"""Between a program's name and the ending of a file of its own numbers."""

LARGEST_BYTES = 1_000_000
"""Size of the largest file that is read; a skill file has some thousand bytes."""


class BrokenFileError(InputError):
    """A file with mistakes; the message holds a line for each."""

    def __init__(self, file: str, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        lines = "\n".join(str(problem) for problem in self.problems)
        super().__init__(f"{file} has {counted(len(self.problems), 'problem')}:\n{lines}")


class UnreadableFileError(InputError):
    """A file whose text cannot be got at; `problem` says so of the whole file."""

    def __init__(self, path: Path, reason: str) -> None:
        self.problem = Problem(shown(path), 0, f"the file {reason}")
        super().__init__(f"{shown(path)} {reason}")


def procedure_folders() -> tuple[Path, ...]:
    """The folders with skill files: the user's own, if it exists, goes before the program's."""
    told = os.environ.get(FOLDER_VARIABLE, "")
    own = own_folder(os.environ)
    if told and not own.is_dir():
        raise InputError(
            f"{FOLDER_VARIABLE} names {told}, which is not a folder: make it or unset the variable."
        )
    return (*((own,) if own.is_dir() else ()), data_folder("procedures"))


def own_folder(environ: Mapping[str, str]) -> Path:
    """The folder of the user's own skill files; it need not exist."""
    told = environ.get(FOLDER_VARIABLE, "")
    return Path(told).expanduser() if told else user_data_folder(environ) / "procedures"


def skill_paths() -> dict[str, Path]:
    """The file of each known skill by its id, in order of ids; the user's file hides the program's
    of the same id."""
    found: dict[str, Path] = {}
    for folder in procedure_folders():
        for path in sorted(folder.iterdir()):
            if is_skill_file(path):
                found.setdefault(path.stem, path)
    return dict(sorted(found.items()))


def skill_ids() -> tuple[str, ...]:
    """The ids of the known skills, in alphabetical order."""
    return tuple(skill_paths())


def is_skill_file(path: Path) -> bool:
    """Whether the name is that of a skill file."""
    named = path.name in (FACTS, FRAGMENTS, SCORING)
    other = named or is_dialogue_file(path) or is_local_file(path) or is_scenario_file(path)
    return path.suffix in ENDINGS and not other


def is_dialogue_file(path: Path) -> bool:
    """Whether the name is that of a dialogue file."""
    return path.suffix in ENDINGS and path.stem.endswith(DIALOGUES)


def is_scenario_file(path: Path) -> bool:
    """Whether the name is that of a scenario file."""
    return path.suffix in ENDINGS and path.stem.endswith(SCENARIO)


def is_local_file(path: Path) -> bool:
    """Whether the name is that of a file of a program's own numbers."""
    return path.suffix in ENDINGS and path.stem.endswith(LOCAL)


def skill_path(skill: str) -> Path:
    """The file of a known skill's id, or of a path as it is.

    What holds a slash or ends like a skill file is a path. InputError for an unknown id.
    """
    as_path = Path(skill).expanduser()
    slash = any(mark in skill for mark in ("/", os.sep))
    if slash or as_path.suffix in ENDINGS or skill in ("", ".", ".."):
        return as_path
    known = skill_paths()
    if skill not in known:
        raise InputError(f"There is no skill '{skill}': {did_you_mean(skill, known, 'skills')}")
    return known[skill]


def load_skill(skill: str | Path, program: LocalProgram | None = None) -> SkillFile:
    """A skill by its id or the path of its file, as a program has it.

    InputError if there is none of that name, it cannot be read, or the program turns it off, and
    BrokenFileError with a line for each mistake in it.
    """
    path = skill if isinstance(skill, Path) else skill_path(skill)
    change = None if program is None else program.skills.get(path.stem)
    if program is not None and change is not None and change.off:
        raise InputError(f"{path.stem} is turned off by {program.name}: {change.off}")
    parsed = read_skill(path, program)
    if parsed.skill_file is None:
        raise BrokenFileError(shown(path), parsed.problems)
    if program is None:
        return parsed.skill_file
    written = dict(parsed.skill_file.written)
    rules = in_force(program, path.stem, parsed.facts, written, facts_for(path.parent))
    return replace(parsed.skill_file, in_force=rules)


def read_skill(path: Path, program: LocalProgram | None = None) -> ParsedSkill:
    """What is in a skill file, as a program has it, or its problems.

    InputError if it, a table of facts or shared steps cannot be read, or these have mistakes.
    """
    table, fragments = facts_for(path.parent), fragments_for(path.parent)
    if program is None:
        return _as_written(read_text(path), shown(path), table, fragments)
    return parse_skill(
        read_text(path),
        shown(path),
        published_schema("skill.schema.json"),
        program.over(table),
        fragments,
        program.skills.get(path.stem),
    )


@lru_cache(maxsize=128)
def _as_written(text: str, file: str, table: FactTable, fragments: Fragments) -> ParsedSkill:
    """A skill as no program changes it: asked for by its dialogues and scenarios as well."""
    return parse_skill(text, file, published_schema("skill.schema.json"), table, fragments)


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


def local_program_path(program: str) -> Path:
    """The file of a local program's name, or of a path as it is; InputError for an unknown name."""
    as_path = Path(program).expanduser()
    if as_path.suffix in ENDINGS or "/" in program or os.sep in program:
        return as_path
    known: dict[str, Path] = {}
    for folder in procedure_folders():
        for path in sorted(folder.iterdir()):
            if is_local_file(path):
                known.setdefault(path.stem.removesuffix(LOCAL), path)
    if program not in known:
        advice = did_you_mean(program, known, "local programs")
        raise InputError(f"There is no local program '{program}': {advice}")
    return known[program]


def load_local_program(path: Path) -> LocalProgram:
    """A program's own rules, checked against the table of facts of its folder and the skills.

    InputError if it cannot be read, and BrokenFileError with a line for each mistake in it, also
    where a skill would not be sound any more.
    """
    text = read_text(path)
    program, problems = parse_local_facts(
        text,
        shown(path),
        published_schema("local.schema.json"),
        facts_for(path.parent),
        _SkillsAsWritten() if "skills:" in text else {},
        published_rule(),
    )
    if program is not None:
        problems = tuple(_problems_with(program, shown(path)))
    if program is None or problems:
        raise BrokenFileError(shown(path), problems)
    return program


def published_rule() -> Mapping[str, Json]:
    """The rule of scoring that comes with the program, against which a local one is held."""
    path = data_folder("procedures") / SCORING
    tree, problems = read_tree(read_text(path), shown(path))
    if tree is None:
        raise BrokenFileError(shown(path), problems)
    return mapping(tree.value)


class _SkillsAsWritten(Mapping[str, dict[str, Json]]):
    """The content of every known skill that can be read, with shared steps in place.

    Each is read when it is asked for: a program changes few of them.
    """

    def __init__(self) -> None:
        self._paths = skill_paths()
        self._read: dict[str, dict[str, Json] | None] = {}

    def __getitem__(self, name: str) -> dict[str, Json]:
        if name not in self._read:
            path = self._paths[name]
            tree, _ = read_tree(read_text(path), shown(path))
            self._read[name] = (
                None
                if tree is None
                else mapping(with_fragments(tree.value, fragments_for(path.parent)))
            )
        found = self._read[name]
        if found is None:
            raise KeyError(name)
        return found

    def __iter__(self) -> Iterator[str]:
        return (name for name in self._paths if name in self)

    def __len__(self) -> int:
        return sum(1 for _ in self)


def _problems_with(program: LocalProgram, file: str) -> Iterator[Problem]:
    """What is wrong with the skills as the program has them, at the lines of its own file."""
    paths = skill_paths()
    for name, change in program.skills.items():
        if not change.off:
            for problem in read_skill(paths[name], program).problems:
                message = f"with these changes skill '{name}' is not sound: {problem.message}"
                yield Problem(file, change.line, message)


def load_dialogues(path: Path, skill_file: SkillFile | None = None) -> tuple[Dialogue, ...]:
    """The dialogues of a file, checked against the skill if it is given.

    InputError if it cannot be read, and BrokenFileError with a line for each mistake in it.
    """
    schema = published_schema("dialogues.schema.json")
    dialogues, problems = parse_dialogues(read_text(path), shown(path), schema, skill_file)
    if problems:
        raise BrokenFileError(shown(path), problems)
    return dialogues


@cache
def published_schema(name: str) -> dict[str, Any]:
    """A schema that lies beside the program's skill files."""
    schema: dict[str, Any] = json.loads((data_folder("procedures") / name).read_text("utf-8"))
    return schema


def read_text(path: Path) -> str:
    """The text of a file in UTF-8.

    UnreadableFileError with the reason if it cannot be read, BrokenFileError with the line if it
    is not UTF-8.
    """
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise UnreadableFileError(path, "is a folder: name a file in it.")
        # A pipe or device could keep the program waiting for ever.
        if not stat.S_ISREG(status.st_mode):
            raise UnreadableFileError(path, "is not an ordinary file: name a YAML file.")
        if status.st_size > LARGEST_BYTES:
            size = f"has {status.st_size:,} bytes, more than the {LARGEST_BYTES:,} that are read"
            raise UnreadableFileError(path, f"{size}: is it the right one?")
        content = path.read_bytes()
    except FileNotFoundError:
        raise UnreadableFileError(path, "does not exist: check the name.") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else str(error)
        raise UnreadableFileError(path, f"cannot be read ({reason}): check the file.") from error
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        message = "the file is not UTF-8 text here: save it as UTF-8 in your editor."
        raise BrokenFileError(shown(path), [Problem(shown(path), line, message)]) from None


def shown(path: Path) -> str:
    """A path as a person at this place would write it: relative if it is below, else in full."""
    try:
        return str(path.absolute().relative_to(Path.cwd()))
    except ValueError:
        return str(path)
