"""The everyday words for each command and answer, as short templates; `help` reads from them."""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.meaning import Command

UNSURE_TEMPLATES: tuple[str, ...] = (
    "i [don't|do not] know",
    "[i|] dunno",
    "[i have|i've got|i've|] no [idea|clue]",
    "[i'm|i am] not sure what to do [now|next|]",
    "[i've|i have] gone blank",
    "my mind [is|has gone|went|just went] blank",
    "[my mind's|my mind has] gone blank",
    "i [can't|cannot|don't] remember",
)
"""Who says so wants help with the step in hand, unless a yes or no was asked for."""

COMMAND_TEMPLATES: Mapping[Command, tuple[str, ...]] = {
    Command.NEXT: (
        "next",
        "[the|] next [one|step|thing]",
        "[what's|what is|whats|what comes|what's coming] next",
        "[what's|what is] the next [step|one|thing]",
        "what do i do [next|now]",
        "what [should i|must i|do i have to] do [next|now]",
        "what now",
        "[tell me|give me] the next [step|one]",
        "where [am i|are we|was i]",
    ),
    Command.BACK: (
        "back",
        "[go|step|move|take me] back",
        "[go|take me] back [one|a step|one step]",
        "[back up|one back|one step back|back one]",
        "[the|] [previous|last] [step|one]",
        "[go|take me] [back|] to the [previous|last] [step|one]",
    ),
    Command.REPEAT: (
        "repeat",
        "[repeat|say] [that|it|this] [again|once more|one more time|]",
        "[can|could|would] you [repeat|say] [that|it] [again|]",
        "say again",
        "[again|once more|one more time|pardon|pardon me|come again|excuse me|huh|what]",
        "[what|what was] that",
        "what did you [say|just say]",
        "i [didn't|did not] [hear|catch|get] [that|you|it]",
        "[i|] missed that",
        "i beg your pardon",
        "[go|run] over that again",
        "tell me again",
    ),
    Command.WHY: (
        "why",
        "why [is that|that|this|so|not|do that|do this]",
        "why [do|should|must|would] [i|we|you] [do|need] [that|this|it]",
        "why [do|should|must] [i|we] [do that|do this|bother]",
        "why is [that|this|it] [important|necessary|needed|done]",
        "why does [that|this|it] matter",
        "[what|what's that|what is that|what's it|what is it|what's this] for",
        "[what's|what is] the [reason|point|purpose]",
        "[what's|what is] the [reason|point|purpose] [for|of] [that|this]",
        "[tell me|explain] why",
        "for what [reason|purpose]",
    ),
    Command.HOW: (
        "how",
        "how [so|exactly|is that done|is it done|is this done]",
        "how [do|should|can|would|must] [i|we|you] [do|] [that|this|it]",
        "how [do|should|can] [i|we] do [that|this|it]",
        "[show|tell] me how",
        "[tell me|say|explain] [more|in more words|in detail|in more detail]",
        "[can|could] you [explain|explain that|explain it|say more|tell me more]",
        "[explain|explain that|explain it|explain this|more detail|more details|in more detail]",
        "what do you mean",
        "i don't [understand|know how|get it]",
        "[give me|] [a|some|] more detail",
        "how does [that|this|it] work",
        "[give me|i need] a hint",
    ),
    Command.LEFT: (
        "[what's|what is|whats|what else is] [left|missing|remaining|open|still open]",
        "[what's|what is] [still|] left to do",
        "[what's|what is] still [to do|missing|left|to be done|open]",
        "what [remains|is still to do|remains to be done|else]",
        "what [have|did] i [missed|miss|forgotten|forget|left out|leave out]",
        "what [do i|have i] [still|] [have to do|need to do|got left]",
        "what do i still [have to do|need to do|need|have left]",
        "how [many|much] [steps are|is|more is|more steps are] [left|left to do|missing]",
        "how many [steps|more steps] [to go|left]",
        "how [much|many] more",
        "what [steps are|else is] [left|missing|open|to do]",
        "[anything|is there anything] [left|else|missing]",
        "[the|] remaining steps",
        "am i [done|finished]",
    ),
    Command.TIME: (
        "time",
        "[time check|the time|check the time]",
        "[what's|what is] the time",
        "how long [have i|have we|do i|do we] [got|have|have left|got left]",
        "how long [have i got left|do we have left|have i|is left]",
        "how much [time|longer] [is left|do i have|do we have|have i got|left|]",
        "how much time [do i have left|have i got left|has passed|have i used|have i taken]",
        "how many minutes [are left|left|do i have|have i got|of oxygen|]",
        "how many minutes of oxygen [are left|do i have|have i got|left]",
        "how much oxygen [is left|do i have|have i got|left|do i have left|have i got left]",
        "how long [will|does] [the|my|this|] [oxygen|cylinder|tank|it|that] last",
        "how long will [the|my] [oxygen|cylinder|tank] hold",
        "how long [has it been|have i been at it|did i take|have i taken]",
        "[the|] time [left|remaining]",
        "[the|] [remaining|] oxygen [left|remaining|time]",
    ),
    Command.SKIP: (
        "skip",
        "skip [it|this|that|this one|that one|this step|that step|the step|ahead]",
        "[leave|let's leave] [it|this|that|this one] [out|]",
        "[pass|pass on that|move on|leave it out|leave that out]",
        "[can|could] [we|i] skip [it|this|that|this one|this step]",
        "[let's|i want to|i'd like to|i'll] skip [it|this|that|this one|this step]",
    ),
    Command.PAUSE: (
        "[pause|wait|hold on|hang on|hold it|stand by|standby|be quiet]",
        "wait [a|one|just a] [second|moment|minute|bit|sec]",
        "[just a|one|just one|give me a|give me one|hold on a] [second|moment|minute|sec]",
        "[take a|i need a] [break|pause]",
        "[pause|wait] [here|there|for me|the session]",
        "not so fast",
        "[let me|i need to] think",
        "[stop|quit] talking",
    ),
    Command.RESUME: (
        "[resume|continue|go|go on|go ahead|carry on|proceed|keep going|begin|start|ready]",
        "[i'm|i am|im|we're|we are|okay i'm] [ready|back|set|good to go]",
        "[i'm|i am] ready [to start|to go|to begin|now|to go on]",
        "[all set|set|ready|okay|right|] [let's|let us|we can|i want to]"
        " [go|begin|start|continue|go on|get started|carry on]",
        "[all set|set|ready|okay|right|] let's do [it|this]",
        "[start|begin] [now|the session|the skill|practice|practicing]",
        "[i'm|i am] all set",
        "ready when you are",
        "[all set|ready to go|good to go|ready to start|ready now|back again]",
        "[okay|] i think [i'm|i am|we're|we are] ready",
        "[go on|continue|carry on] [with it|now|then]",
    ),
    Command.RESTART: (
        "[restart|start over|start again|begin again|start afresh|do over]",
        "[let's|can we|i want to|i'd like to|let me] [restart|start over|start again|begin again]",
        "[start|begin|go|take it|back|once more|again|] from the [top|beginning|start]",
        "[go back|back] to the [start|beginning|top]",
        "[start over|start again|restart] [from the beginning|from the top|the skill|everything]",
    ),
    Command.UNDO: (
        "[undo|undo that|undo it|undo this|undo the last one|undo the last step]",
        "i [didn't|did not|haven't|have not|never] [do|done|did|say|said|mean] [that|it|this]",
        "i [didn't|did not] [do|say|mean] [that|it|this] [yet|one|at all]",
        "i [haven't|have not] done [that|it|this] yet",
        "[that's|that is|thats|that was] not what i [said|meant|did|told you]",
        "not what i [said|meant]",
        "[take|] [that|it] back",
        "take [that|it] back",
        "[scratch|cancel|delete|forget|strike] [that|it|that one]",
        "you [misheard|misunderstood|heard wrong|got that wrong|got me wrong]",
        "you [misheard|misunderstood] me",
        "[that|it] [wasn't|was not] [me|done|right]",
        "[that|it] was [wrong|a mistake|my mistake]",
        "[that's|that is] [not done|not done yet|a mistake]",
    ),
    Command.HELP: (
        "[help|help me|commands|options]",
        "what can [i|you] [say|do|ask]",
        "what [are my options|are the commands|words can i use|do i say]",
        "[i need|give me] [some|] help",
        "[what|which] commands [are there|do you know|can i use]",
        "list [the|] commands",
    ),
    Command.STOP: (
        "[stop|end|quit|exit|finish|cease]",
        "stop [it|this|here|now|the session|practice|there|everything|please]",
        "[end|quit|finish|close] [it|this|here|now|the session|session|practice]",
        "[let's|i want to|i'd like to|can we|we can|i need to] [stop|end|quit|finish]",
        "[let's|i want to|can we] [stop|end it|finish] here",
        "[that's|that is] [enough|all for today|it for today|enough for today]",
        "[i'm|i am] done for today",
        "[enough|no more|abort]",
    ),
    Command.SLOWER: (
        "[slower|more slowly|slow down|too fast|not so quick]",
        "[speak|talk|say it|go|can you speak|could you speak] [slower|more slowly]",
        "a [bit|little] slower",
        "[you're|you are|that's|that was] too fast",
    ),
    Command.FASTER: (
        "[faster|more quickly|speed up|quicker|too slow]",
        "[speak|talk|go|can you speak|could you speak] [faster|quicker|more quickly]",
        "a [bit|little] faster",
        "[you're|you are|that's|that was] too slow",
    ),
    Command.LOUDER: (
        "[louder|speak up|more volume|too quiet|turn it up|volume up]",
        "[speak|talk|can you speak|could you speak] [louder|up]",
        "a [bit|little] louder",
        "i [can't|cannot|can not|can hardly|can barely] hear you",
        "[you're|you are|that's] too [quiet|soft]",
    ),
    Command.SOFTER: (
        "[softer|quieter|less volume|too loud|turn it down|volume down|not so loud]",
        "[speak|talk|can you speak] [softer|quieter|more quietly]",
        "a [bit|little] [softer|quieter]",
        "[you're|you are|that's] too loud",
        "[lower|keep] your voice [down|]",
    ),
    Command.SHORTER: (
        "[shorter|briefer|be brief|less talk|less talking|talk less|fewer words|too long]",
        "[keep it|make it|be] [short|shorter|brief|briefer]",
        "[you're|you are] talking too much",
        "[use|in] fewer words",
    ),
    Command.LONGER: (
        "[longer|more words|full sentences|too short]",
        "[make it|be] longer",
        "[say|talk] more again",
    ),
}
"""What a learner may say for each command; `help` reads from it and a recogniser is told of it."""

QUIET_PHRASES: tuple[str, ...] = (
    "this is real",
    "this is for real",
    "this is a real emergency",
    "this is a real patient",
    "this is an actual emergency",
    "real emergency",
    "real patient",
    "this is not a drill",
    "this is not practice",
    "this isn't a drill",
    "this isn't practice",
    "not a drill",
    "it's real",
    "it's for real",
    "it is for real",
    "it is real",
    "for real now",
)
"""Heard anywhere in an utterance they silence the coach: a missed one is worse than a false one."""

YES_TEMPLATES: tuple[str, ...] = (
    "[yes|yeah|yep|yup|yes yes|aye|correct|affirmative|sure|exactly|true|roger|confirmed]",
    "[that's|that is|thats|it's|it is] [correct|right|true|it]",
    "[yes|yeah|yep] [it is|i did|i do|i have|i am|it does|they are|please|sir|ma'am|i can|we did]",
    "[yes|yeah] [that's|that is|it's] [correct|right|it|true]",
    "[of course|uh huh|mm hmm|mhm|absolutely|definitely|i did|it is|i have|you got it|go for it]",
    "[yes|] [i'm|i am] sure",
)
OKAY_TEMPLATES: tuple[str, ...] = (
    "[okay|ok|right|all right|alright|fine|good|great|sounds good|that's fine|that's good]",
    "[that's what i said|i said so|you heard right|you got that right]",
    "[that's|that is] [it|what it says|what it reads|what i see|a yes|okay]",
    "[perfect|indeed|precisely|ten four|copy|copy that|you bet|very good|you're right]",
    "[yes|yeah|yep|yup] [right|correct|exactly|sure|okay|of course|indeed|that's what i said]",
    "[done|it's done|it is done|i've done it|i have done it|did it|i did it|i did that|finished]",
)
"""A yes only where a yes or no has just been asked for."""

HEDGED_TEMPLATES: tuple[str, ...] = (
    "[i think so|i believe so|i guess so|i suppose so|probably|perhaps|maybe|more or less]",
)
"""No answer to a yes or no: a plain one is asked for. A recogniser is told of it all the same, lest
it hear a plain yes instead."""

NO_TEMPLATES: tuple[str, ...] = (
    "[no|nope|nah|no no|negative|wrong|incorrect|false|not yet|not really|not at all|no way]",
    "[that's|that is|thats|it's|it is] [wrong|incorrect|not right|not correct|false|not it]",
    "[no|nope] [it isn't|it's not|it is not|i didn't|i did not|i haven't|i don't|thanks|not yet]",
    "[no|nope] [that's|that is|it's|it is] [wrong|not right|incorrect|not correct|not it]",
    "[no|nope] [i have not|they aren't|they are not|thank you|sir|ma'am|i do not|i am not|i'm not]",
    "[i don't think so|of course not|certainly not|i'm not sure|not correct|not right]",
    "[it isn't|it is not|it's not|i did not|i didn't|i haven't|i have not]",
    "[not exactly|not quite|absolutely not|definitely not|that's a no|i said no|no it's not]",
    "[no|] [that|it] [isn't|is not] [right|it|correct]",
    "[no|] not [that|this|that one|right|correct]",
)

DONE_TEMPLATES: tuple[str, ...] = (
    "[done|finished|completed|complete|check|did it|done it|all done|got it|i got it|got that]",
    "[that's|that is|it's|it is|this is|that step is|this step is|step] [done|finished|complete]",
    "[i'm|i am|we're] [done|finished] [with that|with it|with this|]",
    "[i've|i have] [done|finished|completed|got] [that|it|this|the step|this step|that step]",
    "i [did|finished|completed] [that|it|this|the step|this step]",
    "[that's|it's|that is] been done",
    "[okay|ok|yes|yeah] [done|finished|i did that|i did it|that's done|it's done]",
)
"""A step was done, without a word on which."""

FINISHED_TEMPLATES: tuple[str, ...] = (
    "[i'm|i am|we're|we are] [all|] [done|finished|through] [now|]",
    "[i'm|i am|we're] [done|finished|through] with [everything|all of it|it all]",
    "[i think|i believe|i guess] [i'm|i am|we're] [all|] [done|finished|through]",
    "[that's|that is|that was] [all|everything|all of it]",
    "[i've|i have|we've] [done|finished] [everything|it all|all of it]",
    "all [done|finished]",
)
"""Said to a coach who keeps quiet they end the attempt, as "finish" does: it asks first. To one who
leads, most of them tell of the step in hand."""

FILLERS = frozenset(
    "okay|ok|all right|alright|um|uh|er|ah|oh|hm|hmm|mm|well|so|and|thanks|thank you|good|great|"
    "fine|nice|cool|okay okay|let me see|let's see|one second okay|coach|right then|i see".split(
        "|"
    )
)
"""Said to nobody in particular; answered by nothing."""
