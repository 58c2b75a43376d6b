"""What would come before everything else: he gags, she vomits, he goes limp, there is no pulse any
more. Told where no step waits for it, it is never taken for an act."""

from __future__ import annotations

import re

_WHO = (
    r"(?:he|she|they|it|he's|she's|they're|the (?:patient|baby|child|man|woman)|patient"
    r"|the patient's|baby)"
)
_BECOMES = (
    r"(?: (?:is|has|just|now|starts to|started to|begins to|starts|started|suddenly|again|goes|went"
    r"|gets|got|turns|turned|becomes|became|looks))*"
)
_DANGER = re.compile(
    rf"^(?:(?:oh|oh no|wait|now|and|um|uh|okay|but) )*{_WHO}{_BECOMES} (?:"
    r"gag(?:s|ging|ged)?|chok(?:es|ing)|vomit(?:s|ing|ed)?|throw(?:s|ing)? up|threw up"
    r"|cough(?:s|ing)?"
    r"|bit(?:es|ing)(?: down)?|limp|unconscious|unresponsive|collaps(?:es|ed|ing)"
    r"|faint(?:s|ed|ing)?"
    r"|pass(?:es|ed|ing) out|seiz(?:es|ing)|blue|convuls(?:es|ing)"
    r"|stop(?:s|ped) (?:breathing|answering|talking)|not breathing(?: any ?more)?"
    r"|pulseless|no longer breathing|drops? (?:to the floor|down)"
    r")\b"
    r"|\b(?:gag(?: reflex)? (?:is|has come|comes|came) back|no pulse any ?more"
    r"|lost (?:the|his|her) pulse|(?:pulse|breathing) (?:is gone|has gone|stopped|has stopped))\b"
)


def tells_danger(text: str) -> bool:
    """Whether plain words tell plainly of the patient what would have to be acted on at once."""
    return _DANGER.search(text) is not None
