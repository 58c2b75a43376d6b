"""What somebody else did, or how a thing was found: nothing that the speaker has done now."""

from __future__ import annotations

import re
from collections.abc import Sequence

from coach.language.clause_words import DOINGS, FAMILY, PAST

CREW = frozenset(
    "crew crews medic medics paramedic paramedics firefighter firefighters partner partners"
    " colleague colleagues team shift nurse nurses student students man woman guy kid".split()
)
"""People to whom work is handed on as well: only what they had done before is not the speaker's."""

_PEOPLE = "|".join(sorted(FAMILY | CREW))
_OTHERS = (
    rf"(?:(?:the|his|her|my|their|an?|another|some|one) (?:\w+ )??(?:{_PEOPLE})"
    r"|somebody|someone|nobody|they)"
)

_ARRIVAL = re.compile(
    r"^(?:i|we) (?:first |just |finally )?(?:came|come|got (?:here|there|in|on|to)"
    r"|get (?:here|there)|arrived?|showed up|took (?:\w+ )?over|found|picked|reached|walked"
    r"|pulled up|saw (?:him|her|it|them))\b"
    rf"|^{_OTHERS} (?:\w+ )??(?!is\b|are\b)\w+"
    r"|^(?:he|she|they) (?:handed|gave|called|brought|found)\b"
)
"""The time at which somebody came, or somebody else did something."""

_DONE = frozenset("run done undone given cut drawn taken torn worn stuck shut begun".split())
"""Forms of verbs that follow "had"."""

_STATE = frozenset("was were wasn't weren't had been".split())
"""Words that tell how a thing was then."""

_HAD_DONE = re.compile(
    rf"^(?:and |but |so )?{_OTHERS} (?:had|has|have) (?:already |just |even )?(?P<act>\w+)\b"
)
_HAD = re.compile(r"\b(?:had|was|were|'d)\b")
_REPORTED = re.compile(
    r"\b(?:bystanders?|neighbors?|police|officers?|firefighters?|crew|dispatch(?:er)?|people"
    r"|teacher|coach|nurse) (?:\w+ )?(?:said|says|say|told (?:me|us)|thinks?|thought)\b"
)
_UNDONE = re.compile(
    r"^(?:it|that|this|he|she|they|it's|they're) (?:just |then |soon )?"
    r"(?:(?:is |was |are |were |came |went |got )?(?:loose|off|undone|apart|crooked|open again)"
    r"|(?:came|fell|slipped|popped|slid|broke) (?:loose|off|out|down|apart|open|away|back))\b"
)
"""How an act was undone: "I turned it but it came loose"."""

_NOBODY = frozenset({"nobody", "none", "neither"})


def not_ours(clauses: Sequence[tuple[Sequence[str], str]]) -> frozenset[int]:
    """Which of the clauses (words, head) tell what was before the speaker, or what others did.

    "It was on when I came", "she pressed it before we got here", "the first crew had bagged him".
    """
    found: set[int] = set()
    for number, (texts, head) in enumerate(clauses):
        said = " ".join(texts)
        late = _HAD.search(said) and " by the time " in f"{said} "
        if late or _is_had_done(said) or _REPORTED.search(said):
            found.add(number)
        if head not in {"when", "before", "until"} or not _ARRIVAL.search(said):
            continue
        was_so = head == "until" or _came(said)
        if head == "when":
            was_so = bool(number and _STATE & set(clauses[number - 1][0]))
        if number and was_so:
            found.add(number - 1)
        following = clauses[number + 1] if number + 1 < len(clauses) else None
        if head == "when" and following and not following[1] and _STATE & set(following[0]):
            found.add(number + 1)
    return frozenset(found)


def in_vain(clauses: Sequence[tuple[Sequence[str], str]]) -> frozenset[int]:
    """Which of the clauses tell what came to nothing: "I asked for help but nobody came"."""
    return frozenset(
        number - 1
        for number, (texts, head) in enumerate(clauses)
        if number and head == "but" and (texts[0] in _NOBODY or _UNDONE.search(" ".join(texts)))
    )


def _is_had_done(said: str) -> bool:
    told = _HAD_DONE.search(said)
    if told is None or "my partner" in told[0]:
        return False  # a partner's work is the speaker's
    act = told["act"]
    perfect = " had " in said or act in {"done", "been"}
    return perfect and (act.endswith("ed") or act in DOINGS | PAST | _DONE)


def _came(said: str) -> bool:
    """Whether it is the speaker's coming or his call: what was before that he did not do."""
    return said.split()[0] in {"i", "we"} or " called " in f"{said} "
