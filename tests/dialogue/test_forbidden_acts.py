"""Acts that must not happen: warned of with the reason, kept for the report, and taken back."""

from __future__ import annotations

from bench_session import Run
from bench_skill import TEXT, bench_skill

from coach.core.meaning import Kind, Meaning, StepMention
from coach.dialogue.effects import Say
from coach.dialogue.engine import advance, new_state
from coach.dialogue.events import Heard, SessionStarted
from coach.procedure.skill_file import SkillFile

NEVER = """
never:
  - id: force
    name: forcing the regulator
    say: Do not force the regulator.
    because: a bent thread leaks.
    heard-as: {phrases: [i forced it on], keys: [force/forcing/forced regulator/it]}
    until: mount
    sources: [common]
  - id: oil
    name: oil on the washer
    say: No oil near oxygen
    because: oil burns in it
    heard-as: {keys: [oil/oiled/oiling washer/it]}
  - id: reach
    name: reaching into the mouth
    say: Keep your fingers out.
    because: the patient may bite
    heard-as: {keys: [finger/fingers in mouth]}
    from: fit
"""


def skill() -> SkillFile:
    return bench_skill(TEXT + NEVER)


def run(*words: str | float) -> Run:
    return Run(*words, skill_file=skill())


def test_the_coach_warns_at_once_with_the_reason_and_leads_on() -> None:
    played = run("I'm ready", "I'm forcing the regulator on")
    line = "Do not force the regulator, because a bent thread leaks. Put on your gloves."
    assert played.reply_to(1).startswith(line)
    assert "mount" not in played.done, "the act is no step"


def test_it_cuts_off_what_is_being_said() -> None:
    state, _ = advance(new_state(skill()), SessionStarted(0.0, "bench"))
    said = Meaning("i oiled it", Kind.STEP, steps=(StepMention("oil"),))
    _, effects = advance(state, Heard(1.0, said))
    assert [effect.urgent for effect in effects if isinstance(effect, Say)] == [True]


def test_the_plan_of_it_is_warned_of_too() -> None:
    assert "No oil near oxygen, because oil burns in it." in run(
        "I'm ready", "I'm going to oil the washer"
    ).reply_to(1)


def test_who_says_that_he_does_not_do_it_hears_nothing_of_it() -> None:
    for words in ("I am not forcing the regulator", "no oil on the washer", "I never oil it"):
        played = run("I'm ready", words)
        assert "because" not in played.reply_to(1), words
        assert played.summary.forbidden == ()


def test_it_counts_only_while_it_must_not_happen() -> None:
    before = run("I'm ready", "my fingers are in the mouth")
    assert before.summary.forbidden == ()
    after = run("I'm ready", "face mask is on", "my fingers are in the mouth")
    assert "Keep your fingers out" in after.reply_to(2)
    mounted = run("gloves on", "the washer is whole", "the regulator is on", "I forced it on")
    assert "bent thread" not in mounted.reply_to(3)


def test_a_step_in_the_same_breath_is_credited_and_the_warning_still_said() -> None:
    played = run("I'm ready", "my gloves are on and I oiled the washer")
    assert played.done == ("gloves",)
    assert "oil burns in it" in played.reply_to(1)


def test_a_number_in_the_same_breath_is_read_back_after_the_warning() -> None:
    played = run(
        "gloves on",
        "the washer is whole",
        "the regulator is on",
        "I oiled it and the gauge reads fifteen hundred psi",
    )
    assert "oil burns in it. One five zero zero" in played.reply_to(3)


def test_the_report_lists_it_with_the_reason_and_the_time() -> None:
    played = run("I'm ready", 65.0, "I oiled the washer")
    [breach] = played.summary.forbidden
    assert breach.act == "oil"
    assert breach.as_text() == "oil on the washer, at 1:05, because oil burns in it"
    assert "Must not happen: oil on the washer" in played.summary.as_text()
    assert played.summary.as_json()["forbidden"] == [
        {"act": "oil", "because": "oil burns in it", "at_s": 65.0}
    ]
    assert "must not happen: oil on the washer" in played.voice.lines[-1]


def test_what_the_ear_got_wrong_can_be_taken_back() -> None:
    played = run("I'm ready", "I oiled the washer", "that's not what I said")
    assert played.summary.forbidden == ()
    assert "Taken back: oil on the washer." in played.reply_to(2)
    kept = run("I'm ready", "I oiled the washer", "gloves on", "I didn't do that")
    assert [breach.act for breach in kept.summary.forbidden] == ["oil"]
    assert kept.done == ()


def test_starting_over_begins_without_it() -> None:
    assert run("I'm ready", "I oiled the washer", "start over").summary.forbidden == ()
