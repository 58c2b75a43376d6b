"""A meaning told: as the JSON fields that all commands and dialogue files share, and in a line."""

from __future__ import annotations

from coach.core.meaning import Meaning
from coach.core.plain import Plain, one_or_all


def meaning_fields(meaning: Meaning) -> dict[str, Plain]:
    """All fields, null where absent; of several readings the first is shown."""
    reading = meaning.readings[0] if meaning.readings else None
    value: Plain = None
    if reading is not None:
        value = one_or_all([int(v) if float(v).is_integer() else v for v in reading.values])
    return {
        "kind": str(meaning.kind),
        "command": str(meaning.command) if meaning.command else None,
        "answer": meaning.answer,
        "steps": [mention.step for mention in meaning.steps] or None,
        "negated": any(mention.denied for mention in meaning.steps) if meaning.steps else None,
        "quantity": str(reading.quantity) if reading else None,
        "value": value,
        "unit": str(reading.unit) if reading else None,
        "doubt": str(reading.doubt) if reading and reading.doubt else None,
        "confidence": meaning.confidence,
        "text": meaning.text,
        "file": None,
        "error": None,
    }


def meaning_words(meaning: Meaning) -> str:
    """The meaning in a line for people."""
    parts = [str(meaning.kind)]
    if meaning.command:
        parts.append(f"command {meaning.command}")
    if meaning.answer:
        parts.append(f"answer {meaning.answer}")
    for mention in meaning.steps:
        parts.append(f"step {mention.step}{' (not done)' if mention.denied else ''}")
    for reading in meaning.readings:
        numbers = "/".join(f"{value:g}" for value in reading.values)
        doubt = f" ({reading.doubt}: would need a yes)" if reading.doubt else ""
        parts.append(f"{reading.quantity} {numbers} {reading.unit}{doubt}")
    if meaning.cylinder:
        parts.append(f"the cylinder: {meaning.cylinder}")
    for doubtful in meaning.doubted:
        why = f": {', '.join(doubtful.words)}" if doubtful.words else ""
        parts.append(f"step {doubtful.step} told in doubtful words{why}")
    if meaning.likely:
        parts.append(f"perhaps about {' or '.join(meaning.likely)}")
    return "; ".join(parts)
