# ruff: noqa: E501 - a sentence template stays on one line
"""Free sentences about the five skills, for the second training run.

Two sources: the skill files themselves (what they listen for, and their say, why and how texts cut
into clauses) and the templates below, written for this project in the notation of phrases.py.
What stands in procedures/*.dialogues.yaml and tests/data is kept for tests: `kept_apart` lists it,
and make_packs.py leaves such sentences out unless a skill file listens for the very same words.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

import bench_phrases
import phrases
from step_sentences import PARAPHRASES_TEST

OPENERS = "[okay|so|um|uh|alright|right|now|well|and|yeah|and then|then|next|||||||]"
DID = "[i|i have|we|i think|i guess|looks like|you know]"

TEMPLATES: tuple[str, ...] = (
    # any skill
    "[gloves|goggles|eye shield|face shield|apron] [and|plus] [gloves|goggles|glasses|mask] [are on|on|in place]",
    "[my|both] hands are [gloved|covered|protected] and [my|the] eyes are [covered|protected|shielded]",
    "[pulled|snapped|slipped] on [a pair of|some|the|fresh] [gloves|nitrile gloves] [and goggles|and safety glasses|and a mask|]",
    "[wearing|i wear|got] [nitrile gloves|protection for my eyes|full protection|my p p e|a mask with a shield]",
    "[i'm going to|i will|i'm about to|let me] [look at|check|read|feel] [the next thing|what's left|that again|the setting] [first|in a moment|]",
    "[that's|this is] [as far as it goes|how it should look|what i have|the last thing]",
    "[i|we] [skipped|missed|forgot] [that one|the last one|a step|something]",
    "[could|can|would] you [wait|repeat that|say it slower|explain that|give me a moment|tell me why]",
    "[is|was] that [right|correct|enough|too much|the right order|what you wanted]",
    "[my|the] [partner|instructor|student|classmate] [has|took|holds|is holding|checked] [it|the mask|the tank|the bag|the head]",
    # cylinder
    "{cyl} [is strapped|is chained|is lying|lies|is standing|is clamped] [down|in its bracket|flat on the floor|to the wall|between my knees|in the carrier]",
    "[it|the bottle] [can't|cannot|won't] [fall|roll|tip] [over|away|]",
    "[my|the] hands are [dry and clean|free of oil|clean|free of grease] [and nobody smokes here|and there are no flames|]",
    "[no|there are no] [sparks|flames|cigarettes|hand cream|oil] [anywhere|near it|around|on my hands]",
    "the [label|collar|sticker|shoulder|marking] [reads|says|shows|is for] [oxygen|medical oxygen|oxygen u s p]",
    "[the|both] [pin holes|pins|holes] are [in position|at] two and five",
    "[two and five|pins two and five|holes two and five] [is|are] [right for oxygen|correct|oxygen]",
    "[last tested|the stamp says|the test stamp is|tested in] [january|march|may|june|august|october|november] [twenty twenty two|twenty nineteen|two thousand twenty|last year|]",
    "[the|this] test date [is still valid|has run out|is five years old|is within five years|can't be read]",
    "[no|there are no] [dents|cracks|rust|burns|damage|scratches] [on the valve|on the cylinder|on the body|on the regulator|that i can see]",
    "[there's|i found|i see] [a dent|some rust|a crack|a burn mark|a worn thread|damage] [near the neck|on the bottom|on the gauge glass|on the valve]",
    "[just|exactly|only] one washer and it's [whole|fine|not torn|in good shape|brand new]",
    "the [washer|gasket|seal] is [torn|missing|doubled up|dried out|cracked|flat] so i'm [replacing it|changing it|putting a new one in]",
    "[a short hiss|quick hiss|one short burst] [and closed|and it's shut again|to clear the dirt|out of the valve]",
    "[opened|turned] the valve [just a little|for a moment|briefly] and [shut|closed] it [again|right away]",
    "the regulator [sits|is sitting|slid|clicked] [on the post|on its pins|over the valve|in place]",
    "[the knob|the flow knob|flow control|flow selector] is [at zero|at off|turned all the way down|all the way off]",
    "[standing|i stand|i'm standing] [to the side|off to one side|away from the gauge|behind the valve] [and opening slowly|while i open it|]",
    "[slowly|gently|carefully] [opening|turning|cracking] the [tank|cylinder|main valve|key] [one full turn|counterclockwise|]",
    "[i don't|i can't|we don't] hear [any gas|a leak|hissing|anything leaking] [around the regulator|at the yoke|at the valve|]",
    "[it's|there is something] hissing [at the yoke|at the regulator|near the washer|by the valve|around the seal] so i [shut it off|closed it|tighten it|check the washer]",
    "[gas|air|oxygen] [is coming|comes|blows|flows] [out of the outlet|from the outlet|against my hand|through the tubing]",
    "[nobody|no one|no patient] [has|is wearing|is still on] [the mask|a mask|the cannula|the device] [on|anymore|]",
    "[valve's|the tank's|the main's] [closed|shut|off] [now|and tight|clockwise all the way|]",
    "[i opened|opening] the flow [knob|control|] to [drain|bleed|empty] [the rest|the line|the pressure|it]",
    "[the gauge|the needle|pressure] [fell|dropped|went|is down] to zero",
    "[unscrewing|i unscrewed|loosening|lifting off] [the regulator|the t handle|the yoke] [now|]",
    "[capped|covered|i capped|put the cap on] [the outlet|the valve|it] and [marked|tagged|labeled] [it|the tank] [full|empty|in use|partly used]",
    # delivery
    "[he|she|the patient] is [short of breath|working hard to breathe|breathless|struggling|turning blue|gray|confused|wheezing]",
    "[sat|the sat|saturation|oximeter|pulse ox] [shows|is showing|reads|came up as|dropped to] {number}",
    "[sir|ma'am|hi|hello] i'm [going to|about to] [put a mask on you|give you some oxygen|help you breathe|place these prongs]",
    "[this|it] will [help you breathe|feel cool|hiss a little|feel strange at first]",
    "[this patient|he|she|my patient] [needs|gets|will get] [a reservoir mask|high flow|a non rebreather|prongs|a cannula|a little oxygen|low flow oxygen]",
    "[flaps|the flaps|the one way valves|valves|the little discs] [are there|move freely|are in place|are missing|are stuck|open and close]",
    "[pushed|i pushed|pressed|shoved] the [tubing|hose|line] [onto the nipple|onto the outlet|on tight|firmly on|on the barb]",
    "[flow|flow meter|the flow] [is at|set to|is set to|turned up to|down to] {number} [liters|liters a minute|]",
    "[covered|i cover|thumb over|my thumb is on] the [inlet|valve in the bag|hole] [until|and] the bag [fills|is full|blows up]",
    "[the reservoir|bag] [has filled|blew up|is nice and full|is still flat|will not fill|deflates]",
    "mask [goes|is|sits] over [his|her|the] nose and mouth [with the strap behind the head|and the elastic is round the head|]",
    "[squeezed|pinched|molded|bent] the [metal strip|nose piece|nose clip|clip] [over the nose|to fit|down|]",
    "[no gaps|no gap|there's a gap|a gap] [at the cheeks|at the nose|around the edge|under the chin]",
    "[the bag|reservoir] [only dips|falls a little|stays mostly full|shrinks by a third|goes all the way down] [on a breath|when he breathes in|when she inhales]",
    "[skin|the lips|his color|her color] [looks|is|turned] [pinker|less blue|better|still gray|unchanged]",
    "[breathing|respirations] [easier|slowed down|is calmer|is less labored|more relaxed] [and sats are up|and the sat is better|]",
    "[switching|changing|i change|going] to [a cannula|the nasal prongs|a fresh cylinder|a full tank|a simple mask]",
    "[he|she] [can't|won't|doesn't want to] [keep the mask on|tolerate the mask|stand it|breathe with that on]",
    "[the hose|tubing|the line] [came off|popped off|is off|slipped off] [so i pushed it back|and i put it back on|]",
    "[taking|i took|lifting|lifted] the mask [off his face|off her face|away|off first] [before i stop the flow|then the flow|]",
    "[gauge|the tank|cylinder] is [nearly out|running low|almost empty|down to {number}]",
    # oral airway
    "[tapped|i shook|i pinched|i squeezed] [him|her|the shoulder|his shoulder] and [he does not respond|nothing happens|there was no response|no answer]",
    "[he|she|the patient] [doesn't|does not] [react|respond|cough|swallow|gag] [at all|to pain|to my voice|]",
    "[there's|i see|i found] [a loose tooth|some vomit|dentures|blood|gum|food] in [the|his|her] mouth",
    "[mouth|the mouth|his mouth] is [free|empty|clean] [of teeth|and nothing is loose|inside|]",
    "suction is [tested|set up|within reach|on my right|switched on and ready|right beside me]",
    "[from|measuring from] the [middle of the teeth|front teeth|lip|lips] to the [jaw angle|corner of the jaw|ear]",
    "[size|number] {digit} [fits|is right|looks right|is too long|seems small]",
    "[thumb and finger|my crossed fingers|jaw lift|pushing the jaw|lifting the jaw] [open|to open|opens] the [mouth|jaw|teeth]",
    "[tip|the tip] [up to the palate|against the palate|toward the roof|upward] [and|then] [turn|rotate|spin] it [around|over|half way|]",
    "[now|then] it [turns|rotates|flips|comes] [over the tongue|down behind the tongue|around]",
    "[straight in|it goes straight in] [with the tongue blade|over the tongue|with a depressor|]",
    "[flange|the flange|collar|the rim] [rests|lies|sits|stops] [at the lips|against the teeth|outside the mouth|on the mouth]",
    "[both sides|the chest|chest] [rise|rises|is going up|moves] [evenly|with each breath|when i squeeze|]",
    "[listening|i listen|i'm listening] to [both lungs|breath sounds|the chest] [and it sounds clear|and air goes in|]",
    "[he's|she's|the patient is] [starting to gag|gagging again|coming round|biting on it|waking up] so it's coming out",
    "[pulled|i pull|pulling|slid] it [straight out|out along the curve|out fast|down and out]",
    # nasal airway
    "[no|there isn't any|i see no] [fluid from the nose|clear fluid from the ears|bruising behind the ears|broken nose|raccoon eyes|face fracture]",
    "[he|she] [takes|is on|isn't on|takes no] [blood thinners|warfarin|anticoagulants|aspirin]",
    "[nose|tip of the nose|from the nose] to the [ear|earlobe|tragus|angle of the jaw] [is|gives|comes to|makes] [the length|this long|{number} millimeters|a size {digit}]",
    "[greased|coated|covered|smeared] [it|the tube|the tip|the trumpet] [with|in] [gel|water soluble gel|surgical jelly|lubricating jelly]",
    "[bevel|slanted side|the opening|the slant] [to|towards|facing] the [septum|middle|midline]",
    "[along|back along|sliding along] the floor of the nose [not up|and straight back|without force|]",
    "[it's stuck|i hit something|it stops|it won't pass|there is some resistance] so [i back out|i'm trying the left|i try the other side|i turn it a little]",
    "[other|left|right] [side|nostril] [then|now|is better|looks wider|works]",
    "[the trumpet|tube|the flange|the ring] is [flush with|up against|all the way to|on] the nostril",
    "[air|breath|i feel breath] [comes|moves|is moving] [out of the tube|through it|in and out]",
    # suction
    "[the tip|tip|yankauer|the wand|a soft catheter] is [on the tubing|connected|pushed on|hooked up] and the [canister|jar|lid] [is closed|is tight|is on]",
    "[switch|the switch|power|unit] is on [and it's humming|and running|and i hear the motor|]",
    "[bent|folded|kinked|pinched] the [tubing|hose] and [it|the gauge|the needle] [climbed to|went to|reads|shows] {number}",
    "[turned|set|dialed] [it|the vacuum|the knob] [down to|back to|to|up to] {number} [millimeters|mmhg|]",
    "[i'll|i will|i'm] [only go|going] [as far as|no deeper than] [i can see|my eyes reach|the back teeth|the measured mark]",
    "[tip|the tip|catheter|wand] [goes|is going|went|slides] in [with my thumb off|along the cheek|with the hole open|and no suction yet]",
    "[thumb|finger] [over the hole|on|on the port|off the port] [now|and drawing back|and pulling out|]",
    "[sweeping|moving|going] [side to side|round and round|back and forth] [on the way out|as i pull back|]",
    "[five|eight|nine|ten] seconds and [i'm out|it's out|the tip is out|done]",
    "[water|sterile water|a cup of water] [through|to rinse] the [line|tip|tubing|catheter]",
    "[still|it's still|i hear|there is still] [gurgling|bubbling|rattling|wet] [in the throat|in the mouth|]",
    "[back on|he's back on|put him back on|returned to] [oxygen|the mask|high flow|the bag]",
    "[he's|she's] [throwing up|vomiting|bringing up more] so [i roll him|we roll her|i turn the head|over on the side]",
    "[the line|tip|canister] is [clogged|blocked|plugged|full|half full|leaking]",
)

_ABBREVIATED = {
    "P S I": "psi", "N P A": "npa", "O P A": "opa", "B V M": "bvm", "S P O": "spo",
    "C O P D": "copd", "mmHg": "mmhg", "L/min": "liters a minute", "%": " percent",
}  # fmt: skip


def _texts(node: Any, key: str = "") -> Iterator[tuple[str, str]]:
    """Every (key, sentence) of a skill file below its steps and settings."""
    if isinstance(node, dict):
        for name, item in node.items():
            if name not in ("sources", "keys", "absent", "id", "table"):
                yield from _texts(item, str(name))
    elif isinstance(node, list):
        for item in node:
            yield from _texts(item, key)
    elif isinstance(node, str):
        yield key, node


def _worded(text: str) -> str:
    for short, word in _ABBREVIATED.items():
        text = text.replace(short, word)
    text = re.sub(r"(?<=\d),(?=\d{3})", "", text)
    text = re.sub(r"\d+", lambda m: phrases.small_number(min(int(m.group()), 99_999)), text)
    return phrases.clean(text.replace("-", " "))


def listened_for(folder: Path) -> list[str]:
    """What the skill files of a folder listen for, as the recogniser spells."""
    found = set()
    for path in sorted(folder.glob("*.yaml")):
        if not path.name.endswith(".dialogues.yaml"):
            for key, text in _texts(yaml.safe_load(path.read_text("utf-8"))):
                if key in ("phrases", "start", "end"):
                    found.add(_worded(text))
    return sorted(found - {""})


def clauses(folder: Path) -> list[str]:
    """The say, why, how and other spoken texts of the skill files, cut at commas and full stops."""
    found = set()
    for path in sorted(folder.glob("*.yaml")):
        if path.name.endswith(".dialogues.yaml"):
            continue
        for key, text in _texts(yaml.safe_load(path.read_text("utf-8"))):
            if key in ("phrases", "start", "end", "when", "quantity", "unit"):
                continue
            for part in re.split(r"[.,;:?!]\s|[.;:?!]$", text):
                words = [] if "{" in part else _worded(part).split()
                for first in range(0, len(words), 11):
                    piece = words[first : first + 11]
                    if len(piece) >= 3:
                        found.add(" ".join(piece))
    return sorted(found)


def kept_apart(root: Path) -> set[str]:
    """Every sentence of the spoken tests, which no training sentence may equal."""
    found = set()
    paths = [*(root / "procedures").glob("*.dialogues.yaml"), *(root / "tests/data").glob("*.yaml")]
    for path in paths:
        for _, text in _texts(yaml.safe_load(path.read_text("utf-8"))):
            found.add(_worded(text))
    return found | {phrases.clean(text) for text in PARAPHRASES_TEST}


def written(rng: random.Random) -> str:
    """A sentence from the templates, with numbers filled in and sometimes a filler before it."""
    template = rng.choice(TEMPLATES if rng.random() < 0.6 else bench_phrases.TEMPLATES)
    template = template.replace("{number}", "<number>").replace("{digit}", "<digit>")
    if rng.random() < 0.3:
        template = OPENERS + " " + template
    elif rng.random() < 0.08:
        template = DID + " " + template
    text = phrases.expand(template, rng)
    while "<number>" in text:
        value = rng.choice((rng.randint(1, 30), rng.randint(80, 100), rng.randrange(100, 2300, 10)))
        text = text.replace("<number>", phrases.spoken_number(value, rng), 1)
    return text.replace("<digit>", phrases.small_number(rng.randint(0, 9)))


def lone_word(rng: random.Random) -> str:
    """A digit or a switch word by itself: to be put in a row, and where clipped words go wrong."""
    if rng.random() < 0.7:
        return rng.choice((*"zero one two three four five six seven eight nine".split(), "oh"))
    return rng.choice(("on", "off", "on", "off", "go", "stop", "yes", "no", "out", "up"))
