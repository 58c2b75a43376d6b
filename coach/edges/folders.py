"""Where the program keeps its files: the user's folders as each system has them, or as told."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import platformdirs

APPLICATION = "hands-free-skill-coach"
"""The name of the program's own folder inside the user's data and settings folders."""

DATA_VARIABLE = "COACH_DATA"
"""Environment variable that names another data folder."""

SETTINGS_VARIABLE = "COACH_CONFIG"
"""Environment variable that names another settings file."""


MODELS = "models"
"""The folder of fetched speech models inside that of the data: nothing in it is recorded."""


def user_data_folder(environ: Mapping[str, str]) -> Path:
    """The folder of everything the program records; it need not exist yet."""
    told = environ.get(DATA_VARIABLE, "")
    if told:
        return Path(told).expanduser().absolute()
    return Path(platformdirs.user_data_dir(APPLICATION, appauthor=False))


def sessions_folder(environ: Mapping[str, str]) -> Path:
    """The folder of the session journals; it need not exist yet."""
    return user_data_folder(environ) / "sessions"


def kept_skills_folder(environ: Mapping[str, str]) -> Path:
    """The folder of the skills as they were practised; it need not exist yet."""
    return user_data_folder(environ) / "skills"


def settings_file(environ: Mapping[str, str]) -> Path:
    """The user's settings file; it need not exist."""
    told = environ.get(SETTINGS_VARIABLE, "")
    if told:
        return Path(told).expanduser().absolute()
    return Path(platformdirs.user_config_dir(APPLICATION, appauthor=False)) / "config.yaml"
