"""An invented skill that uses everything a skill file may hold, and how to read it in tests."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from coach.procedure.parse import ParsedSkill, parse_skill

PROCEDURES = Path(__file__).parents[2] / "procedures"
SKILL_SCHEMA: dict[str, Any] = json.loads((PROCEDURES / "skill.schema.json").read_text("utf-8"))
DIALOGUES_SCHEMA: dict[str, Any] = json.loads(
    (PROCEDURES / "dialogues.schema.json").read_text("utf-8")
)

SAMPLE = """\
id: sample-skill
title: Sample skill
minutes: 5
table: [an adult manikin, gloves, "a mask for {patient}"]
cautions: [Practice on a manikin only.]
sources:
  invented: "An invented table, first edition"
  common: "Common practice, no source"
settings:
  patient:
    asks: Which patient are you practising for?
    default: adult
    because: Most crews meet adults first.
    options:
      adult: {says: an adult, limit: 10, most: 15, sources: [invented]}
      infant:
        says: an infant
        limit: 5.0
        most: 6
        sources: [invented]
  device:
    asks: Which device do you use?
    default: mask
    because: The mask is on the table.
    options:
      mask: {says: the mask, heard-as: {phrases: [the mask], keys: [mask]}}
      cannula: {says: the cannula, heard-as: {keys: [cannula/prongs]}}
steps:
  - id: gloves
    name: your gloves
    say: Put on your gloves.
    why: They keep you and the manikin clean.
    how: Pull them over the cuffs.
    heard-as: {phrases: [my gloves are on], keys: [glove on/wearing]}
  - id: gauge
    name: the gauge
    say: Read the gauge.
    why: It tells what is left for {patient}.
    how: Read the number aloud.
    heard-as: {keys: [gauge]}
    after:
      - {step: gloves, because: grease and oxygen do not mix, safety: true}
    readings:
      - name: pressure
        quantity: pressure
        unit: psi
        low: 500
        high: 2400
        ask: What does the gauge read?
        outside: Change the cylinder.
        sources: [invented]
      - {name: flow, quantity: flow, unit: L/min, low: 1, high: "{patient.most}", ask: "What flow?"}
    sources: [invented]
  - id: fit
    name: the fit
    say: Fit {device} on {patient}.
    why: It brings the oxygen.
    how: Hold it for a moment.
    heard-as: {phrases: [it fits], keys: [fit], absent: [leak]}
    chooses: device
    after:
      - {step: gauge, because: you need oxygen first}
    variants:
      - when: {patient: infant}
        say: Fit {device} gently on {patient}.
        cautions: [Be gentle.]
  - id: suction
    name: the suction
    say: Clear the mouth.
    why: Nothing may block it.
    how: At most {patient.limit} seconds.
    heard-as: {keys: [mouth clear]}
    when: {patient: [adult, infant]}
    clock:
      limit-s: "{patient.limit}"
      start: {phrases: [suctioning]}
      end: {phrases: [out]}
      over: Come out now.
    sources: [invented]
  - id: calm
    name: a calm word
    say: Calm the patient.
    why: Fear makes it worse.
    how: Speak slowly.
    aloud: Say what you are doing.
    heard-as: {phrases: [I calm them]}
    complication: refused
    after: [{step: fit, because: you tried it}]
complications:
  - id: refused
    after: fit
    announce: "{patient} pulls {device} off."
    reopens: [fit]
    sets: {device: cannula}
    sources: [common]
"""

TALK = """\
- name: suggested order
  settings: {patient: infant}
  seed: 3.0
  region: uk
  cylinder: CD
  reserve: 150.5
  turns:
    - learner: I'm ready.
      means: {command: resume}
      coach: gloves
      step: gloves
    - silence: 2.5
      coach: [gloves, put on]
      never: done
    - key: yes
    - learner: no
      means: {kind: answer, answer: no, steps: [], negated: [fit], value: 15, unit: L/min}
  ends:
    done: [gloves]
    missed: []
    oxygen_minutes: 16
- name: nothing but a key
  turns:
    - key: next
"""


def parsed(text: str = SAMPLE, file: str = "folder/sample-skill.yaml") -> ParsedSkill:
    """The sample, or another text, read under a name."""
    return parse_skill(text, file, SKILL_SCHEMA)


def line_of(snippet: str, text: str) -> int:
    """The line (from 1) on which a snippet begins; it must occur exactly once."""
    assert text.count(snippet) == 1, f"{snippet!r} occurs {text.count(snippet)} times"
    return text.count("\n", 0, text.index(snippet)) + 1
