"""Which kinds of dialogues a skill lacks, told one by one."""

from __future__ import annotations

from bench_skill import TEXT, bench_skill

from coach.app.kinds_of_dialogues import kinds_missing, kinds_of
from coach.app.scripted_practice import practise_script
from coach.procedure.dialogue_file import Dialogue, Turn

BEFORE = ("gloves on, washer fine, regulator on",)
STRAIGHT = (
    *BEFORE,
    *("1700 psi", "yes", "10 liters a minute", "yes", "the face mask is on"),
    *("suctioning", "out"),
)


def missing(*dialogues: Dialogue, text: str = TEXT) -> list[str]:
    """What dialogues lack to prove a skill."""
    skill_file = bench_skill(text)
    found = kinds_of(practise_script(skill_file, dialogue) for dialogue in dialogues)
    return list(kinds_missing(skill_file, found))


def saying(*texts: str, **how: object) -> Dialogue:
    """A dialogue in which a learner says so."""
    turns = tuple(Turn(number, text) for number, text in enumerate(texts, 1))
    return Dialogue("made here", 1, turns, **how)  # type: ignore[arg-type]  # any field


def test_nothing_proves_nothing() -> None:
    assert missing() == [
        "add a dialogue that does every step in the suggested order, to the end.",
        "add dialogues in other lawful orders, a step told before its place: there are 0 of 3.",
        "add a dialogue that tells step 'flow' before what safety puts first.",
        "add a dialogue that tells step 'gauge' before what safety puts first.",
        "add a dialogue that tells step 'mount' before what safety puts first.",
        "add a dialogue in which 'refused' comes, by a finding or a seed.",
        "add a dialogue with settings: {device: mask}.",
        "add a dialogue with settings: {device: cannula}.",
        "add a dialogue with a flow outside its range at step 'flow'.",
        "add a dialogue with a pressure outside its range at step 'gauge'.",
    ]


def test_each_kind_is_no_longer_asked_for_once_it_is_there() -> None:
    assert not missing(
        saying(*STRAIGHT),
        saying("the washer is whole", "my gloves are on"),
        saying("the washer is whole", "the mask is on"),
        saying("suctioning", "out", "gloves on"),
        saying("the regulator is on"),
        saying("I read the gauge", "the flow is set"),
        saying(*BEFORE, "2900 psi", "no", "1700 psi", "yes", "14 liters a minute", "no"),
        saying(*BEFORE, "1700 psi", "yes", "22 liters a minute"),
        saying(*STRAIGHT[:6], seed=1),
        saying("I'm ready", settings={"device": "cannula"}),
    )


def test_no_more_orders_are_asked_for_than_there_are() -> None:
    chain = TEXT[: TEXT.index("settings:")] + TEXT[TEXT.index("steps:") : TEXT.index("  - id: gau")]
    chained = chain.replace(
        "    aloud: That", "    after: [{step: gloves, because: of dirt}]\n    aloud: That"
    )
    straight = saying(*BEFORE)
    early = saying("the regulator is on")
    assert missing(straight, early, text=chained) == []
    assert missing(straight, early, text=chain) == [
        "add dialogues in other lawful orders, a step told before its place: there are 0 of 1."
    ]


def test_an_act_that_must_not_happen_has_to_be_done_once() -> None:
    never = (
        "never:\n  - id: drop\n    name: dropping it\n    say: Do not drop it.\n"
        "    because: it breaks\n    heard-as: {phrases: [i drop the cylinder]}\n"
    )
    asked = "add a dialogue in which 'drop' is done, which must not happen."
    assert asked in missing(saying("gloves on"), text=TEXT + never)
    assert asked not in missing(saying("gloves on", "I drop the cylinder"), text=TEXT + never)
