"""A learner's page as the entries of a calendar."""

from __future__ import annotations

from collections.abc import Mapping

from coach.edges.calendar_file import Entry
from coach.rehearsal.certificates import Certificate, Needed
from coach.rehearsal.learner_page import LearnerPage, certificate_lines


def entries_of(page: LearnerPage, learner: str, minutes_of: Mapping[str, int]) -> tuple[Entry, ...]:
    """The next rehearsal of each skill that can be practised here, each certificate's date, and
    the last day for each skill that it needs.

    The id of the learner goes into the keys, which are told to nobody.
    """
    attempts = sum(len(each.attempts) for each in page.known.values())
    entries = [
        Entry(
            f"{learner}:rehearse:{skill}",
            len(each.attempts),
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
        entries.append(
            Entry(
                f"{learner}:certificate:{certificate.name}",
                attempts,
                certificate.until,
                f"{certificate.name} runs out",
                "\n".join(certificate_lines(certificate, needs, page.known, page.now)),
            )
        )
        entries += [_last_day(learner, attempts, certificate, need) for need in needs if need.days]
    return tuple(entries)


def _last_day(learner: str, version: int, certificate: Certificate, need: Needed) -> Entry:
    return Entry(
        f"{learner}:certificate:{certificate.name}:{need.skill}",
        version,
        need.days[-1],
        f"{need.skill} for {certificate.name}",
        need.sentence(),
    )
