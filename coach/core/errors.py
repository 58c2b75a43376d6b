"""The two ways a run can fail, told apart by their exit code."""

from __future__ import annotations


class CoachError(Exception):
    """A failure the user can mend; the message says what is wrong and what to do."""

    exit_code = 1


class InputError(CoachError):
    """What the user gave is wrong (a file, an option, a number): exit code 1."""

    exit_code = 1


class MissingError(CoachError):
    """A device, voice or model is missing or broken: exit code 2."""

    exit_code = 2
