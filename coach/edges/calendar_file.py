"""Dates of rehearsals as a calendar file that other programs read (iCalendar, RFC 5545)."""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from icalendar import TRANSP, Calendar, Event

PRODUCT = "-//Hands-free skill coach//Rehearsals//EN"
"""The program, as RFC 5545 (3.7.3) wants it named."""

_NAMES = uuid.UUID("5c3a2a4e-9d0f-5b43-8f3c-2f8d7a0c9b11")
"""Space of the names below; a number of our own, the same for ever."""


@dataclass(frozen=True, slots=True)
class Entry:
    """Something on a day.

    `key` tells it from all others and stays the same when the day moves, so that a calendar that
    reads the file anew moves the entry. `version` only grows: of two with one key the higher
    counts. `minutes` is how long it takes, where it is given a time of day; None: it is always for
    the whole day.
    """

    key: str
    version: int
    day: date
    title: str
    why: str
    minutes: int | None = None


@dataclass(frozen=True, slots=True)
class TimeOfDay:
    """When in the day rehearsals are: `at` by the clocks of `zone`."""

    at: time
    zone: ZoneInfo


def calendar_bytes(
    name: str,
    key: str,
    entries: Iterable[Entry],
    made: datetime,
    when: TimeOfDay | None = None,
) -> bytes:
    """A calendar called `name`, made at `made`; entries for whole days, or at a time of day.

    `key` tells the calendar from all others. The same entries give the same bytes, whatever their
    order.
    """
    calendar = Calendar.new(name=name, prodid=PRODUCT, uid=_uid(key))
    stamp = made.astimezone(UTC).replace(microsecond=0)
    ordered = sorted(entries, key=lambda entry: (entry.day, entry.key))
    for entry in ordered:
        calendar.add_component(_event(entry, stamp, when))
    if ordered:
        # Rules of the zone are given from a year before, as some programs look for the last change.
        year = timedelta(days=366)
        calendar.add_missing_timezones(ordered[0].day - year, ordered[-1].day + year)
    return bytes(calendar.to_ical())


def _uid(key: str) -> str:
    return str(uuid.uuid5(_NAMES, key))


def _event(entry: Entry, stamp: datetime, when: TimeOfDay | None) -> Event:
    start: date
    end: date
    if when is None or entry.minutes is None:
        # The end of a whole day is the day after, which is not in it (RFC 5545, 3.6.1).
        start, end = entry.day, entry.day + timedelta(days=1)
    else:
        start = datetime.combine(entry.day, when.at, when.zone)
        # Added in UTC: an hour that the clocks leave out or repeat does not change the length.
        length = timedelta(minutes=entry.minutes)
        end = (start.astimezone(UTC) + length).astimezone(when.zone)
    return Event.new(
        uid=_uid(entry.key),
        stamp=stamp,
        sequence=entry.version,
        start=start,
        end=end,
        summary=entry.title,
        description=entry.why,
        # Nobody is kept from other things by it.
        transparency=TRANSP.TRANSPARENT,
    )
