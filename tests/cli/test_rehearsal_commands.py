"""The commands that plan: what is due today, a learner's page, certificates, a calendar file."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar
from sqlalchemy import insert

from coach.cli import rehearsal_options
from coach.cli.main import main
from coach.edges.records.database import records_of
from coach.edges.records.tables import attempts
from coach.edges.register_file import RegisterFile
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import skill_ids
from coach.edges.skill_minutes import minutes_of_skills

NOW = datetime(2026, 11, 26, 15, 0, tzinfo=ZoneInfo("America/Chicago"))


@pytest.fixture(autouse=True)
def _that_afternoon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rehearsal_options, "now", lambda: NOW)


def practise(learner: str, skill: str, *attempted: tuple[str, str, str]) -> None:
    """Put invented attempts into the database: started, way, verdict."""
    rows = []
    for started, way, verdict in attempted:
        row: dict[str, object] = {column.name: "" for column in attempts.columns}
        row |= dict.fromkeys(("started_s", "limit_s", "points", "out_of", "passed_from"), 0.0)
        row |= {"id": f"{learner[:2]}-{skill}-{started}", "learner": learner, "skill": skill}
        row |= {"started": started, "way": way, "verdict": verdict, "share": 0.92, "hints": 0}
        row |= {"seconds": 600.0, "oxygen_minutes": None, "ended": True, "events": 3}
        row["oxygen_assumed"] = False
        rows.append(row)
    records = records_of(os.environ)
    with records.writing() as connection:
        connection.execute(insert(attempts), rows)
    records.close()


def learners(*names: str) -> list[str]:
    register = RegisterFile.of(os.environ)
    return [register.add_learner(name) for name in names]


@pytest.fixture
def ana() -> str:
    """A learner with three skills."""
    (ana,) = learners("Ana Lima")
    practise(
        ana,
        "suction",
        ("2026-09-01T10:00:00-05:00", "led", "ready"),
        ("2026-09-03T10:00:00-05:00", "recall", "ready"),
        ("2026-10-15T10:00:00-05:00", "assessed", "ready"),
    )
    practise(ana, "cpr", ("2026-11-20T10:00:00-06:00", "recall", "not-yet"))
    practise(ana, "gloves", ("2026-11-26T14:00:00-06:00", "recall", "ready"))
    return ana


def run(capsys: pytest.CaptureFixture[str], *arguments: str, code: int = 0) -> str:
    assert main(list(arguments)) == code
    told = capsys.readouterr()
    return told.out if code == 0 else told.err


def test_today_says_what_to_do_in_the_minutes_and_why(
    ana: str, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = run(capsys, "today").splitlines()
    assert lines[0] == "Ana Lima, 26 November 2026: 6 of 15 minutes."
    assert lines[1] == (
        "  suction   6 min  Six weeks since the last clean one; about 60 % now, 80 % is aimed at."
    )
    assert lines[2] == "Due as well, but over the 15 minutes: cpr (10 min)."
    assert lines[-1].startswith("Training aid only, never for patient care.")


def test_more_minutes_take_more_and_less_time_what_fits(
    ana: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told = json.loads(run(capsys, "today", "--minutes", "20", "--json"))
    assert [each["skill"] for each in told["rehearse"]] == ["suction", "cpr"]
    assert told["left"] == [] and told["next"] == {"skill": "gloves", "day": "2026-11-27"}
    told = json.loads(run(capsys, "today", "--minutes", "6", "--json"))
    assert [each["skill"] for each in told["rehearse"]] == ["suction"]
    assert told["rehearse"][0]["because"].startswith("Six weeks since the last clean one; about")
    assert 0.4 < told["rehearse"][0]["chance"] < 0.8


def test_a_lower_aim_is_reached_longer(ana: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = json.loads(run(capsys, "today", "--target-chance", "0.6", "--json"))
    due = [each["skill"] for each in told["rehearse"] + told["left"]]
    assert due == ["cpr"] and told["target_chance"] == 0.6


def test_nothing_is_due_and_nothing_on_record_are_said(
    capsys: pytest.CaptureFixture[str],
) -> None:
    out = run(capsys, "today")
    assert "Nothing is due." in out and "begin with coach practice" in out
    practise("", "suction", ("2026-11-26T13:00:00-06:00", "recall", "ready"))
    out = run(capsys, "today")
    assert "Nothing is due; the next is suction on 27 November 2026." in out


def test_of_several_learners_one_is_named(ana: str, capsys: pytest.CaptureFixture[str]) -> None:
    learners("Ben O'Neil")
    err = run(capsys, "today", code=1)
    assert "There are 2 learners: say whose by --learner (Ana Lima, Ben O'Neil)." in err
    assert "Nothing is due." in run(capsys, "today", "--learner", "ben o'neil")
    err = run(capsys, "learner", "Zoë", code=1)
    told = 'There is no learner called "Zoë": there are 2 learners, such as Ana Lima, Ben O\'Neil.'
    assert told in err
    err = run(capsys, "learner", "Ana Lime", code=1)
    assert 'There is no learner called "Ana Lime": did you mean "Ana Lima"?' in err


def test_a_learners_page_has_results_chance_next_date_and_time(
    ana: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = run(capsys, "learner", "Ana Lima")
    assert "5 attempts at 3 skills, 50 minutes practised" in out
    assert "cpr: not yet; 10 minutes practised." in out
    assert "suction: fading; 30 minutes practised." in out
    assert "Next: due now." in out and "Next: 27 November 2026." in out
    told = re.sub(r" \[[^]]{8}\]", "", out)
    assert (
        "  Last: 15 October 2026 assessed ready (92 %); 3 September 2026 recall ready (92 %); "
        "1 September 2026 led ready (92 %)."
    ) in told
    page = json.loads(run(capsys, "learner", "--json"))
    (suction,) = (each for each in page["skills"] if each["skill"] == "suction")
    assert f"assessed ready (92 %) [{suction['last'][0]['attempt'][:8]}]; 3 September" in out
    assert "coach report and coach judge know an attempt by" in out
    assert "never for patient care" in out


def test_the_page_as_json_says_the_same(ana: str, capsys: pytest.CaptureFixture[str]) -> None:
    page = json.loads(run(capsys, "learner", "--json"))
    assert page["learner"] == "Ana Lima" and page["seconds_practised"] == 3000.0
    by_skill = {each["skill"]: each for each in page["skills"]}
    assert list(by_skill) == ["cpr", "gloves", "suction"]
    assert by_skill["gloves"]["chance"] == 1.0 and by_skill["gloves"]["next"] == "2026-11-27"
    assert by_skill["suction"]["last"][0]["started"] == "2026-10-15T10:00:00-05:00"
    assert by_skill["cpr"]["standing"] == "not-yet"


def test_a_certificate_is_noted_told_and_dropped(
    ana: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "Ana Lima has no certificate on record." in run(capsys, "certificate")
    out = run(
        capsys,
        "certificate",
        "CPR card",
        "--until",
        "2027-01-15",
        "--skill",
        "cpr",
        "--skill",
        "choking",
    )
    assert "CPR card: valid until 15 January 2027; 10 minutes practised for it." in out
    assert "  choking: Never practised; rehearse on 26 November 2026, " in out
    told = json.loads(run(capsys, "certificate", "--json"))
    assert told[0]["valid_until"] == "2027-01-15"
    assert [each["skill"] for each in told[0]["skills"]] == ["cpr", "choking"]
    assert told[0]["skills"][0]["rehearse_on"][0] == "2026-11-26"
    today = json.loads(run(capsys, "today", "--minutes", "60", "--json"))
    assert "choking" in [each["skill"] for each in today["rehearse"]]
    assert "CPR card needs it, valid until 15 January 2027." in json.dumps(today)
    run(capsys, "certificate", "cpr CARD", "--drop")
    assert "Ana Lima has no certificate on record." in run(capsys, "certificate")


def test_a_certificate_without_skills_is_about_all_that_are_practised(
    ana: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = run(capsys, "certificate", "Basic course", "--until", "2027-01-15")
    assert "50 minutes practised for it." in out
    assert [line.split(":")[0].strip() for line in out.splitlines()[1:4]] == [
        "cpr",
        "gloves",
        "suction",
    ]
    out = run(capsys, "certificate", "Old card", "--until", "2026-11-25")
    assert out.startswith("Old card: ran out on 25 November 2026;") and "rehearse" not in out


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["certificate", "--until", "2027-01-15"], "Say which certificate"),
        (["certificate", "Card", "--until", "15.1.2027"], "is no day: write it as 2027-03-31"),
        (["certificate", "Card", "--until", "2027-02-30"], "is no day: write it as 2027-03-31"),
        (["certificate", "Card", "--until", "9999-12-31"], "is not within 1950 and 2150"),
        (["certificate", "Card", "--until", "2027-01-15", "--skill", "cprr"], "mean 'cpr'?"),
        (["certificate", "Card", "--skill", "cpr"], "--skill needs --until"),
        (["certificate", "Card", "--drop", "--until", "2027-01-15"], "--drop goes with neither"),
        (["certificate", "=Card", "--until", "2027-01-15"], "for a formula: leave the sign out"),
        (["certificate", "Card", "--drop"], 'Ana Lima has no certificate "Card".'),
        (["today", "--target-chance", "1"], "give a number from 0.6 to 0.95"),
        (["calendar", "--to", "dates.txt"], "does not end in .ics"),
        (["calendar", "--at", "18:30"], "--at and --zone belong together"),
        (["calendar", "--at", "24:10", "--zone", "UTC"], "is no time of day"),
        (["calendar", "--at", "18:30", "--zone", "Mars/Base"], "name one as the IANA does"),
        (["calendar", "--at", "18:30", "--zone", "../../etc/passwd"], "name one as the IANA does"),
    ],
)
def test_what_cannot_be_is_refused_and_changes_nothing(
    ana: str, arguments: Sequence[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert says in run(capsys, *arguments, code=1)
    assert RegisterFile.of(os.environ).read().certificates == {}
    assert not list(Path().glob("*.ics"))


def test_nobodys_certificate_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    err = run(capsys, "certificate", "Card", "--until", "2027-01-15", code=1)
    assert "A certificate is somebody's: give --learner" in err


def test_the_calendar_file_has_the_dates_of_skills_and_certificates(
    ana: str, capsys: pytest.CaptureFixture[str]
) -> None:
    run(capsys, "certificate", "CPR card", "--until", "2027-01-15", "--skill", "cpr")
    out = run(capsys, "calendar", "--to", "ana.ics", "--at", "18:30", "--zone", "America/Chicago")
    assert out == "ana.ics: 5 dates.\nThe first is on 2026-11-26.\n"
    assert Path("ana.ics").stat().st_mode & 0o077 == 0
    calendar = Calendar.from_ical(Path("ana.ics").read_bytes())
    starts = {str(event["SUMMARY"]): event.start for event in calendar.events}
    assert starts["Rehearse gloves"] == datetime(2026, 11, 27, 18, 30, tzinfo=NOW.tzinfo)
    assert str(starts["CPR card runs out"]) == "2027-01-15"
    assert str(starts["cpr for CPR card"]) <= "2027-01-08"
    assert ana not in Path("ana.ics").read_text("utf-8")
    assert "there already" in run(capsys, "calendar", "--to", "ana.ics", code=1)


def test_a_skill_that_a_certificate_needs_is_in_the_calendar_before_its_first_attempt(
    ana: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its last day alone would let the learner begin in March; the entry moves with the days and
    goes on as that of the next rehearsal."""
    (new,) = learners("Ben Oak")
    run(capsys, "certificate", "Card", "--learner", "Ben Oak", "--until", "2027-03-15",
        "--skill", "stroke-screen", "--skill", "cpr")  # fmt: skip

    def entry(file: str) -> tuple[str, int, date]:
        run(capsys, "calendar", "--learner", "Ben Oak", "--to", file)
        events = Calendar.from_ical(Path(file).read_bytes()).events
        (found,) = (one for one in events if one["SUMMARY"] == "Rehearse stroke-screen")
        return str(found["UID"]), int(str(found["SEQUENCE"])), found.start

    first = entry("1.ics")
    assert first[2] == NOW.date()
    monkeypatch.setattr(rehearsal_options, "now", lambda: NOW + timedelta(days=3))
    later = entry("2.ics")
    assert later[2] == NOW.date() + timedelta(days=3)
    practise(new, "stroke-screen", ("2026-11-29T10:00:00-06:00", "recall", "ready"))
    last = entry("3.ics")
    assert last[2] > later[2]
    assert first[0] == later[0] == last[0]
    assert first[1] < later[1] < last[1]


def test_what_moves_in_a_calendar_keeps_its_name_and_raises_its_sequence(
    ana: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """RFC 5545, 3.8.4.7 and 3.8.7.4: the UID is the same for ever, SEQUENCE rises whenever the day
    moves, and never falls."""
    card, skill = ("certificate", "CPR card"), ("--skill", "cpr")
    changes: tuple[Callable[[], object], ...] = (
        lambda: run(capsys, *card, "--until", "2027-01-15", *skill),
        lambda: run(capsys, *card, "--until", "2027-03-15", *skill),
        lambda: run(capsys, "certificate", "cpr Card", "--until", "2027-02-15", *skill),
        lambda: monkeypatch.setattr(rehearsal_options, "now", lambda: NOW + timedelta(days=3)),
        lambda: practise(ana, "cpr", ("2026-11-28T10:00:00-06:00", "recall", "ready")),
        lambda: run(capsys, *card, "--drop"),
        lambda: run(capsys, *card, "--until", "2027-05-15", *skill),
    )
    days: dict[str, set[date]] = {}
    last: dict[str, tuple[int, date]] = {}
    for number, change in enumerate(changes):
        change()
        run(capsys, "calendar", "--to", f"{number}.ics")
        for event in Calendar.from_ical(Path(f"{number}.ics").read_bytes()).events:
            uid, sequence = str(event["UID"]), int(str(event["SEQUENCE"]))
            days.setdefault(str(event["SUMMARY"]).casefold(), set()).add(event.start)
            before = last.get(uid)
            assert before is None or sequence >= before[0]
            assert before is None or event.start == before[1] or sequence > before[0]
            last[uid] = sequence, event.start
    assert len(days["cpr card runs out"]) == 4
    assert len(last) == len(days)


def test_names_of_all_kinds_are_only_text(capsys: pytest.CaptureFixture[str]) -> None:
    name = "<script>alert(1)</script>\u05d0\u05e0\u05d4 " + "x" * 250
    (odd,) = learners(name)
    practise(odd, "suction", ("2026-09-01T10:00:00-05:00", "recall", "ready"))
    assert name in run(capsys, "today")
    assert json.loads(run(capsys, "learner", "--json"))["learner"] == name
    run(capsys, "calendar", "--to", "odd.ics")
    calendar = Calendar.from_ical(Path("odd.ics").read_bytes())
    assert calendar.calendar_name == f"Rehearsals of {name}"


def test_the_minutes_are_those_of_the_skills(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    found = minutes_of_skills()
    assert set(found) == set(skill_ids())
    for skill in ("suction", "cpr", "vital-signs"):
        assert found[skill] == load_skill(skill).minutes
    (tmp_path / "broken.yaml").write_text("id: [", "utf-8")
    (tmp_path / "odd.yaml").write_text("steps: [{minutes: 3}]\nid: odd\nminutes: many\n", "utf-8")
    (tmp_path / "mine.yaml").write_text(
        "x: {minutes: 9}\nsteps: [minutes, 8]\nminutes: 7\n", "utf-8"
    )
    (tmp_path / "bytes.yaml").write_bytes(b"minutes: 4\n\xff\xfe")
    monkeypatch.setenv("COACH_PROCEDURES", str(tmp_path))
    assert {**found, "mine": 7} == dict(minutes_of_skills())


def test_a_local_program_may_aim_otherwise_and_the_user_goes_before_it(
    ana: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "river.local.yaml").write_text(
        'program: River\ndate: "2026-09-01"\napproved-by: nobody real\ntarget-chance: 0.6\n',
        "utf-8",
    )
    monkeypatch.setenv("COACH_PROGRAM", str(tmp_path / "river.local.yaml"))
    told = json.loads(run(capsys, "today", "--json"))
    assert told["target_chance"] == 0.6
    told = json.loads(run(capsys, "today", "--json", "--target-chance", "0.9"))
    assert told["target_chance"] == 0.9
