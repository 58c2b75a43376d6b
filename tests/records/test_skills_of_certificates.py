"""A certificate is about some skills, or about all that its owner practises."""

from __future__ import annotations

from coach.records.register import register_of
from coach.records.register_lines import (
    REGISTER_LINES,
    CertificateHeld,
    LearnerAdded,
    RegisterOpened,
)

AT, ANA = "2026-03-02T18:00:00+01:00", "a" * 32


def test_the_skills_of_a_certificate_are_kept_and_those_told_last_count() -> None:
    first = CertificateHeld(AT, ANA, "Basic course", "2027-03-31", ("cpr",))
    second = CertificateHeld(AT, ANA, "basic course", "2028-03-31", ("cpr", "suction"))
    opened = (RegisterOpened(AT, "b" * 32), LearnerAdded(AT, ANA, "Ana"))
    register = register_of((*opened, first, second))
    (held,) = register.certificates.values()
    assert held.skills == ("cpr", "suction")


def test_a_line_of_before_skills_were_kept_names_none() -> None:
    line = REGISTER_LINES.encode(CertificateHeld(AT, ANA, "Basic course", "2027-03-31"), 3)
    assert REGISTER_LINES.decode(line)[1] == CertificateHeld(AT, ANA, "Basic course", "2027-03-31")
