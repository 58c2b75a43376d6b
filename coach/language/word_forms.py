"""Words brought to one form: stems, irregular verbs, and the everyday names of the same thing."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import Stemmer
from rapidfuzz import fuzz

SAME_WORD = {
    # irregular verbs of the bench
    "wore": "wear",
    "worn": "wear",
    "chose": "choose",
    "chosen": "choose",
    "shut": "close",
    "shuts": "close",
    "shutting": "close",
    "held": "hold",
    "felt": "feel",
    "heard": "hear",
    "saw": "see",
    "seen": "see",
    "visualize": "see",
    "visualise": "see",
    "visualizing": "see",
    "found": "find",
    "took": "take",
    "taken": "take",
    "went": "go",
    "rose": "rise",
    "risen": "rise",
    "stood": "stand",
    "slid": "slide",
    "bled": "bleed",
    "blew": "blow",
    "blown": "blow",
    "got": "get",
    "gotten": "get",
    "gave": "give",
    "given": "give",
    "spun": "turn",
    "fed": "feed",
    "bent": "bend",
    "withdrew": "withdraw",
    "withdrawn": "withdraw",
    "drew": "draw",
    "drawn": "draw",
    "kept": "keep",
    # verbs that name the same act
    "attach": "connect",
    "attached": "connect",
    "attaching": "connect",
    "hook": "connect",
    "hooked": "connect",
    "hooking": "connect",
    "plug": "connect",
    "plugged": "connect",
    "plugging": "connect",
    "join": "connect",
    "joined": "connect",
    "fastened": "connect",
    "verify": "check",
    "verified": "check",
    "verifying": "check",
    "inspect": "check",
    "inspected": "check",
    "inspecting": "check",
    "examine": "check",
    "examined": "check",
    "examining": "check",
    "assess": "check",
    "assessed": "check",
    "assessing": "check",
    "select": "choose",
    "selected": "choose",
    "selecting": "choose",
    "pick": "choose",
    "picked": "choose",
    "picking": "choose",
    "inflate": "fill",
    "inflated": "fill",
    "inflates": "fill",
    "inflating": "fill",
    "prefilled": "fill",
    "prefill": "fill",
    "primed": "fill",
    "prime": "fill",
    "rotate": "turn",
    "rotated": "turn",
    "rotates": "turn",
    "rotating": "turn",
    "flip": "turn",
    "flipped": "turn",
    "flipping": "turn",
    "spin": "turn",
    "spinning": "turn",
    "swivel": "turn",
    "donned": "wear",
    "don": "wear",
    "donning": "wear",
    "detached": "remove",
    "detach": "remove",
    "detaching": "remove",
    "unhooked": "remove",
    "ease": "slide",
    "eased": "slide",
    "easing": "slide",
    "hands": "bothhands",  # one clean hand is not two
    # everyday names of the same thing
    "opa": "airway",
    "npa": "airway",
    "trumpet": "airway",
    "adjunct": "airway",
    "naris": "nostril",
    "hose": "tubing",
    "pt": "patient",
    "reg": "regulator",
    "oropharynx": "mouth",
    "tank": "cylinder",
    "tanks": "cylinder",
    "bottle": "cylinder",
    "lube": "lubricant",
    "lubed": "lubricant",
    "jelly": "lubricant",
    "o2": "oxygen",
    "sats": "saturation",
    "sat's": "saturation",
    "sat": "sit",  # coach.language.spelling makes the other one a saturation
    "spo2": "saturation",
    "resps": "respiration",
    "specs": "glasses",
    "nitriles": "glove",
    "cath": "catheter",
    "epi": "epinephrine",
    "tq": "tourniquet",
    "doc": "doctor",
    "tummy": "belly",
    "mouthpiece": "mouth",
    "nonrebreather": "rebreather",
    "rebreather": "rebreather",
    "rebreathing": "rebreather",
    "nostrils": "nostril",
    "nare": "nostril",
    "nares": "nostril",
    "teeth": "tooth",
    "adaptor": "adapter",
    "gage": "gauge",
    "ppe": "glove",
    "gloved": "glove",
    "litres": "liter",
    "litre": "liter",
    "gasket": "washer",
    "expiry": "expiration",
}
"""Forms a stemmer cannot bring together; the right side is stemmed too."""

APART = frozenset(
    "barely closely lately likely shortly several positive handed handing indicator inhaler"
    " inhalers manager medical medication medications responder responders".split()
)
"""Words that a stemmer takes for others: "several" is not "severe", who calls medical direction has
called no medic, and who is handed a mask has no hand on it."""

UNLIKE = tuple(
    frozenset(pair.split())
    for pair in (
        "contain contamin",
        "contain contraind",
        "contact contract",
        "constrict construct",
        "breadth breath",
        "compress compressor",
        "connect connector",
        "depress depressor",
        "farther father",
        "instruct instructor",
        "overdo overdon",
        "overdo overdos",
        "patent patient",
        "respond responder",
        "sensor sensori",
        "statin station",
        "straight straighten",
        "stretch stretcher",
        "thirsti thirti",
        "though through",
        "unblock unlock",
        "vanish varnish",
    )
)
"""Stems of two words that differ by a letter or two and mean different things. They are what all
words of the skills and of the test sentences come to (`tests/language/test_joint_stems.py`)."""

_OPPOSITES = ("hyper", "hypo")
"""Beginnings that turn the sense."""

CONTRACTED = frozenset("it's that's he's she's there's what's who's let's here's how's".split())
"""Words in which 's is a verb and no possessive."""

_STEMMER = Stemmer.Stemmer("english")

SHORTEST_FUZZY = 6
FUZZY_RATIO = 86.0
"""A longer word may be heard a letter or two wrong ("regulater"); short ones must be exact."""


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """The common form of a lower-case word."""
    if word.endswith("'s") and word not in CONTRACTED | SAME_WORD.keys():
        word = word[:-2]
    if word in APART:
        return word.removesuffix("s") if word in {"inhalers", "medications", "responders"} else word
    result: str = _STEMMER.stemWord(SAME_WORD.get(word, word))
    return result


@lru_cache(maxsize=65536)
def same(one: str, other: str) -> bool:
    """Whether two stems are the same word, allowing a letter heard wrong in a long one."""
    if one == other:
        return True
    if min(len(one), len(other)) < SHORTEST_FUZZY or one[:2] != other[:2]:
        return False  # a prefix turns the sense: "responsive" is not "unresponsive"
    if {one, other} in UNLIKE or _are_opposites(one, other):
        return False
    return fuzz.ratio(one, other) >= FUZZY_RATIO


def _are_opposites(one: str, other: str) -> bool:
    """Whether one begins as the opposite of the other: too much or too little."""
    begun = [next((b for b in _OPPOSITES if word.startswith(b)), "") for word in (one, other)]
    return begun[0] != begun[1]


def occurs(key: str, heard: Sequence[str]) -> bool:
    """Whether a form of the key ("pulse/heartbeat") is among the stems that were heard."""
    forms = [stem(form) for form in key.split("/")]
    return any(same(form, word) for form in forms for word in heard)
