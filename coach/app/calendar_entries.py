"""A learner's page as the entries of a calendar."""

from __future__ import annotations

from collections.abc import Mapping

from coach.edges.calendar_file import Entry
from coach.records.names import name_key
from coach.rehearsal.certificates import Certificate, Needed
from coach.rehearsal.learner_page import LearnerPage, certificate_lines


def entries_of(page: LearnerPage, learner: str, minutes_of: Mapping[str, int]) -> tuple[Entry, ...]:
    """The next rehearsal of each skill that can be practised here, each certificate's date, and
    the last day for each skill that it needs.

    The id of the learner goes into the keys, which are told to nobody. A version grows with
    whatever moves a day: attempts, what is told of a certificate, and the days that pass.
    """
    attempts = sum(len(each.attempts) for each in page.known.values())
    passed = _days_passed(page)
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


def _days_passed(page: LearnerPage) -> int:
    """Days since the first attempt: what is due moves with them, too."""
    days = [one.instant.date() for each in page.known.values() for one in each.attempts]
    return max(0, (page.now.date() - min(days)).days) if days else 0
