"""The chance that a plan aims at: apart from the model, so that settings load without it."""

from __future__ import annotations

AIM = 0.8
"""The chance of doing a skill right that a plan aims at unless it is told another. Monthly practice
kept 58 % (Anderson 2019), so this is more than practice by the calendar gives; for 90 % simulated
learners practised each skill about twice as often (our own choice between the two)."""

AIMS = (0.6, 0.95)
"""Lowest and highest aim (our own choice, no source): below, a skill is as good as left alone;
above, it would be due nearly every day."""
