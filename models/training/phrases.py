# ruff: noqa: E501 - a sentence template stays on one line
"""The sentences the recogniser is trained and tested on: commands, readings, steps, free speech.

A template is plain text with `[a|b|c]` for a choice (nested choices are allowed, an empty branch
makes a part optional) and `{name}` for a named list. Everything is written in lower case, numbers
in words, US spelling; abbreviations stand unspaced ("psi", "npa") and `spoken` spells them out for
a synthesiser. All text here was written for this project; none is quoted from a score sheet.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence

SPELLED = {
    "psi": "P S I",
    "kpa": "K P A",
    "npa": "N P A",
    "opa": "O P A",
    "bvm": "B V M",
    "emt": "E M T",
    "ems": "E M S",
    "spo": "S P O",
    "bp": "B P",
    "ppe": "P P E",
    "bsi": "B S I",
    "mmhg": "M M H G",
    "lpm": "L P M",
    "id": "I D",
    "ok": "okay",
    "din": "din",
    "copd": "C O P D",
    "als": "A L S",
}

CONTROLS: tuple[str, ...] = (
    "yes",
    "yeah",
    "yep",
    "yup",
    "correct",
    "that's correct",
    "right",
    "that's right",
    "affirmative",
    "sure",
    "okay",
    "ok",
    "all right",
    "alright",
    "uh huh",
    "mm hmm",
    "yes please",
    "yes it is",
    "yes i did",
    "yes i do",
    "of course",
    "exactly",
    "good",
    "great",
    "fine",
    "no",
    "nope",
    "nah",
    "negative",
    "wrong",
    "that's wrong",
    "incorrect",
    "not correct",
    "no it isn't",
    "no i didn't",
    "no i don't",
    "not yet",
    "no thanks",
    "not really",
    "uh uh",
    "never",
    "stop",
    "stop it",
    "stop there",
    "stop now",
    "please stop",
    "wait",
    "wait a second",
    "wait a minute",
    "hold on",
    "hang on",
    "hold it",
    "pause",
    "pause please",
    "one moment",
    "just a moment",
    "give me a second",
    "give me a minute",
    "go",
    "go on",
    "go ahead",
    "continue",
    "carry on",
    "keep going",
    "resume",
    "let's go",
    "start",
    "begin",
    "let's start",
    "let's begin",
    "start now",
    "on",
    "off",
    "turn it on",
    "turn it off",
    "next",
    "next one",
    "next step",
    "what's next",
    "what next",
    "what do i do next",
    "what now",
    "what comes next",
    "move on",
    "and then",
    "then what",
    "back",
    "go back",
    "step back",
    "previous",
    "previous step",
    "last step",
    "go back one",
    "back up",
    "one step back",
    "repeat",
    "repeat that",
    "repeat please",
    "say that again",
    "say again",
    "say it again",
    "come again",
    "pardon",
    "what",
    "what was that",
    "what did you say",
    "i didn't catch that",
    "i didn't hear you",
    "sorry",
    "again",
    "again please",
    "one more time",
    "once more",
    "why",
    "why is that",
    "why do i do that",
    "how",
    "how do i do that",
    "how so",
    "show me how",
    "explain",
    "explain that",
    "tell me more",
    "where",
    "when",
    "which one",
    "how much",
    "how many",
    "what is that",
    "what does that mean",
    "what for",
    "what's left",
    "what is left",
    "how many steps are left",
    "how much is left",
    "how long have i got",
    "how long do i have",
    "how long will it last",
    "how much time is left",
    "how much longer",
    "how long",
    "what time is it",
    "where am i",
    "where was i",
    "where are we",
    "what step am i on",
    "which step is this",
    "skip",
    "skip it",
    "skip this",
    "skip that",
    "skip this step",
    "skip this one",
    "leave it out",
    "start over",
    "start again",
    "from the top",
    "from the beginning",
    "restart",
    "begin again",
    "help",
    "help me",
    "help please",
    "i need help",
    "i'm stuck",
    "give me a hint",
    "hint",
    "i don't know",
    "i don't understand",
    "i forgot",
    "not sure",
    "i'm not sure",
    "no idea",
    "undo",
    "undo that",
    "take that back",
    "scratch that",
    "cancel",
    "cancel that",
    "never mind",
    "forget it",
    "delete that",
    "i didn't do that",
    "i did not do that",
    "i haven't done that",
    "i didn't do that yet",
    "that's not what i said",
    "that is not what i said",
    "i didn't say that",
    "i said",
    "you heard me wrong",
    "you got that wrong",
    "not that",
    "that was wrong",
    "this is real",
    "this is a real patient",
    "real patient",
    "this is not practice",
    "this is not a drill",
    "real emergency",
    "it's real",
    "for real",
    "slower",
    "slow down",
    "too fast",
    "talk slower",
    "faster",
    "speed up",
    "too slow",
    "louder",
    "speak up",
    "turn it up",
    "too quiet",
    "quieter",
    "softer",
    "turn it down",
    "too loud",
    "volume up",
    "volume down",
    "shorter",
    "keep it short",
    "longer",
    "more detail",
    "less detail",
    "be quiet",
    "quiet",
    "silence",
    "mute",
    "i'm ready",
    "ready",
    "i am ready",
    "ready to go",
    "not ready",
    "i'm not ready",
    "almost ready",
    "done",
    "i'm done",
    "all done",
    "that's done",
    "finished",
    "i'm finished",
    "finish",
    "end",
    "the end",
    "that's it",
    "that's all",
    "complete",
    "completed",
    "it's done",
    "did it",
    "i did it",
    "did that",
    "got it",
    "check",
    "checked",
    "quit",
    "exit",
    "end practice",
    "stop practice",
    "finish practice",
    "save",
    "save it",
    "goodbye",
    "bye",
    "thank you",
    "thanks",
    "hello",
    "hey",
    "hi",
    "coach",
    "hey coach",
    "are you there",
    "can you hear me",
    "i can hear you",
    "test",
    "testing",
    "up",
    "down",
    "left",
    "open",
    "close",
    "zero",
    "read it back",
    "read that back",
    "read it to me",
    "list the steps",
    "what are the steps",
    "summary",
    "how did i do",
    "what did i miss",
    "show the list",
    "remind me",
    "set a timer",
    "start the timer",
    "stop the timer",
    "reset the timer",
    "time",
    "report",
    "quiz me",
    "practice mode",
    "test mode",
    "exam mode",
    "choose",
    "choose oxygen",
    "choose suction",
    "oral airway",
    "nasal airway",
    "nasopharyngeal airway",
    "oropharyngeal airway",
    "suction",
    "oxygen",
    "oxygen setup",
    "cylinder",
    "oxygen delivery",
    "airway",
    "first",
    "second",
    "third",
    "last",
    "the first one",
    "the second one",
    "the last one",
    "both",
    "neither",
    "none",
    "all of them",
    "either",
    "same",
    "same as before",
    "more",
    "less",
    "enough",
    "maybe",
)

_LISTS: dict[str, tuple[str, ...]] = {
    "gas": ("oxygen", "the oxygen", "o two", "the gas"),
    "cyl": (
        "the cylinder",
        "the tank",
        "the bottle",
        "the oxygen cylinder",
        "the oxygen tank",
        "the d cylinder",
        "a full cylinder",
        "the new cylinder",
        "the main cylinder",
    ),
    "valve": (
        "the valve",
        "the cylinder valve",
        "the tank valve",
        "the main valve",
        "the valve on top",
    ),
    "reg": ("the regulator", "the flow regulator", "the pressure regulator", "my regulator"),
    "gauge": ("the gauge", "the pressure gauge", "the dial", "the needle"),
    "washer": (
        "the washer",
        "the gasket",
        "the seal",
        "the o ring",
        "the sealing washer",
        "the yoke washer",
    ),
    "mask": (
        "the mask",
        "the non rebreather",
        "the non rebreather mask",
        "the face mask",
        "the simple mask",
        "the venturi mask",
        "the oxygen mask",
        "the partial rebreather",
    ),
    "cannula": ("the cannula", "the nasal cannula", "the prongs", "the nasal prongs"),
    "bag": ("the reservoir", "the reservoir bag", "the bag"),
    "tube": ("the tubing", "the oxygen tubing", "the hose", "the suction tubing", "the line"),
    "oral": ("the oral airway", "the oropharyngeal airway", "the opa", "the airway", "the adjunct"),
    "nasal": (
        "the nasal airway",
        "the nasopharyngeal airway",
        "the npa",
        "the nasal trumpet",
        "the airway",
    ),
    "cath": (
        "the catheter",
        "the suction catheter",
        "the rigid catheter",
        "the tonsil tip",
        "the soft catheter",
        "the flexible catheter",
        "the yankauer",
        "the tip",
        "the suction tip",
    ),
    "unit": (
        "the suction unit",
        "the suction",
        "the machine",
        "the pump",
        "the portable suction",
        "the hand suction",
    ),
    "pt": (
        "the patient",
        "my patient",
        "him",
        "her",
        "the casualty",
        "the manikin",
        "the mannequin",
    ),
    "gloves": (
        "gloves",
        "my gloves",
        "clean gloves",
        "new gloves",
        "gloves and eye protection",
        "gloves and a mask",
        "my eye protection",
        "my goggles",
        "my face shield",
    ),
}

PHRASES: tuple[str, ...] = (
    # hands and scene
    "[i've got|i have|i'm wearing|putting on|i put on] {gloves} [on|]",
    "{gloves} [on|are on]",
    "gloved up",
    "[the scene is|scene is|scene's] safe",
    "[i washed|washing|i cleaned] my hands",
    "eye protection [on|is on]",
    "[i'm taking|taking] [standard|body substance] precautions",
    "i changed my gloves",
    "[i opened|opening] the [kit|bag|airway kit]",
    # cylinder set-up
    "[i checked|checking|i'm checking|i looked at] the [label|color|collar|tag] on {cyl}",
    "[it's|it is|this is] [medical oxygen|oxygen u s p|an oxygen cylinder|a green cylinder]",
    "[the label says|it says|label reads] [oxygen|medical oxygen]",
    "{cyl} is [green|full|empty|secured|upright|in date]",
    "[the hydrostatic|the test] date is [good|current|in date|expired]",
    "[i'm securing|i secured|securing] {cyl} [upright|in the rack|on its side|]",
    "[i removed|removing|i took off|taking off|pulling off] the [seal|cap|wrapper|dust cover|plastic]",
    "[i cracked|cracking|i'm cracking|quick crack of] {valve} [open|for a second|briefly|to blow out dust|away from my face|]",
    "[cracked|i cracked] it",
    "[i opened|opening] {valve} [slowly|all the way|a full turn|half a turn|one turn|two turns|]",
    "[i closed|closing|i shut|shut|i'm closing] {valve} [all the way|tight|clockwise|]",
    "[the outlet is|nothing is|i'm] [pointed|pointing|facing] away from [everyone|me|people|my face]",
    "[i'm checking|i checked|checking] {washer}",
    "{washer} is [in place|there|good|new|missing|damaged|intact|cracked|worn]",
    "[i'm putting|i put|putting] a new [washer|gasket] on",
    "[the pins line up|pins are lined up|i lined up the pins|lining up the pins]",
    "[i attached|attaching|i'm attaching|i put on|fitting|i fitted|i mounted] {reg} [to the cylinder|to the tank|]",
    "[i tightened|tightening|i'm tightening] {reg} [by hand|hand tight|]",
    "[hand tight|it's hand tight|hand tight only]",
    "the t screw is [tight|snug|loose]",
    "[i tightened|tightening] the [t screw|yoke|handle|nut]",
    "no [leaks|leak|hissing|hiss]",
    "[there's|i hear] [a leak|a hiss|hissing|no leak|no hiss]",
    "[i checked|checking|listening|i'm listening] for [leaks|a leak|hissing]",
    "[it is|it's] [leaking|not leaking]",
    "{reg} is [on|seated|tight|attached|leaking|not tight]",
    "[no oil|no grease|no oil or grease] [on it|on my hands|on the fittings|]",
    "[reading|i'm reading|i read|checking|i checked] {gauge}",
    "[the pressure is|pressure is] [good|low|fine|too low|dropping|steady]",
    "[it's|the tank is|the cylinder is] [full|empty|nearly empty|half full|three quarters full|a quarter full|in the red]",
    "[i attached|attaching|connecting|i connected|hooking up|i hooked up] {tube} [to the regulator|to the flowmeter|to the port|]",
    "{tube} is [connected|attached|on|kinked|not kinked|off]",
    "[i set|setting|set|i turned|turning] the flow [up|down|to fifteen|to ten|to six|to two|]",
    "[i turned|turning|turn] {gas} [on|off|up|down]",
    "{gas} is [on|off|flowing|not flowing|running]",
    "[i feel|feeling] [flow|the flow|air coming out]",
    "i can hear [the flow|it flowing|gas flowing]",
    "no smoking [near the oxygen|around here|]",
    # take-down
    "[i bled|bleeding|i'm bleeding] [the regulator|the line|the pressure|it] [off|down|out]",
    "[the gauge|gauge|the needle] [reads|is at|is back to] zero",
    "[i removed|removing|taking off|i took off|i'm removing] {reg}",
    "[i took|taking|i'm taking] [the mask|the cannula|it] off [the patient|first|]",
    "[i turned|turning] the [flowmeter|flow meter|flow] off",
    "[i put|putting|i stored] {cyl} [away|back|in the rack|in storage]",
    "[i tagged|tagging|i marked] {cyl} [empty|for refill|]",
    "[disconnecting|i disconnected] {tube}",
    # delivery
    "[i explained|explaining|i told {pt} about|telling {pt} about] the [procedure|mask|oxygen]",
    "[i chose|i picked|choosing|using|i'm using|i'll use] [a non rebreather|a nasal cannula|a simple mask|a venturi mask|a bag mask]",
    "[i filled|filling|i'm filling|inflating|i inflated] {bag}",
    "{bag} is [full|inflated|filled|empty|flat|not full|collapsing]",
    "[i put|putting|placing|i placed] {mask} [on|over the nose and mouth|on the patient|on his face|on her face]",
    "{mask} is [on|snug|sealed|loose|leaking|too big]",
    "[i tightened|tightening|adjusting|i adjusted] the [strap|straps|elastic|nose clip]",
    "[the nose clip|nose clip] is [pinched|fitted|on]",
    "[i put|putting|placing|i placed] {cannula} [in|in the nose|in the nostrils|on]",
    "the prongs [curve|point|go] [down|up|in|back]",
    "[the tubing goes|looping it|i looped it|tubing] [over|behind|around] the ears",
    "[slid|sliding|i slid] the [slider|bead|toggle] up",
    "[i told|telling] [him|her|the patient] to breathe [normally|through the nose|slowly]",
    "[i'm watching|watching|i watched] [the chest|the bag|his breathing|her breathing|the patient]",
    "[chest rise|the chest is rising|good chest rise]",
    "[his|her|the] [color|breathing|saturation] is [better|improving|worse|the same|normal]",
    "[sats|the sats|saturation] [are|is] [up|down|good|low|coming up|falling]",
    "[he's|she's|the patient is] [breathing|not breathing|breathing fast|breathing normally|awake|responsive|unresponsive|talking]",
    # oral airway
    "[no gag reflex|there's no gag|no gag|gag reflex absent|he has a gag reflex|she's gagging|the patient gags|there is a gag reflex]",
    "[i measured|measuring|i'm measuring|i sized|sizing] {oral} [corner of the mouth to the earlobe|from the mouth to the ear|mouth to the angle of the jaw|]",
    "[corner of the mouth to the earlobe|from the corner of the mouth to the tip of the earlobe|from the center of the mouth to the angle of the jaw]",
    "[it's|that's|this one is] [the right size|too big|too small|too long|too short|a good fit]",
    "[i picked|i chose|choosing] [a size|the size|another size|a smaller one|a bigger one]",
    "[i opened|opening|i'm opening] the [mouth|airway] [with a cross finger technique|with scissor fingers|with a jaw thrust|with a head tilt chin lift|]",
    "[cross finger|crossed finger|scissor] technique",
    "[head tilt chin lift|jaw thrust|chin lift|head tilt]",
    "[i checked|checking|looking in] the mouth [for fluid|for blood|for teeth|]",
    "[the mouth is|mouth is|airway is] [clear|full of blood|full of vomit|dirty|not clear|open]",
    "[i inserted|inserting|i'm inserting|i put in] {oral} [upside down|tip up|toward the roof of the mouth|sideways|with the tip toward the palate|]",
    "[i rotated|rotating|turning|i turned] it [one eighty|one hundred eighty degrees|a half turn|halfway|over the tongue|ninety degrees]",
    "the flange is [on the lips|against the lips|at the teeth|resting on the lips|seated|sticking out]",
    "[i used|using] a tongue [depressor|blade]",
    "[i removed|removing|i took out|pulling out|i pulled out] {oral} [right away|when he gagged|following the curve|]",
    "the tongue [is out of the way|is pushed back|is blocking the airway|is not pushed back]",
    # nasal airway
    "[i measured|measuring|i'm measuring|i sized|sizing] {nasal} [nose to the earlobe|from the tip of the nose to the earlobe|tip of the nose to the ear|]",
    "[tip of the nose to the earlobe|from the nostril to the earlobe|from the nose to the ear lobe]",
    "[i lubricated|lubricating|i'm lubricating|i lubed|lubing] {nasal} [with water based gel|with jelly|]",
    "water [based|soluble] [lubricant|gel|jelly]",
    "[the bevel|bevel] [toward|facing|faces|to|is toward] the septum",
    "[right|left|the right|the left] nostril [first|]",
    "[the larger|the bigger|in the larger] nostril",
    "[i inserted|inserting|sliding in|i slid in|advancing|i advanced] {nasal} [straight back|gently|along the floor of the nose|with a gentle twist|until the flange is at the nostril|]",
    "[there's|i feel|i felt] resistance",
    "[no resistance|it went in easily|it went in]",
    "[i tried|trying|switching to|i switched to] the other [nostril|side]",
    "[the flange is|flange] [at|against|on|touching] the nostril",
    "[no|there is no|there's] [facial trauma|head injury|fracture|skull fracture|nosebleed|bleeding]",
    "[i removed|removing|i took out] {nasal}",
    "[i feel|feeling|i can feel] air [moving|coming through the tube|through the airway]",
    # suction
    "[i turned|turning|i switched|switch] {unit} [on|off]",
    "{unit} is [on|off|working|charged|not working|ready|dead]",
    "[i checked|checking|testing|i tested] the [suction|vacuum|battery|pump]",
    "[i kinked|kinking|i pinched|pinching|i blocked] the [tubing|hose|line] [to check the vacuum|]",
    "[the canister|canister] is [empty|in place|attached|half full|full]",
    "[vacuum is|the vacuum is|it pulls|it's pulling|it reads] [good|over three hundred|three hundred|strong|weak|low]",
    "[i attached|attaching|i connected|connecting] {cath}",
    "[i measured|measuring] {cath} [corner of the mouth to the earlobe|mouth to ear|]",
    "[i inserted|inserting|i put in] {cath} [without suction|with no suction|only as far as i can see|to the right depth|into the mouth|]",
    "[suction on the way out|suctioning on the way out|i applied suction on the way out|suction only while withdrawing|suction while pulling out]",
    "[i'm suctioning|suctioning|i suctioned] [the mouth|the airway|the tube|for ten seconds|no more than ten seconds|less than fifteen seconds|]",
    "[in a circular motion|in circles|side to side|figure eight]",
    "[i rinsed|rinsing|flushing|i flushed] {cath} [with water|with sterile water|with saline|]",
    "[i gave|giving|back to giving] {gas} [again|between passes|before suction|after suction|]",
    "[pre oxygenate|i pre oxygenated|preoxygenating]",
    "[i rolled|rolling|turning|i turned] {pt} [on the side|to the side|on his side|on her side]",
    "[the airway|mouth|the mouth] is [clear now|clear|still dirty|still not clear]",
    "[never suction|do not suction|i won't suction] longer than [ten|fifteen] seconds",
    "[i see|there's|there is] [vomit|blood|secretions|fluid|foreign material|nothing] [in the mouth|in the airway|]",
    "the [fluid|blood|vomit] is [gone|cleared|still there|thick]",
    "[sterile technique|sterile gloves on|using sterile gloves]",
    "[i saw|watching] the heart rate [drop|dropping]",
    # general
    "[i reassessed|reassessing|i checked again|rechecking]",
    "[i called|calling|call] for [help|backup|als|advanced life support|a medic]",
    "[i checked|checking] the [pulse|breathing|airway|chest|lips|skin]",
    "[everything is|it's all|all] [ready|set|connected|in place|working|good]",
    "[i'm|i am] [at the head|at the side|kneeling|behind the patient]",
    "[the equipment|all equipment|the gear] is [ready|checked|here|clean]",
    "[i wiped|wiping|i cleaned|cleaning|disinfecting] the [mask|equipment|regulator|catheter|tubing]",
    "[i threw|throwing] [it|the mask|the catheter|the gloves] away",
    "[into|in] the [trash|biohazard bag|red bag|sharps bin]",
)

PARAPHRASES_TEST: tuple[str, ...] = (
    "okay i have got both hands covered",
    "let me have a look at what it says on the collar",
    "yup that one is the green bottle for oxygen",
    "i gave the valve a quick burst to blow the dust out",
    "the little ring is where it should be",
    "pins are sitting right in the holes",
    "screwed it down with my fingers only",
    "i cannot hear anything escaping",
    "something is hissing by the neck",
    "needle sits a bit under full",
    "bag on the mask has filled up nicely",
    "strap is pulled around the back of the head",
    "prongs are sitting in both nostrils curving down",
    "i ran the line round the ears and under the chin",
    "held it against the cheek from mouth to ear",
    "he started gagging so i pulled it out",
    "put it in pointing at the roof and then turned it over",
    "the rim is resting on the lips now",
    "i put some jelly on the tube",
    "slanted end goes to the middle of the nose",
    "it would not go in on that side so i tried the other",
    "pinched the hose and the gauge went up",
    "only sucked while i was coming back out",
    "i counted to ten and came out",
    "rinsed the tip in the water cup",
    "shut the tank and let the line empty",
    "dial has dropped to nothing so i can take it off",
    "she is pinking up nicely now",
    "i have not looked for leaks yet",
    "i forgot to check the date on it",
    "the mask does not fit his face",
    "put them on their side and let it drain",
)

PARAPHRASES: tuple[str, ...] = (
    "[okay|so|um|well|alright|now|right|] [i've just|i just|i have|i have just|i already|i've already] [checked|done|finished|fixed|opened|closed|connected|tightened|measured] [it|that|this|the thing|the whole thing|everything]",
    "[both|my] [hands are|gloves are] [on|covered|clean|ready]",
    "let me [look|see|check|read|try|do] [that|it|the gauge|the label|the seal|again|]",
    "[that one|this one|this bottle|that bottle|it] is the [green|right|wrong|old|new|big|small] one",
    "i gave it a [quick|short|little] [turn|burst|crack|twist|squeeze|pull|shake]",
    "the little [ring|screw|knob|bag|clip|hole|pin] is [there|gone|in|out|loose|fine|broken|sitting right]",
    "i can't [hear|see|feel|find|reach|open|turn] [anything|it|a thing|the gauge|the leak]",
    "something [is|sounds|looks|feels] [wrong|off|loose|blocked|stuck|funny|broken]",
    "[needle|the needle|the dial] is [just under|a bit under|right at|past|above|near] [full|the red|half|zero]",
    "the bag [fills|filled|empties|goes flat|stays full] [up|nicely|when he breathes|too slowly|]",
    "[pulled|i pulled] the [strap|elastic|band] [tight|round the head|over the ears]",
    "[i ran|running] the [line|hose|tube] [round|behind|over] [the ears|the head|under the chin]",
    "i held it [up to|against|next to] the [cheek|face|jaw|nose]",
    "[he|she] [started|is|was|keeps] [gagging|coughing|choking|breathing|moving|fighting it|talking] so i [stopped|pulled it out|waited|took it off]",
    "i put it in [backwards|sideways|upside down|the other way] and [then|] [turned|flipped|rotated|twisted] it",
    "the [rim|edge|end|top] [is|sits|rests] on the [lips|nose|face|teeth]",
    "[i used|put|i put] [some|a bit of|plenty of] [jelly|gel|lube|water] on [it|the tube|the tip]",
    "the [slanted|cut|sharp|beveled] [end|side|edge] [goes|points|faces] [in|to the middle|to the septum|down]",
    "it [wouldn't|won't|doesn't|didn't] [go in|fit|turn|open|seal|move|come off|stay on] [so i tried the other|so i stopped|]",
    "i only [sucked|suctioned] [coming out|on the way out|for a few seconds]",
    "i counted [to ten|to five|to fifteen|out loud] and [came out|stopped|pulled back]",
    "[let|i let] the [line|regulator|pressure] [drain|empty|bleed down|out]",
    "[he|she|the patient] [looks|is looking|is] [better|pink|blue|pale|worse|good|gray|sweaty] now",
    "i [have not|haven't|did not|didn't|forgot to|still need to|never] [check|checked|look|looked|open|opened|measure|measured|turn|turned] [it|the valve|the seal|for leaks|the gauge|the date]",
    "[the mask|it|this] does not [fit|seal|work|reach|look right]",
    "[i'll|i will|let's|i am going to|i'm going to|gonna] [open|close|check|measure|attach|insert|remove|suction|turn on|turn off|tighten|set] [it|the tank|the valve|the mask|the flow|the tubing|the airway|the mouth] [now|first|next|again|]",
    "[should i|do i|can i|did i|could i] [open|close|check|measure|tighten|remove|rotate|lubricate] [it|the valve|this|the airway|the mask|the gauge] [first|now|yet|again|]",
    "[what|how much|which] [flow|size|pressure|rate|mask|way] [do i need|is it|should i use|do i set|goes in]",
    "[hand|pass|give] me [the mask|the regulator|that|the tubing|another one|the gel]",
    "[hold|keep|put|lay|set|leave] [it|that|the tank|the head|the mask] [still|there|down|steady|over here|flat]",
    "[is|are] [it|that|they|the valve|the mask] [on|open|closed|tight|ready|right|in]",
    "i did not [check for leaks|open the valve|measure it|put gloves on|turn it on|set the flow|fill the bag|lubricate it|check the mouth|rotate it]",
    "i have not [checked for leaks|opened the valve|measured it|turned it on|set the flow|filled the bag|done that|finished]",
    "[it is|it's|that is|that's] not [on|off|open|tight|leaking|full|empty|ready|in|seated|working|clear|safe|right]",
    "[wait|no|sorry|hold on] [i mean|i meant|it's|make that|that should be] [the other one|the left|the right|open|closed|on|off|two|ten|fifteen]",
)

_ONES = "zero one two three four five six seven eight nine".split()
_TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
_TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()


def small_number(value: int) -> str:
    """Words for 0 <= value < 100, hundreds and thousands as usually counted."""
    if value < 10:
        return _ONES[value]
    if value < 20:
        return _TEENS[value - 10]
    if value < 100:
        return _TENS[value // 10] + ("" if value % 10 == 0 else " " + _ONES[value % 10])
    if value < 1000:
        rest = "" if value % 100 == 0 else " " + small_number(value % 100)
        return _ONES[value // 100] + " hundred" + rest
    rest = "" if value % 1000 == 0 else " " + small_number(value % 1000)
    return small_number(value // 1000) + " thousand" + rest


def digits(value: str, rng: random.Random) -> str:
    """A number spoken digit by digit, zero as "zero" or "oh"."""
    zero = rng.choice(("zero", "zero", "oh"))
    return " ".join(zero if d == "0" else "point" if d == "." else _ONES[int(d)] for d in value)


def spoken_number(value: int, rng: random.Random) -> str:
    """One of the usual spoken forms of a whole number below 10,000."""
    forms = [small_number(value), small_number(value)]
    if value >= 1000 and value % 100 == 0 and value % 1000 != 0:
        forms += [small_number(value // 100) + " hundred"] * 3
        forms.append(small_number(value // 100) + " double oh")
    if value >= 1000 and value % 100 >= 10:
        forms += [small_number(value // 100) + " " + small_number(value % 100)] * 2
        forms.append(small_number(value // 100) + " hundred " + small_number(value % 100))
        forms.append(small_number(value // 100) + " hundred and " + small_number(value % 100))
    if 100 <= value < 1000:
        if value % 100 >= 10:
            forms.append(_ONES[value // 100] + " " + small_number(value % 100))
            forms.append(_ONES[value // 100] + " hundred and " + small_number(value % 100))
        elif value % 100 > 0:
            forms.append(_ONES[value // 100] + " oh " + _ONES[value % 10])
        if value < 200:
            forms.append(small_number(value).replace("one hundred", "a hundred", 1))
    if value >= 10:
        forms.append(digits(str(value), rng))
    return rng.choice(forms)


def teen_or_ten(rng: random.Random) -> int:
    """Teens and tens in equal measure: the pairs that are mixed up."""
    unit = rng.randint(3, 9)
    return rng.choice((10 + unit, 10 * unit))


def reading(rng: random.Random) -> str:
    """A number with or without unit, as said at a gauge, a flowmeter or a monitor."""
    kind = rng.choices(
        (
            "psi",
            "flow",
            "percent",
            "bar",
            "kpa",
            "bp",
            "size",
            "time",
            "plain",
            "serial",
            "teens",
            "rate",
            "vacuum",
            "fix",
            "clock",
            "decimal",
            "length",
        ),
        (16, 10, 8, 5, 3, 6, 7, 8, 10, 10, 12, 4, 4, 8, 3, 5, 3),
    )[0]

    def say(n: int) -> str:
        return spoken_number(n, rng)

    if kind == "psi":
        value = rng.choice(
            (rng.randrange(1, 45) * 50, rng.randrange(2, 25) * 100, rng.randrange(100, 3000))
        )
        core = say(value) + rng.choice(
            ("", " psi", " psi", " pounds", " psi", " pounds per square inch")
        )
        return (
            rng.choice(
                (
                    "",
                    "",
                    "",
                    "it's at ",
                    "it reads ",
                    "reading ",
                    "the gauge reads ",
                    "i have ",
                    "i've got ",
                    "pressure is ",
                    "about ",
                    "around ",
                    "just under ",
                    "it says ",
                    "that's ",
                    "um ",
                    "looks like ",
                )
            )
            + core
        )
    if kind == "flow":
        value = rng.choice(
            (rng.randint(1, 15), rng.choice((2, 4, 6, 10, 12, 15, 25)), rng.randint(1, 25))
        )
        unit = rng.choice(
            (
                " liters",
                " liters a minute",
                " liters per minute",
                "",
                " lpm",
                " liter",
                " liters of oxygen",
            )
        )
        return (
            rng.choice(
                (
                    "",
                    "",
                    "flow is ",
                    "set to ",
                    "set at ",
                    "i set it to ",
                    "running at ",
                    "at ",
                    "on ",
                )
            )
            + small_number(value)
            + unit
            + rng.choice(
                ("", "", "", " by non rebreather", " by mask", " by cannula", " by nasal cannula")
            )
        )
    if kind == "percent":
        value = rng.choice((rng.randint(80, 100), rng.randint(85, 99), rng.randint(21, 100)))
        core = rng.choice(
            (small_number(value), digits(str(value), rng))
            if value < 100
            else ("one hundred", "a hundred")
        )
        return (
            rng.choice(
                (
                    "",
                    "",
                    "sat ",
                    "sats ",
                    "sat is ",
                    "spo two ",
                    "spo two is ",
                    "oxygen is at ",
                    "saturation ",
                )
            )
            + core
            + rng.choice((" percent", " percent", "", " on room air", " percent on room air"))
        )
    if kind == "bar":
        return say(rng.choice((rng.randrange(1, 24) * 10, rng.randint(5, 230)))) + " bar"
    if kind == "kpa":
        return say(
            rng.choice((rng.randrange(1, 25) * 10, rng.randrange(1, 20) * 100))
        ) + rng.choice((" kpa", " kilopascals", " kilopascal"))
    if kind == "bp":
        high, low = rng.randrange(80, 200, 2), rng.randrange(40, 110, 2)

        def spoken(n: int) -> str:
            tens = small_number(n % 100) if n % 100 >= 10 else "oh " + _ONES[n % 10]
            parts = f"{_ONES[n // 100]} {tens}" if n > 100 else small_number(n)
            return rng.choice((small_number(n), parts))

        return rng.choice(
            ("", "", "bp ", "bp is ", "pressure is ", "blood pressure ")
        ) + rng.choice(
            (
                spoken(high) + " over " + small_number(low),
                spoken(high) + " over " + small_number(low),
                spoken(high) + " by palp",
            )
        )
    if kind == "size":
        return rng.choice(
            (
                rng.choice(("size ", "a size ", "number ")) + small_number(rng.randint(0, 12)),
                small_number(rng.randrange(40, 121, 10))
                + rng.choice((" millimeters", " millimeter", " mil")),
                small_number(rng.randrange(6, 37, 2)) + " french",
                "a " + small_number(rng.randrange(12, 37, 2)) + " french",
                rng.choice(("size ", ""))
                + _ONES[rng.randint(5, 9)]
                + " point "
                + _ONES[rng.choice((0, 5))],
            )
        )
    if kind == "time":
        value = rng.choice((rng.randint(1, 20), teen_or_ten(rng), rng.randint(1, 60)))
        unit = rng.choice((" seconds", " minutes", " minutes left", " hours", " second", " minute"))
        return rng.choice(
            (
                small_number(value) + unit,
                small_number(value) + unit,
                "an hour and a half",
                "half an hour",
                "a minute and a half",
                small_number(rng.randint(2, 9)) + " and a half minutes",
                "about " + small_number(value) + unit,
                small_number(rng.randint(1, 5))
                + " minutes "
                + small_number(rng.choice((10, 15, 20, 30, 40, 45, 50)))
                + " seconds",
            )
        )
    if kind == "plain":
        return spoken_number(
            rng.choice(
                (
                    rng.randint(0, 30),
                    rng.randint(0, 100),
                    rng.randint(0, 999),
                    rng.randint(100, 3000),
                )
            ),
            rng,
        )
    if kind == "serial":
        return digits(
            "".join(str(rng.randint(0, 9)) for _ in range(rng.choice((1, 2, 3, 3, 4, 4, 4, 5)))),
            rng,
        )
    if kind == "teens":
        value = teen_or_ten(rng)
        return rng.choice(
            (
                small_number(value),
                small_number(value),
                small_number(value) + " hundred",
                small_number(value)
                + rng.choice(
                    (" psi", " liters", " percent", " seconds", " minutes", " bar", " millimeters")
                ),
                small_number(value) + " " + digits(str(value), rng),
                small_number(teen_or_ten(rng)) + " " + small_number(teen_or_ten(rng)),
                small_number(value) + " hundred psi",
            )
        )
    if kind == "rate":
        value = rng.choice((rng.randint(8, 40), rng.randint(40, 160)))
        return rng.choice(
            (
                small_number(value) + " a minute",
                small_number(value) + " breaths a minute",
                "respirations " + small_number(value),
                "rate of " + small_number(value),
                "pulse is " + small_number(value),
                "heart rate " + small_number(value),
                "one every " + small_number(rng.randint(3, 10)) + " seconds",
            )
        )
    if kind == "vacuum":
        return (
            rng.choice(("", "vacuum is ", "it pulls ", "set to ", "negative "))
            + say(rng.choice((rng.randrange(80, 600, 20), 300, 120, 80)))
            + rng.choice((" mmhg", " millimeters of mercury", " millimeters"))
        )
    if kind == "fix":
        a, b = teen_or_ten(rng), teen_or_ten(rng)
        if rng.random() < 0.5:
            a, b = rng.randrange(2, 25) * 100, rng.randrange(2, 25) * 100
        join = rng.choice(
            (
                " no ",
                " no wait ",
                " sorry ",
                " i mean ",
                " correction ",
                " no make that ",
                " not ",
                " no i said ",
                " wait ",
                " or ",
            )
        )
        unit = rng.choice(("", "", " psi", " liters", " percent"))
        return rng.choice(
            (
                say(a) + join + say(b) + unit,
                "no " + say(b) + unit,
                "i said " + say(b) + unit,
                "not " + say(a) + " " + say(b),
                "it's " + say(b) + " not " + say(a),
            )
        )
    if kind == "clock":
        return (
            small_number(rng.randint(10, 23))
            + " "
            + rng.choice(
                (
                    small_number(rng.randint(10, 59)),
                    "oh " + _ONES[rng.randint(1, 9)],
                    "hundred hours",
                )
            )
        )
    if kind == "decimal":
        return rng.choice(
            (
                "point five",
                "zero point five",
                "half a liter",
                "a half",
                "half",
                "a quarter",
                "three quarters",
                "two and a half",
                "one and a half",
                "wide open",
                "full flow",
                "a quarter full",
                "half full",
                _ONES[rng.randint(0, 9)] + " point " + _ONES[rng.randint(0, 9)],
                small_number(rng.randint(10, 99)) + " point " + _ONES[rng.randint(0, 9)],
            )
        ) + rng.choice(("", " liters", "", " percent"))
    return (
        rng.choice(("at least ", "about ", "", ""))
        + small_number(rng.randint(1, 24))
        + rng.choice((" inches", " inch", " centimeters", " feet"))
    )


_CHOICE = re.compile(r"\[([^\[\]]*)\]")


def expand(template: str, rng: random.Random) -> str:
    """One random sentence of a template."""
    template = re.sub(r"\{(\w+)\}", lambda m: rng.choice(_LISTS[m.group(1)]), template)
    while True:
        match = _CHOICE.search(template)
        if match is None:
            return " ".join(template.split())
        template = (
            template[: match.start()]
            + rng.choice(match.group(1).split("|"))
            + template[match.end() :]
        )


_FILLERS = (
    "okay",
    "um",
    "uh",
    "so",
    "well",
    "now",
    "alright",
    "and",
    "right",
    "okay so",
    "let me see",
    "hey",
    "yeah",
    "you know",
    "i think",
    "er",
)
_TAILS = (
    "now",
    "okay",
    "i think",
    "right",
    "please",
    "for you",
    "here",
    "so far",
    "already",
    "too",
    "thanks",
    "got it",
    "done",
)


def control(rng: random.Random) -> str:
    """A control phrase, sometimes with a filler, a repeat or a second command behind it."""
    text = rng.choice(CONTROLS)
    roll = rng.random()
    if roll < 0.12:
        return (
            rng.choice(("okay", "um", "coach", "please", "no", "yes", "hey", "well", "wait"))
            + " "
            + text
        )
    if roll < 0.18:
        return text + " " + rng.choice(("please", "coach", "now", "thanks", "okay", "again"))
    if roll < 0.22:
        return text + " " + rng.choice(CONTROLS)
    return text


def step(rng: random.Random) -> str:
    """A step report, sometimes with filler, tail or a reading after it."""
    text = expand(rng.choice(PHRASES if rng.random() < 0.62 else PARAPHRASES), rng)
    roll = rng.random()
    if roll < 0.15:
        text = rng.choice(_FILLERS) + " " + text
    elif roll < 0.25:
        text = text + " " + rng.choice(_TAILS)
    elif roll < 0.33:
        text = (
            text
            + " "
            + rng.choice(("and", "then", "", "so", "next"))
            + " "
            + expand(rng.choice(PHRASES), rng)
        )
    elif roll < 0.38:
        text = text + " " + reading(rng)
    return " ".join(text.split())


def random_words(rng: random.Random, lexicon: Sequence[str]) -> str:
    return " ".join(rng.choice(lexicon) for _ in range(rng.choice((1, 1, 2, 3, 4, 5))))


def clean(text: str) -> str:
    """Lower case, a-z, apostrophe and single spaces only; anything else becomes a space."""
    return " ".join(re.sub(r"[^a-z' ]", " ", text.lower().replace("’", "'")).split())


def spoken(text: str) -> str:
    """The same sentence as a synthesiser should read it."""
    return " ".join(SPELLED.get(word, word) for word in text.split())


def lexicon() -> list[str]:
    """Every word of the commands, steps, paraphrases in training and readings: about a thousand."""
    found: set[str] = set()
    for source in (
        *CONTROLS,
        *PHRASES,
        *PARAPHRASES,
        *(item for items in _LISTS.values() for item in items),
    ):
        found |= set(clean(re.sub(r"\{\w+\}|[\[\]|]", " ", source)).split())
    rng = random.Random(11)
    for _ in range(4000):
        found |= set(clean(reading(rng)).split())
    return sorted(found)
