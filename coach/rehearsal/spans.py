"""Stretches of time and chances as people say them."""

from __future__ import annotations

from datetime import date

from coach.trade.wording import MONTHS, cardinal

_DAYS_A_WEEK = 7
_DAYS_A_MONTH = 30.44
_FEW_DAYS, _FEW_WEEKS = 14, 70


def span_words(days: int) -> str:
    """A stretch of whole days: "three days", "six weeks", "five months"."""
    if days < _FEW_DAYS:
        return _counted(days, "day")
    if days < _FEW_WEEKS:
        return _counted(round(days / _DAYS_A_WEEK), "week")
    return _counted(round(days / _DAYS_A_MONTH), "month")


def about_percent(chance: float) -> str:
    """A chance as a person would say it: "about 70 %"; the ends say that nothing is certain."""
    percent = round(100 * chance / 5) * 5
    if percent >= 100:
        return "over 95 %"
    return f"about {percent} %" if percent >= 5 else "under 5 %"


def day_words(day: date) -> str:
    """A day as a person reads it: "3 December 2026"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def hours_words(seconds: float) -> str:
    """Time practised: "45 minutes", "3.5 hours"."""
    minutes = round(seconds / 60)
    if minutes < 60:
        return f"{minutes} minute{'' if minutes == 1 else 's'}"
    return f"{seconds / 3600:.1f} hours"


def _counted(number: int, noun: str) -> str:
    return f"{cardinal(number)} {noun}{'' if number == 1 else 's'}"
