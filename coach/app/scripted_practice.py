"""A scripted learner's practice, typed or in sound; nothing of it is kept."""

from __future__ import annotations

from collections.abc import Callable

from coach.app.beginning import drawn
from coach.app.request import Request
from coach.app.script import Played, ScriptObserver, Unwatched, wordless_event
from coach.dialogue.engine import new_state
from coach.dialogue.events import Event
from coach.edges.carelessness_table import read_carelessness
from coach.edges.clocks import ScriptClock
from coach.edges.settings import load_settings
from coach.edges.typed_ear import SilentVoice, typed
from coach.hearing.hypothesis import Hint
from coach.language.carelessness import Weigher
from coach.procedure.dialogue_file import Dialogue, Turn
from coach.procedure.skill_file import SkillFile
from coach.session.loop import Observer, Ports, Session
from coach.session.ports import EarClosed, EarEvent, Voice

Speak = Callable[[str, Hint, int], EarEvent]
"""Says words, for the first, second or third time, and hears them again."""

MOST_ATTEMPTS = 3
"""How often a learner in sound says what was not understood, before going on."""


class ForgetfulJournal:
    """For scripted learners: nothing of theirs belongs in the records."""

    def append(self, event: Event) -> None:
        """Not kept."""


class ScriptEar:
    """The learner's turns as a script; tells the observer when each begins.

    With `speak` the words are sound, and those not understood are said again, as people do.
    """

    def __init__(
        self,
        turns: tuple[Turn, ...],
        observer: ScriptObserver,
        speak: Speak | None = None,
        speaking: Callable[[], bool] = lambda: False,
    ) -> None:
        self._turns = list(turns)
        self._observer = observer
        self._speak = speak
        self._speaking = speaking
        self._hint = Hint()
        self._words = ""
        self._attempt = 0

    def listen(self, hint: Hint) -> None:
        """What is likely to come, for the recogniser."""
        self._hint = hint

    def next(self, timeout_s: float) -> EarEvent | None:
        """The next turn, once the coach has finished speaking."""
        if self._speaking():
            return None
        if self._speak and self._observer.exchanges[-1].misheard and self._attempt < MOST_ATTEMPTS:
            self._attempt += 1
            self._observer.saying_again()
            return self._speak(self._words, self._hint, self._attempt)
        if not self._turns:
            return EarClosed()
        turn = self._turns.pop(0)
        self._observer.next_turn(turn)
        self._words, self._attempt = turn.learner or "", 1
        wordless = wordless_event(turn)
        if wordless is not None:
            self._attempt = MOST_ATTEMPTS
            return wordless
        return self._speak(self._words, self._hint, 1) if self._speak else typed(self._words)

    def close(self) -> None:
        """Nothing to release."""


def request_of(skill_file: SkillFile, dialogue: Dialogue) -> Request:
    """What a dialogue practises: the skill with its settings and the complication of its seed,
    whatever the settings of the user are."""
    settings = load_settings(
        {
            "region": dialogue.region,
            "cylinder": dialogue.cylinder,
            "reserve": f"{dialogue.reserve_psi:g} psi",
            "pressure-unit": dialogue.pressure_unit,
            "training-cylinder": dialogue.training_cylinder,
        },
        {},
    )
    complications = drawn(skill_file, dialogue.seed, live=False)
    return Request(skill_file, settings, dialogue.settings, complications)


def practise_script(
    skill_file: SkillFile,
    dialogue: Dialogue,
    observer: Observer | None = None,
    voice: Voice | None = None,
    speak: Speak | None = None,
    careless: Weigher | None = None,
) -> Played:
    """A scripted learner's session; with `speak` and `voice` it is done in sound."""
    request = request_of(skill_file, dialogue)
    watching = ScriptObserver(observer or Unwatched())
    coach = voice or SilentVoice()
    ear = ScriptEar(dialogue.turns, watching, speak, coach.busy)
    clock = ScriptClock()
    ports = Ports(clock, ear, coach, ForgetfulJournal(), watching, clock.skip)
    session = Session(new_state(skill_file), ports, careless=careless or read_carelessness())
    return Played(dialogue, session.run(request.first), tuple(watching.exchanges))
