"""How likely it is that what a whole sentence tells of steps is what was told. Pure.

The chance of a text is that of every word in it. In a sentence of one's own there is always a word
that could be another, and the steps it tells of are the same for all of them. So the chance is that
no other text tells of other steps, fitted to how often a sentence told of something that was not
said: 490 sentences by voices and in noises kept from training, those of all skills' dialogues and
others of one's own words at such moments, and talk for others (`python -m
tests.benchmarks.told_steps` fits them to the dialogues' alone).
"""

from __future__ import annotations

import math

from coach.hearing.hypothesis import Shares

OTHERWISE, UNSURE, FIT, FOREIGN, ONE = -0.36, -0.49, 0.14, -1.82, 2.36
"""Weights in nats: of the log odds of the texts that tell of something else, of how unsure the
letters are, of how far the text is from them, of a word that is not known, and of any sentence."""

LEAST_TOLD = 0.85
"""Surer than this what a sentence tells counts, if its words do not. Of those that counted before,
458, 9 told of what was not said; of 20 more none did (each judged by what was fitted to other
voices). Where others talk 0.9 is wanted: 283 were as sure as that before."""

_LEAST_SHARE = 1e-3
"""Less than this no share is told from none: only some texts are looked at."""


def told_chance(shares: Shares, same: float, otherwise: float) -> float:
    """The chance, 0 to 1, of what a sentence tells, of which texts with the share `same` tell, and
    texts with the share `otherwise` of something else; all others tell of nothing.

    It is never more than the part that `same` has of both: so few sentences were heard as two
    things alike that nothing could be fitted to them.
    """
    odds = min(max(otherwise, 0.0) + _LEAST_SHARE, 1.0 - _LEAST_SHARE)
    total = (
        OTHERWISE * math.log(odds / (1.0 - odds))
        + UNSURE * shares.unsure
        + FIT * shares.fit
        + FOREIGN * shares.foreign
        + ONE
    )
    fitted = 1.0 / (1.0 + math.exp(-total))
    return min(fitted, same / max(same + otherwise, _LEAST_SHARE))
