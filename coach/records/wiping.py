"""What has to go, and what may stay, when a learner is wiped."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

from coach.records.names import name_key
from coach.records.register import digest_of
from coach.records.register_lines import (
    ClassFileWritten,
    LearnerAdded,
    LearnerRenamed,
    LearnersJoined,
    LearnerWiped,
    MarkSet,
    RegisterRecord,
)

NOBODY = "somebody"
"""Stands where the name stood."""

_ESCAPE = re.compile(r"\\u([0-9a-fA-F]{4})")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Who is wiped: every id, and every name the register ever gave.

    Names of one word only are not looked for in what others said, where they may be that word.
    """

    ids: tuple[str, ...]
    names: tuple[str, ...]

    @property
    def spoken_names(self) -> tuple[str, ...]:
        """The names of several words."""
        return tuple(name for name in self.names if " " in name)


def wanted_of(records: Iterable[RegisterRecord], ids: Sequence[str]) -> Wanted:
    """The ids, and all names that the lines of the register gave them.

    A name that somebody else has too stays theirs, and is not looked for.
    """
    theirs: dict[str, str] = {}
    others: set[str] = set()
    for record in records:
        if not isinstance(record, LearnerAdded | LearnerRenamed):
            continue
        if record.learner in ids:
            theirs[name_key(record.name)] = record.name
        else:
            others.add(name_key(record.name))
    return Wanted(tuple(ids), tuple(name for key, name in theirs.items() if key not in others))


def class_files_naming(
    records: Iterable[RegisterRecord], ids: Sequence[str]
) -> tuple[ClassFileWritten, ...]:
    """The files about everybody that were written since one of these ids is in the register."""
    there = False
    found: list[ClassFileWritten] = []
    for record in records:
        there = there or getattr(record, "learner", "") in ids
        if there and isinstance(record, ClassFileWritten):
            found.append(record)
    return tuple(found)


def without(
    records: Sequence[RegisterRecord], wanted: Wanted, attempts: frozenset[str], at: str
) -> tuple[RegisterRecord, ...]:
    """The register's records without the wiped, the marks of their `attempts`, and the files that
    named them.

    Their name goes from what others wrote, too. A digest of each id and attempt is added, by which
    nothing of theirs comes in again, nor what was written about it.
    """
    kept: list[RegisterRecord] = []
    naming = class_files_naming(records, wanted.ids)
    for record in records:
        if isinstance(record, ClassFileWritten) and record in naming:
            continue
        if getattr(record, "learner", "") in wanted.ids:
            continue
        if isinstance(record, LearnersJoined) and record.into in wanted.ids:
            continue
        if isinstance(record, MarkSet) and record.attempt in attempts:
            continue
        kept.append(_nameless(record, wanted.names))
    gone = (*wanted.ids, *sorted(attempts))
    return (*kept, *(LearnerWiped(at, digest_of(one)) for one in gone))


def nameless(text: str, names: Sequence[str]) -> str:
    """The text with "somebody" for each of the names, however they are written."""
    if not names:
        return text
    text = unicodedata.normalize("NFC", text)
    for name in names:
        text = _pattern(name).sub(NOBODY, text)
    return text


def found_in(data: bytes, wanted: Wanted, names: Sequence[str]) -> str:
    """Which of the ids or names is in these bytes, as UTF-8 or JSON has them; "" for none."""
    for one in wanted.ids:
        if one.encode() in data:
            return one
    if not names:
        return ""
    text = data.decode("utf-8", "ignore")
    plain = _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text)
    for name in names:
        if _pattern(name).search(unicodedata.normalize("NFC", text)) or _pattern(name).search(
            unicodedata.normalize("NFC", plain)
        ):
            return name
    return ""


def _pattern(name: str) -> re.Pattern[str]:
    """The name by itself, in letters of any case, with any spaces between its words."""
    words = r"\s+".join(map(re.escape, name.split()))
    return re.compile(rf"(?<!\w){words}(?!\w)", re.IGNORECASE)


def _nameless(record: RegisterRecord, names: Sequence[str]) -> RegisterRecord:
    """The record without the name in what people wrote: who judged, why, names of files."""
    changed: dict[str, Any] = {
        field.name: new
        for field in fields(record)
        if field.name in ("by", "because", "file", "note")
        and (new := nameless(old := getattr(record, field.name), names)) != old
    }
    return replace(record, **changed) if changed else record
