"""Beats as sound: clicks of two pitches, or words, each at its time."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from coach.core.sound import Samples
from coach.trade.pacing import Beat, BeatKind
from coach.trade.wording import cardinal

RATE_HZ = 22_050
CLICK_S = 0.03
PITCH_HZ = {BeatKind.COMPRESSION: 1000.0, BeatKind.BREATH: 600.0}
"""A breath is lower than a compression, so that it is known without looking."""
BREATH_S = 0.25
"""A breath sounds longer than a click."""
PEAK = 0.6
TAIL_S = 0.1
BRISK = 1.4
"""How much faster than ordinary the words of a pace are spoken, to fit between two beats."""

Word: TypeAlias = "Callable[[Beat], Samples | None]"
"""The spoken word of a beat at RATE_HZ; None for a click."""


def clicked(beat: Beat) -> Samples:
    """A short tone that dies away."""
    seconds = BREATH_S if beat.kind is BeatKind.BREATH else CLICK_S
    at = np.arange(round(seconds * RATE_HZ), dtype=np.float32) / RATE_HZ
    tone = np.sin(2 * np.pi * PITCH_HZ[beat.kind] * at) * np.exp(-at * 5.0 / seconds)
    return np.asarray(PEAK * tone, dtype=np.float32)


def spoken_beat(beat: Beat) -> str:
    """The word of a beat: its number, or what is done."""
    return "breath" if beat.kind is BeatKind.BREATH else cardinal(beat.spoken)


def sounded(beats: tuple[Beat, ...], word: Word | None = None) -> Samples:
    """The sound of beats at RATE_HZ, mono in -1..1; a word that is too long is cut at the next."""
    if not beats:
        return np.zeros(0, dtype=np.float32)
    spoken = [word(beat) if word else None for beat in beats]
    sounds = [clicked(b) if said is None else said for b, said in zip(beats, spoken, strict=True)]
    places = [round(beat.at_s * RATE_HZ) for beat in beats]
    whole = np.zeros(places[-1] + len(sounds[-1]) + round(TAIL_S * RATE_HZ), dtype=np.float32)
    for place, following, sound in zip(places, [*places[1:], len(whole)], sounds, strict=True):
        part = sound[: following - place]
        whole[place : place + len(part)] = part
    return whole
