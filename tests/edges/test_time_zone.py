"""The time zone of this machine: its rules of summer and winter, not today's offset alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from coach.edges.time_zone import LOCAL_TIME, local_zone

# New York is five hours behind UTC in winter and four in summer (IANA tz data).
WINTER, SUMMER = (datetime(2026, month, 15, 12, tzinfo=UTC) for month in (1, 7))


@pytest.mark.parametrize("named", ["America/New_York", ":America/New_York"])
def test_a_named_zone_knows_summer_and_winter(named: str) -> None:
    zone = local_zone({"TZ": named})
    offsets = [when.astimezone(zone).utcoffset() for when in (WINTER, SUMMER)]
    assert offsets == [timedelta(hours=-5), timedelta(hours=-4)]


@pytest.mark.skipif(not LOCAL_TIME.exists(), reason="no /etc/localtime on this system")
def test_the_systems_zone_agrees_with_the_systems_clock() -> None:
    zone = local_zone({})
    for when in (WINTER, SUMMER):
        # The C library's own conversion, which reads the same file.
        assert when.astimezone(zone).utcoffset() == when.astimezone().utcoffset()


@pytest.mark.parametrize("named", ["EST5EDT,M3.2.0,M11.1.0", "Mars/Base", "../../etc/passwd", "/"])
def test_what_cannot_be_read_leaves_todays_offset(named: str) -> None:
    assert datetime.now(local_zone({"TZ": named})).utcoffset() is not None


def test_a_system_that_tells_none_leaves_todays_offset(tmp_path: Path) -> None:
    (tmp_path / "odd").write_bytes(b"no zone")
    for file in (tmp_path / "gone", tmp_path / "odd", tmp_path):
        assert datetime.now(local_zone({}, file)).utcoffset() is not None
