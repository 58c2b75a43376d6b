"""An attempt judged from a recording: heard as fast as it can be, by the recording's own time."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

from coach import __version__
from coach.app.beginning import first_event
from coach.app.judging import judged_by
from coach.app.reporting import attempt_in
from coach.dialogue.engine import new_state
from coach.dialogue.events import SessionStarted
from coach.dialogue.state import State
from coach.edges.clocks import ScriptClock
from coach.edges.engines import open_ears
from coach.edges.folders import sessions_folder
from coach.edges.journal_file import JournalFile
from coach.edges.recorded_ear import RecordedEar
from coach.edges.settings import Settings
from coach.edges.typed_ear import SilentVoice
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.session.loop import Observer, Ports, Session
from coach.session.ports import SAMPLE_RATE_HZ, EarEvent, Journal, Recogniser, Samples

LONGEST_S = 4 * 3600.0
"""A longer recording is no attempt: it is refused before it is heard."""

Progress = Callable[[float, float], None]
"""Told the seconds heard so far and the seconds there are."""


@dataclass(frozen=True, slots=True)
class Assessment:
    """What is to be assessed: the recording, the skill, its settings, and whose attempt it is."""

    recording: Path
    skill_file: SkillFile
    settings: Settings
    choices: Mapping[str, str]
    learner: str = ""


class _TimedEar:
    """Hears a recording, and moves the clock to where each thing in it ends."""

    def __init__(self, ear: RecordedEar, clock: ScriptClock, progress: Progress, all_s: float):
        self._ear = ear
        self._clock = clock
        self._progress = progress
        self._all_s = all_s

    def listen(self, hint: Hint) -> None:
        """Pass the hint on."""
        self._ear.listen(hint)

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing in the recording, at its time."""
        event = self._ear.next(timeout_s)
        self._clock.skip(max(0.0, self._ear.told_until_s - self._clock.now_s()))
        self._progress(self._ear.told_until_s, self._all_s)
        return event

    def close(self) -> None:
        """Close the ear."""
        self._ear.close()


def assess(asked: Assessment, observer: Observer, progress: Progress) -> Path:
    """Hear the recording through and journal it as an attempt; the journal's path.

    The same recording of the same learner and skill is the same attempt: its journal is not
    written twice. InputError for a recording that cannot be read.
    """
    samples = read_recording(asked.recording, LONGEST_S)
    attempt = _attempt_of(samples, asked)
    known = attempt_in(sessions_folder(os.environ), attempt)
    if known is not None:
        return known
    settings = asked.settings
    model = Path(settings.model) if settings.model else None
    recogniser = open_ears(settings.engine, model, settings.second_ear, waits=True)
    judged = replace(judged_by(asked.skill_file, os.environ), attempt=attempt)
    folder, skill = sessions_folder(os.environ), asked.skill_file
    ended = datetime.fromtimestamp(asked.recording.stat().st_mtime).astimezone()
    began = ended - timedelta(seconds=len(samples) / SAMPLE_RATE_HZ)
    with JournalFile.create(folder, skill.id, began, __version__, judged) as journal:
        first = first_event(skill, settings, asked.choices, (), Way.ASSESSED, asked.learner)
        state = heard_through(samples, skill, first, recogniser, journal, observer, progress)
        journal.finish(began + timedelta(seconds=state.at_s))
    return journal.path


def heard_through(
    samples: Samples,
    skill_file: SkillFile,
    first: SessionStarted,
    recogniser: Recogniser,
    journal: Journal,
    observer: Observer,
    progress: Progress = lambda _until_s, _all_s: None,
) -> State:
    """A session in which a recording is heard from its beginning to its end, by its own time."""
    clock, all_s = ScriptClock(), len(samples) / SAMPLE_RATE_HZ
    ear = _TimedEar(RecordedEar(samples, recogniser, VoiceActivity()), clock, progress, all_s)
    ports = Ports(clock, ear, SilentVoice(), journal, observer, clock.skip)
    return Session(new_state(skill_file), ports).run(first)


def _attempt_of(samples: Samples, asked: Assessment) -> str:
    """The id of the attempt that a recording holds."""
    told = f"{asked.skill_file.id} {sorted(asked.choices.items())} {asked.learner} "
    return hashlib.sha256(told.encode() + samples.tobytes()).hexdigest()[:32]
