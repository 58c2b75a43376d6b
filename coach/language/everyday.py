"""Things that lie on no station: a statement with one of them is talk, and credits nothing."""

from __future__ import annotations

EVERYDAY = frozenset(
    "phone phones email emails mail mailbox office wifi internet computer laptop tv"
    " television radio movie movies film music concert game games party lunch breakfast dinner"
    " coffee pizza sandwich snack snacks beer yogurt milk bus car cars bike train traffic"
    " parking house kitchen bathroom garage garden school class classroom homework quiz"
    " semester locker door doors fridge oven dog dogs cat cats"
    " girlfriend boyfriend brother sister mom mum dad uncle aunt cousin friend friends"
    " roommate money dollars bucks price weather rain snow"
    " pencil book books printer weekend monday tuesday wednesday thursday friday saturday"
    " sunday vacation holiday shopping bank police wedding birthday toilet sofa desk"
    " lamp wallet purse backpack ticket tickets airport hotel plane beach gym football soccer"
    " basketball baseball hockey tennis song songs guitar photo photos camera app website"
    " password charger news newspaper magazine rent job boss salary lawyer neighbor neighbors"
    " landlord grandma grandpa nephew niece apple banana bread cheese chocolate candy cake"
    " soup salad eggs rice juice soda wine tea cookies chips umbrella"
    " market restaurant church library museum street road city town building elevator"
    " stairs hallway basement apartment story joke secret dream schedule meeting appointment"
    " mondays tuesdays wednesdays thursdays fridays saturdays sundays"
    " grandfather grandmother project laundry dishes fork knife".split()
)
"""Nouns of home, school, travel and meals: talk, unless an open step has them for its own."""
