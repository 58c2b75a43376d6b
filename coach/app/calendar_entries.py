"""A learner's page as the entries of a calendar."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from coach.edges.calendar_file import Entry
from coach.records.names import name_key
from coach.rehearsal.certificates import Certificate, Needed
from coach.rehearsal.learner_page import LearnerPage, certificate_lines

COUNTED_FROM = date(2026, 1, 1)
"""Days that pass are counted from here, the same day for ever: one day further each day."""


def entries_of(page: LearnerPage, learner: str, minutes_of: Mapping[str, int]) -> tuple[Entry, ...]:
    """The next rehearsal of each skill that can be practised here, the first one of each that was
    never practised and a certificate needs, each certificate's date, and the last day for each
    skill that it needs.

    The id of the learner goes into the keys, which are told to nobody. A version grows with
    whatever moves a day: attempts, what is told of a certificate, and the days that pass.
    """
    attempts = sum(len(each.attempts) for each in page.known.values())
    passed = max(0, (page.now.date() - COUNTED_FROM).days)
    entries = [
        Entry(
            f"{learner}:rehearse:{skill}",
            len(each.attempts) + passed,
            # What was due before is to be done today: nobody finds it in the past.
            max(each.due, page.now.date()),
            f"Rehearse {skill}",
            each.sentence(),
            minutes_of[skill],
        )
        for skill, each in page.known.items()
        if each.due is not None and skill in minutes_of
    ]
    first = {need.skill: need for _, needs in page.certificates for need in needs if need.days}
    entries += [
        Entry(
            f"{learner}:rehearse:{skill}",
            passed,
            need.days[0],
            f"Rehearse {skill}",
            need.sentence(),
            minutes_of[skill],
        )
        for skill, need in first.items()
        if need.chance is None and skill in minutes_of
    ]
    for certificate, needs in page.certificates:
        version = attempts + passed + certificate.changes
        entries.append(
            Entry(
                f"{learner}:certificate:{name_key(certificate.name)}",
                version,
                certificate.until,
                f"{certificate.name} runs out",
                "\n".join(certificate_lines(certificate, needs, page.known, page.now)),
            )
        )
        entries += [_last_day(learner, version, certificate, need) for need in needs if need.days]
    return tuple(entries)


def _last_day(learner: str, version: int, certificate: Certificate, need: Needed) -> Entry:
    return Entry(
        f"{learner}:certificate:{name_key(certificate.name)}:{need.skill}",
        version,
        need.days[-1],
        f"{need.skill} for {certificate.name}",
        need.sentence(),
    )
