"""What the speaker should have done, and so has not: "I should have measured it". Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence

from coach.language.clause_words import PAST

_IRREGULAR = frozenset(
    "put set shut cut let done taken given drawn held been got gotten begun known worn said told"
    " sent spoken shown seen hit kept felt found made left hung run".split()
)
_REGRET = re.compile(
    r"\b(?:i|we) (?:really |just |probably |also |clearly )?"
    r"(?P<modal>should've|(?:should|ought to)(?: have| of)) "
    r"(?:really |just |also |at least |actually )?(?P<act>\w+)"
)

_OTHERWISE = frozenset(
    "more less better harder faster deeper longer slower tighter looser softer lower higher closer"
    " further quicker gentler shorter earlier sooner later first before after already twice again"
    " properly correctly carefully right well slowly gently firmly instead differently only with"
    " by".split()
)
"""Words with which it was done, but not so, or not then: "I should have pressed harder"."""


def regretted(texts: Sequence[str]) -> int | None:
    """The place in the clause from which on it tells what should have been done and was not.

    None where nothing is regretted, or only how or when it was done.
    """
    text = " ".join(texts)
    found = _REGRET.search(text)
    if found is None or not _OTHERWISE.isdisjoint(text[found.end() :].split()):
        return None
    act = found["act"]
    if not act.endswith("ed") and act not in _IRREGULAR | PAST:
        return None
    return len(text[: found.start("modal")].split())
