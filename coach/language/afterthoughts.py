"""What is added to a statement so that it does not stand: making do, a tag, an act undone."""

from __future__ import annotations

import re
from collections.abc import Sequence

from coach.language.clause_words import OMISSIONS, SUBJECTS, TELLING, VERB_NEGATORS
from coach.language.degrees import without_degrees

_MAKING_DO = re.compile(
    r"\b(?:(?:left|leave|leaving) it (?:at that|like that|there|be|anyway)"
    r"|(?:that'll|that will|it'll|it will|will|should|that should|that's got to|that has to) "
    r"(?:do|hold|be (?:fine|okay|ok|enough|good))"
    r"|(?:good|close|near|clean|far|dry|safe|tight|warm) enough|enough for (?:me|now|him|her)"
    r"|that's (?:plenty(?! (?:of|for (?!me|now|him|her)))|enough for \w+|close|that|it)"
    r"|no big deal|who cares|big deal"
    r"|(?:i'm|we're|i am) good|(?:call|called|calling) it (?:a day|\w+ed|good|done|quits)"
    r"|so what|(?<!over )(?<!under )(?<!around )whatever|somehow"
    r"|better safe than sorry|better than nothing"
    r"|moved on|moving on|can wait|that counts|doesn't count|doesn't matter|what can go wrong"
    r"|i (?:don't care|didn't bother|ignored|guess)|for the time being"
    r"|i (?:can't|cannot|couldn't) remember|i trust (?:it|him|her|them)"
    r"|give or take|so to speak|if you ask me|in theory|in principle|theoretically|strong word"
    r"|or thereabouts|or something|or so|of some sort|some (?:sort|kind) of"
    r"|looked (?:fine|good|okay|ok|alright|normal|clean)|seem(?:s|ed)? (?:\w+)"
    r"|(?:at|to) some (?:point|\w+)|who knows|who can tell|hard to (?:say|tell)|dunno"
    r"|(?:i|i'm|we) (?:\w+ )?(?:don't|do not|not) (?:really )?(?:know|sure)"
    r"|no (?:idea|clue)|not a clue|at least (?:it|he|she|they) (?:was|were|did|had)"
    r"|in general|on and off|off and on|now and then|sometimes|most of the time|here and there"
    r"|from time to time|as far as i (?:can|could) tell|as best (?:i|as)"
    r"|(?:close|near) to (?:zero|closed|empty|full)|down to (?:about|around)|near zero"
    r"|quick (?:look|glance)|glanced|a glance|roughly|about right|not really"
    r"|or not|as usual|like always|as always|used to|last time i|the usual"
    r"|keeps? (?:on )?(?:running|unwinding|slipping|falling|coming|sliding|leaking|popping|moving"
    r"|pulling|getting|bleeding|rolling|blocking|opening)"
    r"|whenever|when(?:ever)? i feel like|if i feel like"
    r"|sure sure|yeah right|i wish|i hope|in my (?:mind|head|dreams))\b"
)
"""Said where something does not hold as it should, or was not looked at closely."""

_UNDONE = re.compile(
    r"\b(?:fell|slipped|slid|popped|peeled|wandered|drifted|flopped|sank|swung|bounced)"
    r" (?:off|out|down|apart|away|back|loose|open|up|again|forward|over)\b(?! (?:the|into|over|in))"
    r"|\b(?:tore|broke|snapped|leaked|slipped|collapsed|jerked|jolted|bumped|banged|spilled"
    r"|ran off|ran away|gave up|gave way"
    r"|(?:had|has|he|she|they|partner) let go"
    r"|(?:got|is|it's|are) stuck(?! (?:on|to|down))|sp[ai]t it out|took it off again"
    r"|(?:wouldn't|won't|doesn't|didn't) (?:stick|hold))\b"
)
"""What became of an act after it was done."""

_ASKING = frozenset("whose what who how where when which why".split())
"""Words with which "it was" goes on: "I know whose needle it was"."""

_WHEN_IT_HAPPENS = frozenset("we we're he he's she she's it they".split())
"""Words with which "whenever" goes on and tells how often: "whenever we lift him"."""

_SPOKEN_TO = frozenset("you your you're you'll sir ma'am dear".split())
_THINKING = frozenset("think guess believe suppose hope assume reckon".split())
_SHORT = 5
"""Words of a doubt that tells nothing of its own: "I think, under the sock"."""

_TAG = frozenset("is isn't are aren't was wasn't were did didn't does doesn't do don't has".split())
_BUT = frozenset("but though although except".split())


def doubted(told: Sequence[tuple[Sequence[str], str]]) -> frozenset[int]:
    """Which of the clauses (words, head) are doubted by themselves or by what follows them."""
    found: set[int] = set()
    for number, (texts, head) in enumerate(told):
        following = told[number + 1][0][:1] if number + 1 < len(told) else ()
        text = " ".join(without_degrees(texts))
        if following and following[0] in _WHEN_IT_HAPPENS:
            text = text.removesuffix(" whenever")
        makes_do = _MAKING_DO.search(text) is not None and not _praises(texts, told[:number])
        if makes_do:
            found.add(number)
        before = told[number - 1][0] if number else ()
        makes_do = makes_do or (bool(number) and _only_thought(texts))
        tag = _is_tag(texts) and not _ASKING & set(before)
        if number and (makes_do or tag or _UNDONE.search(text) or _takes_from(texts, head, before)):
            found.add(number - 1)
    return frozenset(found)


def _praises(texts: Sequence[str], before: Sequence[tuple[Sequence[str], str]]) -> bool:
    """Whether a "that's it" is for the patient who is spoken to, and makes do with nothing."""
    spoken_to = any(not _SPOKEN_TO.isdisjoint(words) for words, _ in before)
    return list(texts) == ["that's", "it"] and spoken_to


def _only_thought(texts: Sequence[str]) -> bool:
    """Whether it is only thought what stands before it: "I think", with a word or two more."""
    thought = list(texts[:1]) == ["i"] and not _THINKING.isdisjoint(texts[1:2])
    return thought and len(texts) <= _SHORT


def _takes_from(texts: Sequence[str], head: str, before: Sequence[str]) -> bool:
    """Whether it takes something from what stands before: "except one", "so far", "if it fits"."""
    if head in {"if", "unless"}:
        return not (TELLING | {"tell", "ask", "see", "say"}) & set(before)
    return head == "except" or (head == "so" and list(texts) == ["far"])


def _is_tag(texts: Sequence[str]) -> bool:
    """Whether it is only asked whether that is so: "is she", "or was it"."""
    words = [text for text in texts if text not in {"or", "and", "um", "uh"}]
    if len(words) != 2:
        return False
    was = words[0] in SUBJECTS and words[1] in {"was", "were", "had"}
    return was or (words[0] in _TAG and words[1] in SUBJECTS)


_GOOD = (
    "on|in|there|done|closed|locked|tight|full|tested|dry|clean|ready|connected|plugged|secured"
    "|straight|checked|fastened|measured|sealed|filled|running|finished|complete"
)
_NOT = "isn't|aren't|wasn't|weren't|not"
_LACKS = re.compile(
    rf" (?:{_NOT}|didn't|doesn't|don't|hasn't|haven't|couldn't|can't|won't)(?: yet)? $"
    rf"| (?:{_NOT}) (?:(?:quite|really|fully|all the way|completely|even|yet) )?(?:{_GOOD})\b"
    r"| (?:still|left(?: it| them| him| her)?)"
    r"(?: (?:on|in|open|running|there|loose|wet|moving|bleeding|full))"
    r"(?: (?:him|her|it|though|too))? $"
    r"| (?:i|we) (?:never|didn't|haven't|did not|couldn't|could not|can't|don't|skip|left out)"
    r" (?:(?:really|even|quite|actually|yet) )?"
    r"(?:look|looked|check|checked|ask|asked|listen|listened|hear|heard|test|tested|feel|felt|find"
    r"|found|get|got|do|done|finish|know|fill|count|measure|try|tried|bother|manage|read|the)\b"
    rf"|(?<!n't)(?<! not)(?<! never) (?:{'|'.join(sorted(OMISSIONS))}) "
)
"""What was left undone beside what is told: "the hips are not", "the trousers are still on"."""


def lacks(texts: Sequence[str], head: str) -> bool:
    """Whether a clause that tells of no step tells what is lacking to the one beside it."""
    if head in _BUT and texts[0] in VERB_NEGATORS | OMISSIONS | {"not"}:
        return True  # "but not with the beat"
    return _LACKS.search(f" {' '.join(texts)} ") is not None
