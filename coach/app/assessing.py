"""An attempt judged from a recording: heard as fast as it can be, by the recording's own time."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

from coach import __version__
from coach.app.beginning import first_event
from coach.app.judging import judged_by
from coach.app.reporting import attempt_in
from coach.core.errors import InputError
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.dialogue.engine import new_state
from coach.dialogue.events import Event, Heard, SessionStarted
from coach.dialogue.state import State
from coach.edges.carelessness_table import read_carelessness
from coach.edges.clocks import ScriptClock
from coach.edges.engines import open_ears
from coach.edges.folders import sessions_folder
from coach.edges.journal_file import JournalFile, has_ended, read_journal
from coach.edges.recorded_ear import RecordedEar
from coach.edges.settings import Settings
from coach.edges.typed_ear import SilentVoice
from coach.edges.voice_activity import VoiceActivity
from coach.edges.wave_file import blocks_of_recording
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Way
from coach.session.loop import Observer, Ports, Session
from coach.session.passing_ear import PassingEar
from coach.session.ports import EarEvent, Journal, Recogniser

LONGEST_S = 4 * 3600.0
"""A longer recording is no attempt: it is refused before it is heard."""

REST_S = 10.0
"""A recording that goes on for less after the attempt is over, has but its end."""

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


@dataclass(frozen=True, slots=True)
class Assessed:
    """The attempt's journal, when it was over, and what was left of the recording then, which
    nobody has heard: 0 for less than REST_S."""

    journal: Path
    over_s: float
    rest_s: float


class _TimedEar(PassingEar):
    """Hears a recording, and moves the clock to where each thing in it ends."""

    def __init__(self, ear: RecordedEar, clock: ScriptClock) -> None:
        super().__init__(ear)
        self._recorded = ear
        self._clock = clock

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next thing in the recording, at its time."""
        event = super().next(timeout_s)
        self._clock.skip(max(0.0, self._recorded.told_until_s - self._clock.now_s()))
        return event


def assess(asked: Assessment, observer: Observer, progress: Progress) -> Assessed:
    """Hear the recording through and journal it as an attempt.

    The same recording of the same learner and skill is the same attempt: its journal is not
    written twice. InputError for a recording that cannot be read or holds no speech.
    """
    attempt, length = _attempt_of(asked)
    folder, skill = sessions_folder(os.environ), asked.skill_file
    known = attempt_in(folder, attempt)
    if known is not None and has_ended(known):
        return _assessed(known, length)
    settings = asked.settings
    model = Path(settings.model) if settings.model else None
    recogniser = open_ears(settings.engine, model, settings.second_ear, waits=True)
    first = first_event(skill, settings, asked.choices, (), Way.ASSESSED, asked.learner)
    sound = _told(blocks_of_recording(asked.recording, LONGEST_S), length, progress)
    # A list takes events as a journal does.
    events: list[Event] = []
    state = heard_through(sound, skill, first, recogniser, events, observer)
    if not any(isinstance(event, Heard) and event.meaning.text for event in events):
        # A wrong file, or a microphone that was off: nobody failed for that.
        raise InputError(
            f"{asked.recording} holds no speech: in {length / SAMPLE_RATE_HZ:.0f} s no word was "
            "heard. Name the right file, or record it again closer to the microphone. Nothing is "
            "kept of it."
        )
    judged = replace(judged_by(skill, os.environ), attempt=attempt)
    ended = datetime.fromtimestamp(asked.recording.stat().st_mtime).astimezone()
    began = ended - timedelta(seconds=length / SAMPLE_RATE_HZ)
    # All at once: an attempt that is heard for minutes and broken off is not half on record.
    with JournalFile.create(folder, skill.id, began, __version__, judged) as journal:
        for event in events:
            journal.append(event)
        journal.finish(began + timedelta(seconds=state.at_s))
    if known is not None:
        known.unlink()
    return _assessed(journal.path, length)


def _assessed(journal: Path, length: int) -> Assessed:
    over_s = max((event.at_s for event in read_journal(journal).events), default=0.0)
    rest_s = length / SAMPLE_RATE_HZ - over_s
    return Assessed(journal, over_s, rest_s if rest_s >= REST_S else 0.0)


def heard_through(
    sound: Samples | Iterable[Samples],
    skill_file: SkillFile,
    first: SessionStarted,
    recogniser: Recogniser,
    journal: Journal,
    observer: Observer,
) -> State:
    """A session in which a recording is heard from its beginning to its end, by its own time.

    `sound` is the recording at 16 kHz, or its blocks in order.
    """
    clock = ScriptClock()
    ear = _TimedEar(RecordedEar(sound, recogniser, VoiceActivity()), clock)
    ports = Ports(clock, ear, SilentVoice(), journal, observer, clock.skip)
    return Session(new_state(skill_file), ports, careless=read_carelessness()).run(first)


def _told(blocks: Iterable[Samples], length: int, progress: Progress) -> Iterator[Samples]:
    """The blocks of a recording of `length` samples; how far it is heard is told after each."""
    heard = 0
    for block in blocks:
        yield block
        heard += len(block)
        progress(heard / SAMPLE_RATE_HZ, length / SAMPLE_RATE_HZ)


def _attempt_of(asked: Assessment) -> tuple[str, int]:
    """The id of the attempt that a recording holds, and its length in samples at 16 kHz.

    The whole recording is read, so that what is wrong with it is told before anything is kept.
    """
    told = f"{asked.skill_file.id} {sorted(asked.choices.items())} {asked.learner} "
    digest, length = hashlib.sha256(told.encode()), 0
    for block in blocks_of_recording(asked.recording, LONGEST_S):
        digest.update(block.tobytes())
        length += len(block)
    return digest.hexdigest()[:32], length
