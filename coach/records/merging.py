"""The register of another station taken into this one: nothing twice, nobody mixed up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from coach.records.names import name_key
from coach.records.register import Learner, Register
from coach.records.register_lines import (
    CertificateHeld,
    LearnerAdded,
    LearnerRenamed,
    LearnersJoined,
    MarkSet,
    RegisterRecord,
)
from coach.records.rows import instant_s
from coach.records.wiping import NOBODY


@dataclass(frozen=True, slots=True)
class Merged:
    """What another register adds: its `records`, the learners `new` here, the `marks` set by hand
    and what to look at."""

    records: tuple[RegisterRecord, ...]
    new: int
    marks: int
    remarks: tuple[str, ...]


def merged(mine: Register, other: Register, at: str, other_called: str) -> Merged:
    """What `other` knows that `mine` does not; taken in twice, it adds nothing.

    A new learner of a name that is here already gets a note with where he comes from: whether they
    are one person, a person has to say. Who was wiped here does not come back.
    """
    records: list[RegisterRecord] = []
    remarks: list[str] = []
    names = {(name_key(one.name), name_key(one.note)) for one in mine.learners.values()}
    known = {name for name, _ in names}
    new = 0
    for one in other.learners.values():
        here = mine.learners.get(mine.known_by(one.id))
        if mine.is_wiped(one.id):
            remarks.append(f"A learner who was wiped here ({one.id[:8]}) was left out.")
        elif here is not None:
            records += _renamed(here, one, at)
        else:
            new += 1
            note = one.note
            if name_key(one.name) in known and (name_key(one.name), name_key(note)) in names | {
                (name_key(one.name), "")
            }:
                note = f"{note}, " if note else ""
                note += f"from {other_called}, {one.id[:8]}"
                remarks.append(
                    f'{one.name} is here already; the one who came in is called "{one.name} '
                    f'({note})". If they are one person: coach records join.'
                )
            names.add((name_key(one.name), name_key(note)))
            known.add(name_key(one.name))
            records.append(LearnerAdded(at, one.id, one.name, note))
    records += _joined(mine, other, at)
    records += _certificates(mine, other, at)
    marks = _marks(mine, other)
    return Merged((*records, *marks), new, len(marks), tuple(remarks))


def _marks(mine: Register, other: Register) -> Sequence[RegisterRecord]:
    """Marks that are not here, but none in an attempt that was wiped, and none from which a name
    was wiped here: it would come back with them."""
    there = set(mine.marks)
    wiped = {_place(one) for one in mine.marks if NOBODY in one.by or NOBODY in one.because}
    return [
        one
        for one in other.marks
        if one not in there and not mine.is_wiped(one.attempt) and _place(one) not in wiped
    ]


def _place(mark: MarkSet) -> tuple[str, str, str, str]:
    return mark.attempt, mark.step, mark.mark, mark.at


def _renamed(here: Learner, other: Learner, at: str) -> Sequence[RegisterRecord]:
    same = (here.name, here.note) == (other.name, other.note)
    if same or other.note.startswith(f"{here.note}, from ") or here.note.endswith(other.id[:8]):
        return ()
    if instant_s(other.changed) <= instant_s(here.changed):
        return ()
    return (LearnerRenamed(at, here.id, other.name, other.note or here.note),)


def _joined(mine: Register, other: Register, at: str) -> Sequence[RegisterRecord]:
    return [
        LearnersJoined(at, old, now)
        for old, now in other.joined.items()
        if mine.known_by(old) != mine.known_by(now)
        and not (mine.is_wiped(old) or mine.is_wiped(now))
    ]


def _certificates(mine: Register, other: Register, at: str) -> Sequence[RegisterRecord]:
    new: list[RegisterRecord] = []
    for one in other.certificates.values():
        learner = mine.known_by(one.learner)
        here = mine.certificates.get((learner, name_key(one.name)))
        newer = here is None or (
            instant_s(one.changed) > instant_s(here.changed)
            and (one.valid_until, one.skills) != (here.valid_until, here.skills)
        )
        if newer and not mine.is_wiped(one.learner):
            new.append(CertificateHeld(at, learner, one.name, one.valid_until, one.skills))
    return new
