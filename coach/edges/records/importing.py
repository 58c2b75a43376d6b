"""Records of another station taken into this data folder, and a data folder put back."""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from coach.core.errors import InputError
from coach.edges.journal_file import SUFFIX, InUseError, held
from coach.edges.lasting import make_owned_folder, replace_owned
from coach.edges.records.bundle import Bundle, writing_into
from coach.edges.register_file import FILE as REGISTER
from coach.edges.register_file import RegisterFile
from coach.records.merging import merged
from coach.records.register import Register, register_of
from coach.records.register_contents import scan_register
from coach.records.register_lines import RecordsImported, RegisterRecord
from coach.records.scoring import learner_of
from coach.session.journal_contents import scan


@dataclass(frozen=True, slots=True)
class Imported:
    """What came in: attempts that are `new` or `longer` than before, those that were `there`,
    learners that are new, `marks` set by hand, `left_out` by name and why, and `remarks` for
    people."""

    new: int
    longer: int
    there: int
    learners: int
    marks: int
    left_out: dict[str, str]
    remarks: tuple[str, ...]


def import_bundle(bundle: Bundle, data: Path, register: RegisterFile) -> Imported:
    """Take in what is not here yet; the same file may come as often as it likes.

    Nothing here is written over: of two journals of one attempt the longer goes on where the other
    ends, and where neither does, both are kept.
    """
    other = _register_in(bundle)
    before = register.read()
    left_out = _check_skills(bundle)
    with writing_into(data):
        for folder in (data / "sessions", data / "skills"):
            make_owned_folder(folder)
        for name, content in bundle.inside("skills", ".json").items():
            if name not in left_out and not (data / "skills" / name).exists():
                replace_owned(data / "skills" / name, content)
        counts = _take_journals(bundle, data / "sessions", before, left_out)
    digest = hashlib.sha256(b"".join(map(bytes.fromhex, _digests(bundle)))).hexdigest()
    told: list[str] = []
    learners = marks = 0

    def what(mine: Register) -> Sequence[RegisterRecord]:
        nonlocal learners, marks
        found = merged(mine, other, register.now(), f"station {other.station[:8]}")
        learners, marks = found.new, found.marks
        told.extend(found.remarks)
        if not (found.records or counts["new"] or counts["longer"]):
            return ()
        attempts = counts["new"] + counts["longer"]
        note = RecordsImported(register.now(), bundle.file, digest, attempts, found.new)
        return (*found.records, note)

    register.add(what)
    return Imported(
        counts["new"], counts["longer"], counts["there"], learners, marks, left_out, tuple(told)
    )


def restore(bundle: Bundle, data: Path) -> int:
    """Put a data folder back as it was; the number of files.

    InputError where there are records already, which would be mixed up with those.
    """
    there = [*data.glob(f"sessions/*{SUFFIX}"), *data.glob(REGISTER)]
    different = [path for path in there if _of(bundle, data, path) != path.read_bytes()]
    if different:
        raise InputError(
            f"{data} holds records already ({different[0].name}): move them away, set COACH_DATA "
            "to another folder, or add to them by `coach records import`."
        )
    with writing_into(data):
        make_owned_folder(data)
        for name, content in bundle.files.items():
            make_owned_folder((data / name).parent)
            replace_owned(data / name, content)
    return len(bundle.files)


def _of(bundle: Bundle, data: Path, path: Path) -> bytes | None:
    return bundle.files.get(path.relative_to(data).as_posix())


def _register_in(bundle: Bundle) -> Register:
    """The register in the bundle; an empty one where there is none."""
    place = f"{bundle.file}: {REGISTER}"
    contents = scan_register(place, bundle.files.get(REGISTER, b""))
    if contents.problems:
        raise InputError("\n".join(map(str, contents.problems)))
    return register_of(contents.records)


def _check_skills(bundle: Bundle) -> dict[str, str]:
    """Contents of skills whose name is not that of what they hold."""
    return {
        name: "It is not what its name says."
        for name, content in bundle.inside("skills", ".json").items()
        if hashlib.sha256(content).hexdigest() != name.removesuffix(".json")
    }


def _digests(bundle: Bundle) -> list[str]:
    return sorted(hashlib.sha256(content).hexdigest() for content in bundle.files.values())


def _take_journals(
    bundle: Bundle, sessions: Path, register: Register, left_out: dict[str, str]
) -> dict[str, int]:
    counts = {"new": 0, "longer": 0, "there": 0}
    here = _attempts_in(sessions)
    for name, content in sorted(bundle.inside("sessions", SUFFIX).items()):
        contents = scan(name, content)
        if contents.header is None or contents.problems:
            wrong = contents.problems[0].message if contents.problems else "Nothing is in it."
            left_out[name] = f"It is damaged: {wrong}"
            continue
        whose = learner_of(contents)
        if register.is_wiped(whose) or register.is_wiped(register.known_by(whose)):
            left_out[name] = "Its learner was wiped here."
            continue
        came = _take(sessions, name, content, here.setdefault(contents.attempt, []))
        counts[came] += 1
    return counts


def _take(sessions: Path, name: str, content: bytes, same: list[Path]) -> str:
    """Take in one journal, of whose attempt `same` are here; "new", "longer" or "there"."""
    for path in same:
        mine = path.read_bytes()
        if mine.startswith(content):
            return "there"
        if content.startswith(mine):
            # While a session is recorded in it, the other one is kept beside it.
            with contextlib.suppress(InUseError), held(path):
                if content.startswith(path.read_bytes()):
                    replace_owned(path, content)
                    return "longer"
    path, number = sessions / name, 1
    while path.exists():
        number += 1
        path = sessions / f"{name.removesuffix(SUFFIX)}-{number}{SUFFIX}"
    replace_owned(path, content)
    same.append(path)
    return "longer" if len(same) > 1 else "new"


def _attempts_in(sessions: Path) -> dict[str, list[Path]]:
    """The journals that are here, by their attempts; only their first lines are read."""
    found: dict[str, list[Path]] = {}
    for path in sorted(sessions.glob(f"*{SUFFIX}")):
        with path.open("rb") as file:
            first = file.readline()
        contents = scan(path.name, first)
        if contents.header is not None:
            found.setdefault(contents.attempt, []).append(path)
    return found
