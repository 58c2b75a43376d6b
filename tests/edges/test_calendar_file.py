"""The calendar file, as another parser of RFC 5545 reads it and as the standard has it."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as some
from icalendar import Calendar

from coach.edges.calendar_file import Entry, TimeOfDay, calendar_bytes

MADE = datetime(2026, 11, 26, 15, 4, 5, 678, tzinfo=UTC)
DAY = date(2026, 12, 3)
ENTRIES = (
    Entry("ana:suction", 3, DAY, "Rehearse suction", "Six weeks; about 70 %, \\ now.", 6),
    Entry("ana:card", 1, date(2027, 3, 31), "Basic course runs out", "Hours: 3.5"),
)
EVENING = TimeOfDay(time(18, 30), ZoneInfo("Europe/Berlin"))


def made(entries: tuple[Entry, ...] = ENTRIES, when: TimeOfDay | None = None) -> bytes:
    return calendar_bytes("Rehearsals of Ana", "ana", entries, MADE, when)


def instant(when: date) -> datetime:
    """A time of day in UTC."""
    assert isinstance(when, datetime)
    return when.astimezone(UTC)


def unfolded(content: bytes) -> list[str]:
    """The lines, unfolded as RFC 5545 (3.1) says, without any library."""
    return content.decode("utf-8").replace("\r\n ", "").split("\r\n")


def test_it_is_read_back_as_it_was_meant() -> None:
    calendar = Calendar.from_ical(made())
    first, second = calendar.events
    assert (first.start, first.end) == (DAY, DAY + timedelta(days=1))
    assert str(first["SUMMARY"]) == "Rehearse suction"
    assert str(first["DESCRIPTION"]) == "Six weeks; about 70 %, \\ now."
    assert first["SEQUENCE"] == 3
    assert second.start == date(2027, 3, 31)
    assert not calendar.errors and not first.errors


def test_what_the_standard_requires_is_there() -> None:
    # RFC 5545: VERSION and PRODID once (3.6), UID and DTSTAMP in UTC in each event (3.6.1), lines
    # end in CRLF and have at most 75 octets (3.1), commas and semicolons are escaped (3.3.11).
    content = made(when=EVENING)
    lines = unfolded(content)
    assert lines[0] == "BEGIN:VCALENDAR" and lines[-2:] == ["END:VCALENDAR", ""]
    assert lines.count("VERSION:2.0") == 1
    assert sum(line.startswith("PRODID:") for line in lines) == 1
    assert lines.count("BEGIN:VEVENT") == lines.count("DTSTAMP:20261126T150405Z") == 2
    assert "DESCRIPTION:Six weeks\\; about 70 %\\, \\\\ now." in lines
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert "METHOD" not in content.decode()


def test_a_time_of_day_is_by_the_clocks_of_the_place_in_summer_and_winter() -> None:
    summer = Entry("ana:cpr", 1, date(2027, 7, 1), "Rehearse cpr", "", 10)
    calendar = Calendar.from_ical(made((ENTRIES[0], summer), EVENING))
    (zone,) = calendar.timezones
    assert zone.tz_name == "Europe/Berlin"
    # Berlin is an hour ahead of UTC in winter and two in summer (IANA tz data).
    starts = [instant(event.start).hour for event in calendar.events]
    assert starts == [17, 16]
    assert [event.end - event.start for event in calendar.events] == [
        timedelta(minutes=6),
        timedelta(minutes=10),
    ]
    lines = unfolded(made((ENTRIES[0], summer), EVENING))
    assert {line for line in lines if line.startswith("TZOFFSETTO")} == {
        "TZOFFSETTO:+0100",
        "TZOFFSETTO:+0200",
    }


def test_what_is_for_the_whole_day_stays_so() -> None:
    calendar = Calendar.from_ical(made(when=EVENING))
    assert [type(event.start) for event in calendar.events] == [datetime, date]


@pytest.mark.parametrize("day", [date(2027, 3, 28), date(2026, 10, 25)])
def test_an_hour_that_the_clocks_change_does_not_change_the_length(day: date) -> None:
    # Berlin: 02:00 to 03:00 is left out on 28 March 2027 and comes twice on 25 October 2026.
    early = TimeOfDay(time(1, 55), ZoneInfo("Europe/Berlin"))
    calendar = Calendar.from_ical(made((Entry("ana:cpr", 1, day, "cpr", "", 10),), early))
    (event,) = calendar.events
    assert instant(event.end) - instant(event.start) == timedelta(minutes=10)


def test_an_entry_keeps_its_name_when_its_day_moves() -> None:
    later = Entry("ana:suction", 4, DAY + timedelta(days=9), "Rehearse suction", "", 6)
    before = Calendar.from_ical(made()).events[0]
    after = Calendar.from_ical(made((later,))).events[0]
    assert before["UID"] == after["UID"]
    assert (before["SEQUENCE"], after["SEQUENCE"]) == (3, 4)
    other = Entry("ben:suction", 3, DAY, "Rehearse suction", "", 6)
    assert Calendar.from_ical(made((other,))).events[0]["UID"] != before["UID"]


def test_nothing_to_come_is_a_calendar_too() -> None:
    assert Calendar.from_ical(made(())).events == []


texts = some.text(some.characters(exclude_categories=("Cs", "Cc")), max_size=300)


@given(texts, texts)
def test_whatever_is_in_a_name_comes_back_and_starts_no_line(title: str, why: str) -> None:
    entry = Entry("ana:odd", 9, DAY, title, why, 5)
    content = made((entry, *ENTRIES), EVENING)
    assert unfolded(content).count("BEGIN:VEVENT") == 3
    assert content == made((*reversed(ENTRIES), entry), EVENING)
    events = Calendar.from_ical(content).events
    (event,) = (event for event in events if event["SEQUENCE"] == 9)
    assert (str(event.get("SUMMARY", "")), str(event.get("DESCRIPTION", ""))) == (title, why)


def test_a_line_break_in_a_title_starts_no_line() -> None:
    entry = Entry("ana:odd", 1, DAY, "two\r\nEND:VEVENT\nlines", "", 5)
    calendar = Calendar.from_ical(made((entry,)))
    assert str(calendar.events[0]["SUMMARY"]).replace("\r", "") == "two\nEND:VEVENT\nlines"
