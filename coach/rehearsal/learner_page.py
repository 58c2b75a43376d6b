"""One learner's page: every skill with its last results, the chance now and the next date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from coach.core.plain import Fields, Plain
from coach.rehearsal.certificates import Certificate, Needed
from coach.rehearsal.outlook import Outlook, Standing
from coach.rehearsal.practised import Practised
from coach.rehearsal.spans import day_words, hours_words
from coach.report.attempt import Verdict, Way

WATCHED_SHOWN = 5
"""Drills with a student that are shown: the newest."""

_ID_DIGITS = 8
"""Digits of an attempt's id that are shown, as a report's name has them."""

LAST_SHOWN = 3
"""Results of a skill that are shown: the newest."""

_STANDINGS = {
    Standing.READY: "ready",
    Standing.FADING: "fading",
    Standing.NOT_YET: "not yet",
    Standing.NEVER: "never",
}

_VERDICTS = {
    Verdict.READY: "ready",
    Verdict.NOT_YET: "not yet",
    Verdict.UNCLEAR: "unclear",
}


@dataclass(frozen=True, slots=True)
class Watched:
    """A drill in which the learner watched a student with mistakes; `told`: what came of it."""

    skill: str
    day: date
    seconds: float
    seed: int
    told: str


@dataclass(frozen=True, slots=True)
class LearnerPage:
    """The page of the learner `called` so, at `now`.

    `certificates` are with what each asks of each skill, `watched` is no time practised.
    """

    called: str
    now: datetime
    aim: float
    known: Mapping[str, Outlook]
    certificates: tuple[tuple[Certificate, tuple[Needed, ...]], ...]
    watched: tuple[Watched, ...] = ()

    @property
    def seconds(self) -> float:
        """Time practised in all."""
        return sum(each.seconds for each in self.known.values())

    def as_text(self) -> str:
        """For people."""
        attempts = sum(len(each.attempts) for each in self.known.values())
        lines = [
            f"{self.called}, {day_words(self.now.date())}",
            f"{attempts} attempt{'' if attempts == 1 else 's'} at {len(self.known)} "
            f"skill{'' if len(self.known) == 1 else 's'}, {hours_words(self.seconds)} practised; "
            f"the chance aimed at is {round(100 * self.aim)} %.",
        ]
        for skill, each in self.known.items():
            lines += ["", *_skill_lines(skill, each)]
        if any(attempt.attempt for each in self.known.values() for attempt in _last(each)):
            lines += ["", "In brackets: what coach report and coach judge know an attempt by."]
        for certificate, needs in self.certificates:
            lines += ["", *certificate_lines(certificate, needs, self.known, self.now)]
        if self.watched:
            lines += ["", *_watched_lines(self.watched)]
        return "\n".join(lines)

    def as_json(self) -> Fields:
        """For other programs; chances and shares are 0 to 1, days and times ISO 8601."""
        return {
            "learner": self.called,
            "now": self.now.isoformat(timespec="seconds"),
            "target_chance": self.aim,
            "seconds_practised": round(self.seconds, 1),
            "skills": [_skill_fields(skill, each) for skill, each in self.known.items()],
            "certificates": [
                certificate_fields(certificate, needs, self.known)
                for certificate, needs in self.certificates
            ],
            "watched": [
                {
                    "skill": each.skill,
                    "day": each.day.isoformat(),
                    "seconds": round(each.seconds, 1),
                    "seed": each.seed,
                    "told": each.told,
                }
                for each in self.watched
            ],
        }


def certificate_lines(
    certificate: Certificate,
    needs: Sequence[Needed],
    known: Mapping[str, Outlook],
    now: datetime,
) -> list[str]:
    """A certificate with what must be rehearsed by when, and the time practised as evidence."""
    over = certificate.until < now.date()
    until = f"{'ran out on' if over else 'valid until'} {day_words(certificate.until)}"
    hours = hours_words(_practised_for(certificate, known))
    lines = [f"{certificate.name}: {until}; {hours} practised for it."]
    return lines + [f"  {need.skill}: {need.sentence()}" for need in needs]


def certificate_fields(
    certificate: Certificate, needs: Sequence[Needed], known: Mapping[str, Outlook]
) -> Fields:
    """The same for other programs."""
    return {
        "certificate": certificate.name,
        "valid_until": certificate.until.isoformat(),
        "seconds_practised": round(_practised_for(certificate, known), 1),
        "skills": [
            {
                "skill": need.skill,
                "chance_on_the_day": _rounded(need.chance),
                "rehearse_on": [day.isoformat() for day in need.days],
                "because": need.sentence(),
            }
            for need in needs
        ],
    }


def _practised_for(certificate: Certificate, known: Mapping[str, Outlook]) -> float:
    return sum(known[skill].seconds for skill in certificate.skills if skill in known)


def _watched_lines(watched: Sequence[Watched]) -> list[str]:
    """The newest drills with a student, and all of them counted."""
    drills = f"{len(watched)} drill{'' if len(watched) == 1 else 's'}"
    seconds = sum(each.seconds for each in watched)
    newest = sorted(watched, key=lambda each: each.day, reverse=True)[:WATCHED_SHOWN]
    return [
        f"Watched a student with mistakes: {drills}, {hours_words(seconds)}, which is no time "
        "practised.",
        *(f"  {each.skill}, {day_words(each.day)}: {each.told}" for each in newest),
    ]


def _skill_lines(skill: str, each: Outlook) -> list[str]:
    told = [_result_words(attempt, each.now) for attempt in _last(each)]
    due = "" if each.due is None else f" Next: {_due_words(each)}."
    return [
        f"{skill}: {_STANDINGS[each.standing]}; {hours_words(each.seconds)} practised.",
        f"  {each.sentence()}{due}",
        f"  Last: {'; '.join(told)}.",
    ]


def _due_words(each: Outlook) -> str:
    if each.due is None or each.due < each.now.date():
        return "due now"
    return "today" if each.is_due else day_words(each.due)


def _result_words(attempt: Practised, now: datetime) -> str:
    day = attempt.when.astimezone(now.tzinfo).date()
    hints = {0: "", 1: ", 1 hint"}.get(attempt.hints, f", {attempt.hints} hints")
    way = "led" if attempt.way is Way.LED else attempt.way.value
    came_to = f"{_VERDICTS[attempt.verdict]} ({round(100 * attempt.share)} %{hints})"
    known_by = f" [{attempt.attempt[:_ID_DIGITS]}]" if attempt.attempt else ""
    return f"{day_words(day)} {way} {came_to}{known_by}"


def _last(each: Outlook) -> tuple[Practised, ...]:
    return tuple(reversed(each.attempts[-LAST_SHOWN:]))


def _skill_fields(skill: str, each: Outlook) -> Fields:
    return {
        "skill": skill,
        "standing": each.standing.value,
        "chance": _rounded(each.chance),
        "next": None if each.due is None else each.due.isoformat(),
        "because": each.sentence(),
        "attempts": len(each.attempts),
        "seconds_practised": round(each.seconds, 1),
        "last": [_attempt_fields(attempt) for attempt in _last(each)],
    }


def _attempt_fields(attempt: Practised) -> Fields:
    return {
        "attempt": attempt.attempt or None,
        "started": attempt.when.isoformat(),
        "way": attempt.way.value,
        "verdict": attempt.verdict.value,
        "share": round(attempt.share, 4),
        "hints": attempt.hints,
        "seconds": round(attempt.seconds, 1),
    }


def _rounded(chance: float | None) -> Plain:
    return None if chance is None else round(chance, 4)
