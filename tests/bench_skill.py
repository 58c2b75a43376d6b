"""A small invented skill for tests of the conversation."""

from __future__ import annotations

from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_text import published_schema
from coach.procedure.parse import parse_skill
from coach.procedure.skill_file import SkillFile

TEXT = """
id: bench
title: Bench skill
minutes: 3
table: [a training cylinder]
sources:
  common: Common practice, no source
settings:
  device:
    asks: Which device?
    default: mask
    because: It is the usual one.
    options:
      mask:
        says: mask
        low: "{no-fact.10}"
        high: "{no-fact.15}"
        sources: [common]
        heard-as: {keys: [face mask]}
      cannula:
        says: cannula
        low: "{no-fact.1}"
        high: "{no-fact.6}"
        sources: [common]
        heard-as: {keys: [nasal cannula]}
steps:
  - id: gloves
    name: your gloves
    say: Put on your gloves.
    why: They keep you clean.
    how: Pull them over the wrists.
    heard-as: {phrases: [my gloves are on], keys: [glove on]}
  - id: washer
    name: the washer
    say: Look at the washer.
    why: A torn one leaks.
    how: Turn it in the light.
    heard-as: {phrases: [the washer is whole], keys: [washer whole/fine/good]}
    aloud: That the washer is whole.
  - id: mount
    name: the regulator
    say: Mount the regulator.
    why: It brings the pressure down.
    how: Hand-tight is enough.
    heard-as: {phrases: [the regulator is on], keys: [regulator on/mounted]}
    after:
      - {step: washer, because: a bad washer leaks, safety: true}
      - {step: gloves, because: hands stay clean}
  - id: gauge
    name: the gauge
    say: Read the gauge aloud.
    why: It tells what is left.
    how: Read it straight on.
    heard-as: {phrases: [i read the gauge], keys: [read gauge]}
    after:
      - {step: mount, because: there is no gauge before, safety: true}
    readings:
      - name: pressure
        quantity: pressure
        unit: psi
        low: "{no-fact.0}"
        high: "{no-fact.2400}"
        ask: What does it read?
        sources: [common]
  - id: flow
    name: the flow
    say: Set the flow and say it.
    why: The device needs it.
    how: Turn the knob to the number.
    heard-as: {phrases: [the flow is set], keys: [set flow]}
    after:
      - {step: mount, because: nothing flows before, safety: true}
    readings:
      - name: flow
        quantity: flow
        unit: L/min
        low: "{device.low}"
        high: "{device.high}"
        ask: What flow is set?
        outside: That is not the flow of this device.
        sources: [common]
  - id: fit
    name: the fit
    say: Put the mask on.
    why: It has to sit.
    how: Start at the nose.
    heard-as: {phrases: [the mask is on], keys: [mask on/fitted]}
    chooses: device
  - id: suction
    name: the suction
    say: Suction and come out.
    why: It clears the mouth.
    how: Only on the way out.
    heard-as: {phrases: [i withdrew the catheter], keys: [withdrew catheter]}
    clock:
      limit-s: "{no-fact.10}"
      start: {phrases: [suctioning]}
      end: {phrases: [out]}
      over: "{no-fact.Ten}: come out."
    sources: [common]
  - id: swap
    name: the swap
    say: Swap the mask for the cannula.
    why: The mask was refused.
    how: One off, one on.
    heard-as: {keys: [swap/swapped mask]}
    complication: refused
complications:
  - id: refused
    after: fit
    announce: The patient pulls the mask off.
    reopens: [flow]
    sets: {device: cannula}
    sources: [common]
"""


def bench_skill(text: str = TEXT) -> SkillFile:
    """The skill, or another text of that id, read as any other."""
    table = facts_for(program_facts().parent)
    parsed = parse_skill(text, "bench.yaml", published_schema("skill.schema.json"), table)
    assert parsed.skill_file is not None, parsed.problems
    return parsed.skill_file
