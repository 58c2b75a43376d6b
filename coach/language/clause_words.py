"""The words by which clauses are parted, denied, asked, planned or supposed."""

from __future__ import annotations

import re

from coach.language.word_forms import stem

NEGATORS = frozenset(
    "no not never without nothing nothing's none nobody neither nor cannot isn't aren't wasn't"
    " weren't don't doesn't didn't haven't hasn't hadn't won't wouldn't can't couldn't"
    " shouldn't ain't".split()
)
VERB_NEGATORS = frozenset(
    "don't doesn't didn't haven't hasn't hadn't never won't cannot can't couldn't".split()
)
"""They deny what follows up to the end of the clause; the others only up to the next "and"."""

OMISSIONS = frozenset("forgot forgotten forget skipped missed omitted failed neglected".split())
"""Verbs that deny what follows them ("I forgot the gloves")."""

LOOKING = frozenset(
    stem(w) for w in "check look test inspect examine verify assess search ask".split()
)
"""Acts of looking: denied, nothing was looked for, whatever would have been found."""

HALF_DONE = re.compile(
    r" (?:almost|nearly|partly|halfway|barely|hardly"
    r"|(?<!lower )(?<!upper )half"
    r"(?! (?:an? )?(?:turn|twist|rotation|circle|spin|minute|hour|second|inch)s?\b)) "
)
"""Half done is not done; a half turn is a whole one of its kind, a lower half a place."""

BREAKS = frozenset("then but because so before if unless once when though although except".split())
SUPPOSING = frozenset("if unless once when before because".split())
FOLLOWING = frozenset({"then", "so"})
"""Words that go on with a plan: "I'll put it down so it can't roll", "I'm going to ..., then"."""
TELLING = frozenset("told tells explained explain informed said saying announced".split())
"""What follows them may be a plan, but it has been told: "I told him what I'm going to do"."""
PAST = frozenset(
    "was were did had took went came held felt found got made gave kept left saw slid"
    " stood heard bled blew drew ran turned chose wore fed hung i've we've been".split()
)
COMPLAINT = re.compile(
    r" too (?!(?:ill|sick|weak|drowsy|tired|confused) to\b)"
    r"(?!(?:and|are|is|the|my|his|her|its|it|it's|i|we|he|she|so|as|for|in|on|at|with|to|now"
    r"|then|of|a|an|but|because|before|please|coach|there|there's)\b)\w+ "
    r"|(?<! heck)(?<! hell)(?<! crap)"
    r" out of (?!(?:the |his |her )?(?:there|him|her|it|ears?|mouth|nose|airway|throat|nostril"
    r"|cuff|pockets?|cylinder|line|regulator|outlet|date|test|ten|10)\b)"
    r"|^ get out $|^ open wide $"
    r"| full of (?!oxygen|o2|air|gas|it)| bags? of (?!oxygen|o2|air|gas)"
    r"| (?:goes|comes|go|come) (?:on|off|in|out) (?:after|before) "
    r"| side of the (?:room|table|street|bed|hall|class|ambulance) | see from "
    r"|^ (?:i'm|i am|we're|we are) (?:over )?on the "
    r"| (?:i|we) (?:was|were) \w+ing | still (?:closed|shut) | (?:i'm|i am) not sure "
    r"| (?:i|we) (?:can't|cannot|couldn't|won't) stay "
    r"| i (?:wonder|hope|wish|doubt) | my (?:brother|sister|mom|mother|dad|father|girlfriend"
    r"|boyfriend|wife|husband|kids?|son|daughter|dog|cat|uncle|aunt|cousin|house|kitchen"
    r"|home|car) |(?<! told)(?<! tell)(?<! telling)(?<! called)(?<! calling) my boss "
    r"| when i (?:got|came|arrived|started) |^ put .* on me "
    r"| i (?:thought|figured|assumed|imagined) "
    r"| looking for (?:the|my|a|an|your) | on (?:crooked|wrong) "
    r"| told (?:\w+ ){1,2}to (?!breathe|cough|relax|expect|keep|stay|lie|answer|move|nod"
    r"|chew|swallow|hold)"
    r"| (?:i|we) (?:can't|cannot|couldn't|wouldn't|won't|(?:can|could|would) not) (?:really )?say "
    r"| (?:not|isn't) true | don't think (?:that )?(?:i|we) (?:didn't|haven't|don't|did not) "
    r"| don't know (?:if|whether) "
    r"| (?:one|oximeter|monitor|meter|cylinder|tank|regulator|mask|machine) at home "
    r"| nothing (?:good|new|special|interesting|better|fun|to (?:do|wear)) "
)
"""Something that is not as it should be, or that is not about the thing at all."""

AS_A_RULE = re.compile(r" (?:goes|comes|go|come) (?:on|off|in|out) (?:first|last) ")
"""It happens, or is the rule of the order said to oneself: only a person can tell."""

NOT_DONE = re.compile(
    r" (?:i|we) (?:was|were|am|are|got|been) (?:just )?"
    r"(?:told|asked|instructed|reminded|meant|expected|taught|trained) (?:how )?to "
    r"| (?:i'm|we're|i've been|we've been) (?:told|asked|instructed|reminded|meant|expected|taught)"
    r" (?:how )?to "
    r"| (?:i|we)(?:'d| had)? (?:meant|wanted|intended|planned|hoped|wished) to "
    r"| pretend(?:s|ed|ing)? "
    r"| (?:tried|tries|attempted|started|wanted|meant|hoped) to (?!no avail)"
    r"| (?:got|get|getting) (?:a)?round to | (?:didn't|did not|don't) (?:get to|bother) "
    r"| i (?:just )?want (?:the|it|him|her|that|this) "
    r"|^(?!.*(?:began|begun|began|start|came|since|last)).* hours? ago | from before "
    r"| said to (?!him|her|them|the|my|you|us|everybody|everyone)"
    r"| (?:asked|wants|wanted|reminded|taught) (?:me|us) (?:how )?to "
    r"|^(?!my |our ).* (?:was|were) (?:\w+ )?already "
    r"| had (?:let|taken|gone|left|started|stopped|moved|rolled|put) (?:\w+ ){0,2}already "
    r"| (?:was|were) (?:\w+ )+until (?:i|we|he|she|they|it|the) "
    r"| (?:don't|doesn't|do not|does not|didn't|won't) (?:really |even )?matter |^ never mind "
)
"""What was asked, meant or played is not done."""

FAMILY = frozenset(
    "wife husband mother mom father dad son daughter brother sister friend neighbor boyfriend"
    " girlfriend roommate family uncle aunt grandmother grandfather grandma grandpa boss bystander"
    " bystanders neighbors lifeguard teacher police officer".split()
)
"""The patient's people: what they did is not the speaker's doing."""

WITNESSED = frozenset("saw found heard felt noticed called watched was were had".split())
"""What the patient's people saw, and do not do."""

FINDS_FAULT = (" too ", " full of ", " out of ")
"""Of these the fault of a thing, which a step may listen for: "the mask is too small"."""

DATES = frozenset(map(stem, "test date expired hydro hydrostatic stamp stamped".split()))
"""A cylinder's test lies in the past, as does a date that is over: telling so is about now."""

OWN = frozenset("i i'm i've i'll i'd we we're my me mine our us".split())
"""Words of the speaker; a clause with "you" and none of them tells somebody else what to do."""

ELSEWHEN = (
    "last week|last time|last semester|last month|last year|last night|last class|last session|"
    "yesterday|today|this morning|"
    "last shift|last call|last run|the last crew|for the other crew|"
    "for the first crew|the day crew|the night crew|previous crew|day shift|night shift|"
    "the shift before|the last patient|last patient|the next patient|next patient|"
    "the other patient|another patient|"
    "a different patient|previous patient|"
    "years ago|months ago|weeks ago|days ago|a while ago|tomorrow|next week|next time|every time|"
    "next table|other table|next station|other station|next group|other group|next door|"
    "it says press|it says push|machine says press|machine says push|says to press|says to push|"
    "he said|she said|they said|book says|instructor says|instructor said|teacher said|"
    "usually|most days|supposed to|on tv|in the video|for example|imagine|the guy|the girl|"
    "some guy|somebody else|someone else|my roommate|my friend|wait until|not until|"
    "our teacher|the teacher|my teacher|"
    "the instructor|our instructor|the video|the book|the film|somebody|someone|everybody|everyone"
).split("|")
"""Talk of another time or of other people."""

OF_A_LIFE = re.compile(
    r" (?:last time (?:any|some)(?:body|one)|last (?:week|month|year|night|time)|yesterday|today"
    r"|this morning"
    r"|(?:year|month|week|day)s ago|a while ago|he said|she said|they said)(?= )"
)
"""Of these what may be told of the patient, where a history is taken."""

LONG_AGO = re.compile(r" (?:last (?:year|month)|(?:year|month|week)s ago) ")
"""Long enough ago to be a patient's history, and no finding of now."""

AWAY_FROM_ALL = re.compile(
    r" (?:tell|told|telling|warn|warned|warning) every(?:body|one)\b|"
    r"(?<! to)(?<! of)(?<! for)(?<! by)(?<! from)(?<! with)(?<! than)(?<! at)"
    r" every(?:body|one)(?= $)|"
    r" (?:he|she) said (?:it's |that's |it was )?(?:okay|yes|fine)\b|"
    r" (?:he|she) said (?:it|that|this|them) (?:back|after me)\b|"
    r" (?:(?:away|aside|clear)(?: from| of)? (?:every|some|any)(?:body|one)"
    r"|(?:every|some|any)(?:body|one)(?:'s| is| has| have| stays?| stands?| still)*"
    r" (?:clear|touching|touches|let go|lets go|off|away|back)"
    r"|every(?:body|one)(?:'s)? hands off"
    r"|until (?:some|any)(?:body|one) (?:takes|comes|arrives|relieves)"
    r"|every time (?:he|she|the patient|the chest) (?:breathes|inhales|exhales|rises|falls)"
    r"|every(?:body|one)(?:'s| is| are) (?:all |now |already )?"
    r"(?:in (?:position|place|line)|ready|set|at (?:the|his|her|their)|kneeling|standing))\b"
)
"""A direction, a call or what the patient answers, and no talk of other people: "a burst away from
everybody", "everybody is clear", "everyone is in place", "sharp out, everybody", "she said it's
okay"."""

TAKEN_TODAY = re.compile(
    r" (?:nothing|anything|aspirin|nitroglycerin|insulin|pills?|tablets?|medicines?|medications?"
    r"|meds|puffs?)"
    r"(?: at all| so far)? (?:today|this morning)\b"
)
"""What a patient has taken, and no talk of another time, unless the speaker tells of himself."""

QUESTION_HEADS = frozenset(
    "what what's why how when where which who whose whats how's where's who's".split()
)
AUXILIARIES = frozenset(
    "is are was were do does did have has had should shall can could must may would will am".split()
)
SUBJECTS = frozenset("i we you it they he she there this that".split())
DETERMINERS = frozenset("the my your his her its their any a an".split())
REQUESTS = ("hand me", "give me", "pass me", "bring me", "get me", "grab me", "throw me")
"""Words to somebody who is to fetch a thing."""

TELLS = frozenset("tell explain remind show describe".split())
LIMITS = frozenset("only never beyond past until till".split())
"""Words that make a plan a promise ("I'll go only as far as I can see"): a step whose own words
hold one is done by promising it."""

IN_VIEW = frozenset({"see", "sight", "view"})
"""What is kept there is kept from now on, and promising it is doing it."""

DEMANDS = frozenset({"needs", "need"})
"""What is asked for the patient by telling whoever takes over: "she needs to be examined"."""

DEMANDED = re.compile(
    r"\b(?:has to|have to|got to|gotta|needs? to|must|should|ought to) (?:still |really )?"
    r"(?:be (?!\w+ing\b)|get (?!\w+ing\b)|see a |go (?:to|get|see|in)\b)"
)
"""The same in words that else tell of a plan: "she has to be seen by a doctor"."""

OTHERS = frozenset("he she he's she's everybody".split())
CROWD = frozenset("they people students".split())
DOINGS = frozenset(
    "told explained said put took opened closed checked measured inserted placed removed turned"
    " pulled pushed connected attached covered rolled filled set opens closes puts takes turns"
    " tells checks pulls pushes picked chose secured strapped tightened cracked suctioned rinsed"
    " lubricated lubed mounted hooked kinked fitted keeps licked".split()
)
"""What the learner does at the bench; done by anybody else it is no step ("she told him")."""

ASKS = frozenset("is are was were does shall should will would".split())
"""At the head of a clause they ask, whatever follows."""

SENSES = frozenset("see hear feel find notice smell think".split())
"""Verbs that tell even without their "I": "don't hear a leak"."""

SHOWING = re.compile(
    r"\b(?:as )?(?:you(?:'ll)? (?:can |will )?(?:see|notice)|you can hear|you know)\b"
)
"""Said to those who watch; what follows is still the speaker's own doing."""

ADVICE = re.compile(
    r"^(?:tell |never (?:force|do|touch|open|put|use|leave|let|push|stand|go|pull) "
    r"|(?:make|be) sure |remember |always )"
    r"|\bplease (?:put|take|open|close|turn|check|give|hold|pass|move|sit|lie|look|let|keep|wear"
    r"|stay|help|cover|connect|remove) "
)

ASKED_OF_YOU = frozenset("can could would will do did are have should shall may might".split())
"""Before "you" they ask, wherever they stand: "sir, can you open your mouth"."""

ASKED_BY_ME = frozenset(("i asked", "i ask", "i'm asking", "we asked", "we ask", "i've asked"))
"""The beginning of what the speaker asked the patient."""

NEW_STARTS = frozenset("there's it's he's she's that's".split())
GO_ON = frozenset(
    "hope hopes wish"
    " thought sworn think thinks know knows knew bet see sees hear say says said sure feel"
    " believe believes guess until far so sign not told pretend pretending suppose"
    " but no make makes sees checked check".split()
)
"""Words after which such a start goes on with the clause: "I don't think there's a leak"."""

TAKES_A_THING = frozenset(
    "of on in at to for with by from over under onto into through around between behind near"
    " against along across off out about inside outside above below toward towards than both"
    " see seen feel felt hear heard find found watch watching watched checking confirm confirmed"
    " ensure ensured verify verified notice noticed show shows showed shown read reads mean means"
    " have has had got get give gave gives keep keeps kept make made makes take takes took need"
    " needs want wants put puts let lets with without and or nor just only which who whose whom"
    " been be being look looked looking measure measured him her me us them you".split()
)
"""Words after which a thing named goes on with the clause: "see the chest is rising"."""

NOT_A_NEW_NO = frozenset(
    "wait i i'm i've it it's that that's this they sorry thanks we you he she not stop actually"
    " longer more yes no problem problems worries doubt one matter".split()
)
"""Words after a "no" with which it takes back, or goes on with, what stands before it."""

NOT_THINGS = frozenset(
    "i i'm i've yes yeah yep no okay ok well so um uh right sorry wait hey coach done on off in out"
    " up open closed first next now there here good fine check ready it that this he she we stop go"
    " full empty clear".split()
)
"""Words that make a short clause more than a thing named."""

NO_NEW_I_AFTER = frozenset("think believe guess suppose".split())
"""Hedges that a denial or a doing follows in the same clause: "I don't think I forgot it"."""

REPAIRS = frozenset("wait sorry oops whoops correction".split())
"""Words with which something said is put right: what follows is a statement of its own."""

BEFORE_WAITING = frozenset("i we to and just can please no i'm we're so very must should".split())
"""Words after which "wait" and "sorry" are part of what is told: "I wait until it is full"."""

PUT_AWAY = re.compile(
    r" in (?:my|the|his|her) (?:\w+ )?hands? "
    r"| (?:in|on|inside) (?:my|its|the|a) (?:\w+ )?(?:wrapper|package|packet|box|kit|pocket|table"
    r"|bus|train|street|desk|bed|seat|wall|door|car|stretcher|shelf|floor"
    r"|bench|cart|counter|chair|drawer|ambulance|truck|hook|backpack|trunk|sink|dashboard|sofa"
    r"|couch) "
)
"""Where a thing lies before it is used."""

SEATED = re.compile(
    r" (?:man|woman|boy|girl|male|female|lady|guy|patient|he|she|he's|she's|him|her) (?:\w+ ){0,3}"
    r"(?:sitting|sits|sat|slumped|seated|lying|lies) "
)
"""A person there, and no thing that was put away."""

PLACING_WORDS = frozenset(
    "on onto over at under below above across around in into through against to toward with by from"
    " near behind between beside outside inside".split()
)
"""After "not" they tell where, with what or how something is not done."""

PLACES = frozenset(
    "table bed stretcher shelf floor bench cart counter wall box kit hand hands".split()
)
"""Places of it that may be the very place a step asks for: a cylinder lying on the floor."""

PLANS = (
    ("i", "will"),
    ("we", "will"),
    ("i'll",),
    ("we'll",),
    ("going", "to"),
    ("try", "to"),
    ("trying", "to"),
    ("attempting", "to"),
    ("attempt", "to"),
    ("remember", "to"),
    ("gonna",),
    ("gotta",),
    ("wanna",),
    ("about", "to"),
    ("need", "to"),
    ("needs", "to"),
    ("have", "to"),
    ("has", "to"),
    ("should",),
    ("ought", "to"),
    ("must",),
    ("would",),
    ("i'd",),
    ("we'd",),
    ("want", "to"),
    ("let", "me"),
    ("let's",),
    ("i'm", "ready", "to"),
    ("am", "ready", "to"),
    ("next", "i"),
    ("could",),
    ("might",),
    ("may",),
    ("maybe",),
    ("supposed", "to"),
    ("can", "i"),
    ("later",),
)
FIRST_PERSON = frozenset("i i've i'm".split())
NO_NEW_I = frozenset(
    "and that as what where why how because so before after when if than like did do can could"
    " should must may have had will would am was which then but while until till unless whether the"
    " since".split()
)
"""Words after which "I" goes on with the clause: "as far as I can see"."""

NEW_SUBJECTS = frozenset(
    "i i've i'm i'll we it it's they he she there there's that now nobody".split()
)
BE = frozenset("is are was were has have isn't aren't wasn't".split())
LINKS = frozenset("on in of to is it with been being wearing".split())
"""Small words that may stand between a "no" and what it denies."""
