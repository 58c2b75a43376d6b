"""A learner's script held against what came of it, and its turns as an ear."""

from __future__ import annotations

from dataclasses import replace

import pytest
from bench_session import Run
from bench_skill import bench_skill
from fakes import FakeObserver

from coach.app.script import Exchange, ScriptObserver, shortfalls
from coach.app.scripted_practice import MOST_ATTEMPTS, ScriptEar, practise_script
from coach.core.errors import InputError
from coach.core.meaning import Kind, Meaning
from coach.dialogue.state import Mode
from coach.hearing.hypothesis import Hint, Hypothesis
from coach.procedure.dialogue_file import Dialogue, Ends, Turn
from coach.session.ports import EarClosed, EarEvent, KeyHit, SilencePassed, TextHeard


def played(*turns: Turn, ends: Ends | None = None, **how: object) -> list[str]:
    """In what the session of these turns differed from what they say."""
    dialogue = Dialogue("made here", 1, turns, ends=ends or Ends())
    dialogue = replace(dialogue, **how)  # type: ignore[arg-type]  # any field
    return list(map(str, shortfalls(practise_script(bench_skill(), dialogue))))


def test_a_script_that_comes_true_has_no_shortfalls() -> None:
    assert not played(
        Turn(2, "I'm ready", coach=("put on your GLOVES",), step="gloves"),
        Turn(3, "my gloves are on", means={"kind": "step", "steps": ["gloves"]}, never=("sorry",)),
        Turn(4, key="repeat", coach=("Look at the washer",), step="washer"),
        Turn(5, silence_s=60.0, coach=("still listening",)),
        ends=Ends(
            done=("gloves",),
            missed=("washer", "mount", "gauge", "flow", "fit", "suction"),
            out_of_order=(),
        ),
    )


def test_each_difference_is_told_with_the_line_of_the_script() -> None:
    found = played(
        Turn(2, "I'm ready", coach=("take off your gloves",), step="washer"),
        Turn(3, "my gloves are on", means={"kind": "command", "value": 3}, never=("got it",)),
        Turn(4, silence_s=1.0, means={"kind": "step"}),
        ends=Ends(7, done=(), missed=("washer",), out_of_order=("gloves",), oxygen_minutes=3),
    )
    assert [line.split(",")[0].split(" should")[0] for line in found] == [
        "line 2: the coach",
        "line 2: the coach",
        "line 3: the coach must not say 'got it'",
        "line 3: kind",
        "line 3: value",
        "line 4: kind",
        "line 7: done of the end has [gloves] besides",
        "line 7: missed of the end has [mount",
        "line 7: out_of_order of the end lacks [gloves]",
        "line 7: oxygen_minutes",
    ]
    assert "line 2: the coach should wait for washer, but waits for gloves" in found
    assert "line 3: value should be 3, but is nothing" in found
    assert "line 7: oxygen_minutes should be 3, but are nothing" in found


def test_the_first_difference_of_a_turn_tells_how_its_words_were_understood() -> None:
    first, second = played(Turn(2, "my gloves are on", coach=("a brass band",), step="gloves"))
    told = '; "my gloves are on" was understood as: step; step gloves'
    assert first.startswith("line 2: the coach should say 'a brass band', but said '")
    assert told in first
    assert second == "line 2: the coach should wait for gloves, but waits for washer"


def test_a_turn_that_is_never_reached_is_told() -> None:
    words = ("I'm ready", "stop", "stop", "my gloves are on", "I'm done")
    found = played(*(Turn(number, text) for number, text in enumerate(words, 2)))
    assert found == ["line 5: the session is over before this turn"]


def test_a_script_has_its_own_cylinder_and_reserve() -> None:
    words = ("gloves on, washer fine, regulator on", "1700 psi", "yes", "10 l/min", "yes")
    turns = [Turn(number, text) for number, text in enumerate(words)]
    assert not played(*turns, ends=Ends(oxygen_minutes=24))
    assert not played(*turns, cylinder="E", reserve_psi=500.0, ends=Ends(oxygen_minutes=33))
    with pytest.raises(InputError, match="cylinder"):
        played(*turns, cylinder="Q")


def heard(ear: ScriptEar, count: int) -> list[EarEvent | None]:
    return [ear.next(0.0) for _ in range(count)]


def test_the_turns_come_in_order_and_then_the_end() -> None:
    watching = ScriptObserver(FakeObserver())
    ear = ScriptEar((Turn(1, "hello"), Turn(2, silence_s=3.0), Turn(3, key="yes")), watching)
    ear.listen(Hint())
    assert heard(ear, 4) == [
        TextHeard(Hypothesis("hello", 1.0), typed=True),
        SilencePassed(3.0),
        KeyHit("yes"),
        EarClosed(),
    ]
    ear.close()
    assert [exchange.turn and exchange.turn.line for exchange in watching.exchanges] == [
        None,
        1,
        2,
        3,
    ]


def test_the_learner_waits_while_the_coach_speaks() -> None:
    speaking = [True, True, False]
    ear = ScriptEar((Turn(1, "hello"),), ScriptObserver(FakeObserver()), None, speaking.pop)
    speaking.reverse()
    assert heard(ear, 3)[:2] == [None, None]


def test_what_was_not_understood_is_said_again_a_few_times() -> None:
    spoken: list[tuple[str, int]] = []

    def speak(text: str, hint: Hint, attempt: int) -> EarEvent:
        spoken.append((text, attempt))
        return TextHeard(Hypothesis("mumbling", 0.5))

    watching = ScriptObserver(FakeObserver())
    ear = ScriptEar((Turn(1, "gloves on"), Turn(2, key="yes")), watching, speak)
    for _ in range(MOST_ATTEMPTS):
        assert isinstance(ear.next(0.0), TextHeard)
        watching.heard(Meaning("mumbling", Kind.NONE))
        watching.noted("not-understood", {"text": "mumbling"})
    assert [attempt for _, attempt in spoken] == [1, 2, 3]
    assert [m.text for m in watching.exchanges[-1].meanings] == ["mumbling"], "only the last counts"
    assert ear.next(0.0) == KeyHit("yes")
    watching.noted("not-understood", {"text": ""})
    assert ear.next(0.0) == EarClosed(), "a key is not pressed again"


def test_everything_is_passed_on_to_the_other_observer() -> None:
    seen = FakeObserver()
    watching = ScriptObserver(seen)
    watching.said("A line.")
    watching.listening("gloves", None)
    watching.heard(Meaning("words"))
    watching.noted("begun", {})
    assert [name for name, _ in seen.log] == ["said", "listening", "heard", "begun"]
    assert watching.exchanges == [
        Exchange(None, ["A line."], [Meaning("words")], [("begun", {})], "gloves", misheard=False)
    ]
    watching.next_turn(Turn(1, "x"))
    assert watching.exchanges[-1].step == "gloves", "it still waits for that step"


def test_a_run_of_the_bench_ends_by_itself() -> None:
    assert Run("my gloves are on").state.mode is Mode.ENDED
