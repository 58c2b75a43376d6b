"""The time zone of this machine, with its changes of the clocks where the system tells them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

LOCAL_TIME = Path("/etc/localtime")
"""Where POSIX systems keep the zone they are in (TZif, RFC 9636)."""


def local_zone(environ: Mapping[str, str], file: Path = LOCAL_TIME) -> tzinfo:
    """The zone that the variable TZ names, else that of the system.

    Where neither can be read (Windows; not tried there) it is today's offset from UTC, which puts
    a day of the other season wrong only for what happened within an hour of midnight.
    """
    named = environ.get("TZ", "").removeprefix(":")
    try:
        if named:
            return ZoneInfo(named)
        with file.open("rb") as zone:
            return ZoneInfo.from_file(zone)
    except (OSError, ValueError, ZoneInfoNotFoundError):
        # TZ may also hold rules in place of a name, which no library here reads.
        return _offset_of_today()


def _offset_of_today() -> tzinfo:
    zone = datetime.now().astimezone().tzinfo
    if zone is None:
        raise ValueError("the system has no time zone")
    return zone
