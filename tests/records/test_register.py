"""Who is who: names that are the same, names that are none, and what the lines come to."""

from __future__ import annotations

import unicodedata
import uuid
from dataclasses import fields

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.errors import InputError
from coach.records.names import LONGEST, name_key, tidy_name
from coach.records.register import Register, check_new_name, register_of
from coach.records.register_contents import register_bytes, scan_register
from coach.records.register_lines import (
    REGISTER_LINES,
    REGISTER_RECORDS,
    CertificateDropped,
    CertificateHeld,
    ClassFileWritten,
    LearnerAdded,
    LearnerRenamed,
    LearnersJoined,
    LearnerWiped,
    MarkSet,
    RecordsImported,
    RegisterOpened,
    RegisterRecord,
    ReportWritten,
)
from coach.records.wiping import class_files_naming, wanted_of, without
from coach.report.attempt import Mark

AT = "2026-03-04T21:40:03+01:00"
ANA, BEN, ANA_TOO = ("a" * 32, "b" * 32, "c" * 32)

SAMPLES: tuple[RegisterRecord, ...] = (
    RegisterOpened(AT, "f" * 32),
    LearnerAdded(AT, ANA, "Ana Müller"),
    LearnerAdded(AT, BEN, "بِن", "evening"),
    LearnerRenamed(AT, ANA, 'Ana "Annie" O\'Neill <b>', "=1+1"),
    LearnersJoined(AT, ANA_TOO, ANA),
    CertificateHeld(AT, ANA, "CPR card", "2027-03-31", ("cpr", "automated-defibrillator")),
    CertificateDropped(AT, ANA, "CPR card"),
    MarkSet(AT, "1" * 32, "gloves", Mark.LATE, "J. Doe", "after the patient was touched"),
    RecordsImported(AT, "station-2.coach.zip", "0f" * 32, 12, 3),
    ReportWritten(AT, ANA, "/home/anna/reports/2026-03-04-gloves-11111111.pdf", "1f" * 32),
    ClassFileWritten(AT, "/home/anna/class.html", "2f" * 32),
    LearnerWiped(AT, "0e" * 32),
)


def test_every_kind_of_line_has_a_sample_and_comes_back() -> None:
    assert {type(sample).__name__ for sample in SAMPLES} == set(REGISTER_RECORDS)
    contents = scan_register("register", register_bytes(SAMPLES))
    assert contents.records == SAMPLES
    assert (contents.torn, contents.problems) == (b"", ())


def test_a_line_changed_by_a_single_byte_is_never_taken() -> None:
    data = register_bytes(SAMPLES[:3])
    for place in range(len(data) - 1):
        changed = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
        contents = scan_register("register", changed)
        assert contents.problems or contents.torn, place


def test_a_line_that_is_missing_or_twice_is_told_by_its_place() -> None:
    lines = register_bytes(SAMPLES).splitlines(keepends=True)
    missing = scan_register("register", b"".join([*lines[:2], *lines[3:]]))
    assert str(missing.problems[0]) == "register:3: Line 2 belongs here, not 3."
    twice = scan_register("register", b"".join([*lines[:2], *lines[1:]]))
    assert twice.problems[0].line == 3


def test_a_line_of_a_newer_program_is_told_as_such() -> None:
    line = REGISTER_LINES.encode(SAMPLES[0], 0).replace('"v":1', '"v":2')
    assert (
        "register version 2" in scan_register("register", f"{line}\n".encode()).problems[0].message
    )


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # Unicode Standard Annex 15, figure 3: the same letter composed and decomposed.
        ("\u00c5ngstr\u00f6m", "A\u030angstro\u0308m"),
        # Unicode Standard, 5.18: "Maß" and "MASS" are a caseless match; so are the sigmas.
        ("Maß", "MASS"),
        ("ΟΔΥΣΣΕΥΣ", "Οδυσσευς"),
        ("Ana  Müller", " ana\tMÜLLER "),
        ("נועה\u200f", "נועה"),
    ],
)
def test_names_that_are_the_same(one: str, other: str) -> None:
    assert name_key(one) == name_key(other)


def test_names_that_are_not_the_same() -> None:
    assert (
        len(
            {
                name_key(name)
                for name in ("Ana", "Anna", "\u0410n\u0430", "Ana B", "Añ\u0430", "安娜")
            }
        )
        == 6
    )


@given(st.text())
def test_the_key_does_not_change_what_it_has_made(name: str) -> None:
    assert name_key(name_key(name)) == name_key(name)
    assert name_key(unicodedata.normalize("NFD", name)) == name_key(name)


@pytest.mark.parametrize(
    ("name", "why"),
    [
        ("", "empty"),
        (" \t", "empty"),
        ("=HYPERLINK(1)", "formula"),
        ("@ana", "formula"),
        ("\uff1d1+1", "formula"),
        ("A" * (LONGEST + 1), "301 letters long"),
        ("Ana\x00", "U\\+0000"),
        ("Ana\u202ecod", "U\\+202E"),
        ("...", "no letter"),
    ],
)
def test_what_is_no_name_is_refused_in_words(name: str, why: str) -> None:
    with pytest.raises(InputError, match=why):
        tidy_name(name)


@pytest.mark.parametrize(
    "name",
    [
        "A" * LONGEST,
        "O'Neill",
        'Ana "Annie" <script>',
        "محمد علي",
        "Nguyễn Thị",
        "李小龙",
        "X Æ A-12",
    ],
)
def test_every_name_that_people_have_is_kept_as_it_is(name: str) -> None:
    assert tidy_name(name) == name


def test_two_people_of_one_name_are_told_apart_by_a_note() -> None:
    one = register_of((LearnerAdded(AT, ANA, "Ana Silva"),))
    with pytest.raises(InputError, match="--note"):
        check_new_name(one, "ana SILVA", "")
    assert check_new_name(one, "Ana Silva", "evening") == ("Ana Silva", "evening")
    assert check_new_name(one, "Ana Silva", "", learner=ANA) == ("Ana Silva", "")
    two = register_of(
        (LearnerAdded(AT, ANA, "Ana Silva"), LearnerAdded(AT, BEN, "Ana Silva", "late"))
    )
    with pytest.raises(InputError, match=r"2 people.*Ana Silva \(late\)"):
        two.named("ana silva")
    found = two.named("Ana Silva (LATE)")
    assert found is not None and found.id == BEN
    with pytest.raises(InputError, match="another note"):
        check_new_name(two, "Ana Silva", "Late")


def test_a_name_an_id_and_nobody() -> None:
    register = register_of((LearnerAdded(AT, ANA, "Ana Silva"),))
    for called in ("Ana Silva", " ANA  silva", ANA):
        found = register.named(called)
        assert found is not None and found.id == ANA
    assert register.named("Ben") is None
    assert register.called(BEN) == "somebody (bbbbbbbb)"


def test_people_who_are_one_share_what_they_have() -> None:
    register = register_of(
        (
            LearnerAdded(AT, ANA, "Ana"),
            LearnerAdded(AT, ANA_TOO, "Ana", "station 2"),
            LearnerAdded(AT, BEN, "Anna"),
            CertificateHeld(AT, ANA_TOO, "CPR card", "2027-05-01"),
            CertificateHeld(AT, ANA, "cpr card", "2026-05-01"),
            LearnersJoined(AT, ANA_TOO, ANA),
            LearnersJoined(AT, ANA, BEN),
        )
    )
    assert list(register.learners) == [BEN]
    assert register.known_by(ANA_TOO) == register.known_by(ANA) == BEN
    assert register.ids_of(BEN) == (BEN, ANA, ANA_TOO)
    (certificate,) = register.certificates.values()
    assert (certificate.learner, certificate.valid_until) == (BEN, "2027-05-01")
    found = register.named(ANA_TOO)
    assert found is not None and found.name == "Anna"


def test_marks_by_hand_are_all_kept_in_order_and_counted_once() -> None:
    first = MarkSet(AT, "1" * 32, "gloves", Mark.DONE, "J. Doe")
    other = MarkSet(AT, "1" * 32, "gloves", Mark.MISSED, "K. Roe", "not before the first touch")
    register = register_of((first, other, first))
    assert register.marks_of("1" * 32) == (first, other)
    assert register.marks_of("2" * 32) == ()


def test_the_wiped_are_known_by_nothing_but_a_digest() -> None:
    from coach.records.register import digest_of

    register = register_of((LearnerWiped(AT, digest_of(ANA)),))
    assert register.is_wiped(ANA) and not register.is_wiped(BEN)
    # FIPS 180-4, the example of the message "abc".
    assert digest_of("abc").startswith("ba7816bf8f01cfea414140de5dae2223b00361a3")


@given(st.lists(st.sampled_from(SAMPLES)))
def test_any_lines_come_to_something(records: list[RegisterRecord]) -> None:
    register = register_of(records)
    assert {field.name for field in fields(Register)} == set(Register.__slots__)
    for learner in register.learners.values():
        assert register.named(learner.id) == learner
    for old, now in register.joined.items():
        assert now not in register.joined, old


def test_ids_are_those_of_uuids() -> None:
    assert len(uuid.uuid4().hex) == len(ANA)


def test_marks_stand_in_the_order_of_their_instants_at_every_station() -> None:
    """However they came in: what one station told before another imports it."""
    first = MarkSet("2026-03-05T08:00:00+00:00", "1" * 32, "gloves", Mark.MISSED, "K. Roe")
    last = MarkSet("2026-03-05T09:30:00+01:00", "1" * 32, "gloves", Mark.DONE, "J. Doe")
    for told in ((first, last), (last, first)):
        assert register_of(told).marks_of("1" * 32) == (first, last)


@pytest.mark.parametrize(
    ("said", "who"),
    [
        ("ana", ANA),
        ("Ana Muller", ANA),
        ("muller", ANA),
        ("annie oneill", BEN),
        ("ben morning", "d" * 32),
        ("nobody", None),
        ("\u674e", "e" * 32),
        ("?", None),
    ],
)
def test_as_much_of_a_name_as_tells_it_from_all_others_is_enough_aloud(
    said: str, who: str | None
) -> None:
    register = register_of(
        (
            LearnerAdded(AT, ANA, "Ana M\u00fcller"),
            LearnerAdded(AT, BEN, "Annie O'Neill"),
            LearnerAdded(AT, ANA_TOO, "Ben"),
            LearnerAdded(AT, "d" * 32, "Ben", "morning"),
            LearnerAdded(AT, "e" * 32, "\u674e \u5c0f\u9f8d"),
        )
    )
    found = register.meant(said)
    assert (found.id if found else None) == who
    with pytest.raises(InputError, match=r"There are 2 people called ben: say which, Ben; Ben \(m"):
        register.meant("ben")


def test_reports_are_found_under_every_id_of_a_learner() -> None:
    one, two = (ReportWritten(AT, who, f"/reports/{who[:3]}.pdf", "1f" * 32) for who in (ANA, BEN))
    before = ReportWritten(AT, ANA_TOO, "/reports/before.pdf", "2f" * 32)
    register = register_of(
        (
            LearnerAdded(AT, ANA, "Ana Müller"),
            LearnerAdded(AT, BEN, "Ben Oak"),
            LearnerAdded(AT, ANA_TOO, "Ana Lopez"),
            *(before, one, two),
            LearnersJoined(AT, ANA_TOO, ANA),
        )
    )
    assert register.reports_of(ANA) == (before, one)


def test_a_file_about_everybody_names_who_was_there_when_it_was_written() -> None:
    early, late = (ClassFileWritten(AT, f"/{when}.html", "1f" * 32) for when in ("early", "late"))
    records = (
        RegisterOpened(AT, "5" * 32),
        LearnerAdded(AT, BEN, "Ben Oak"),
        early,
        LearnerAdded(AT, ANA, "Ana Müller"),
        late,
        late,
    )
    assert class_files_naming(records, (BEN,)) == (early, late, late)
    assert class_files_naming(records, (ANA, ANA_TOO)) == (late, late)
    left = without(records, wanted_of(records, (ANA,)), frozenset(), AT)
    assert register_of(left).class_files == (early,)
