"""A meaning as the JSON fields that `understand`, `hear` and `practice --json` share."""

from __future__ import annotations

from typing import Any

from coach.core.meaning import Meaning


def meaning_fields(meaning: Meaning) -> dict[str, Any]:
    """All fields, null where absent; of several readings the first is shown."""
    reading = meaning.readings[0] if meaning.readings else None
    value: Any = None
    if reading is not None:
        numbers = [int(v) if float(v).is_integer() else v for v in reading.values]
        value = numbers[0] if len(numbers) == 1 else numbers
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
    if meaning.likely:
        parts.append(f"perhaps about {' or '.join(meaning.likely)}")
    return "; ".join(parts)
