"""What `coach devices --listen` shows of a hearing check, and keeps of it."""

from __future__ import annotations

import json
import os
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

import click

from coach.app.hearing_check import check_hearing
from coach.edges.audio_devices import Direction, choose_device
from coach.edges.hearing_record import HearingRecord, keep_check, last_check
from coach.edges.settings import Settings, load_settings
from coach.hearing.check import Check, Phrase, advice

ALL_WELL = "You are heard well: there is nothing to change."


def report_hearing(recording: str | None, microphone: str | None, as_json: bool) -> int:
    """Check the hearing and show it; what a microphone brought is kept, as levels and margins."""
    settings = load_settings({"microphone": microphone} if microphone else {}, os.environ)
    # In JSON the captions go beside it, so that the output is one object.
    check = check_hearing(
        settings, Path(recording) if recording else None, lambda line: click.echo(line, err=as_json)
    )
    name = recording or choose_device(Direction.IN, settings.microphone).name
    record = _record(check, name, settings)
    before = last_check(os.environ)
    if as_json:
        click.echo(json.dumps(_as_tree(check, record), indent=2, ensure_ascii=False))
    else:
        _show(check, record)
    heard = any(phrase.heard for phrase in check.phrases)
    if recording is None and heard:
        path = keep_check(record, os.environ)
        if not as_json:
            _show_kept(path, before)
    return 0


def _record(check: Check, microphone: str, settings: Settings) -> HearingRecord:
    levels = check.levels
    return HearingRecord(
        day=datetime.now().astimezone().date().isoformat(),
        microphone=microphone,
        recogniser=settings.engine,
        level_dbfs=_rounded(levels.level_dbfs),
        noise_dbfs=_rounded(levels.noise_dbfs),
        signal_to_noise_db=_rounded(levels.signal_to_noise_db),
        clipped_share=round(levels.clipped_share, 5),
        understood=check.understood,
        asked=len(check.phrases),
        margins={phrase.say: phrase.margin for phrase in check.phrases if phrase.understood},
    )


def _as_tree(check: Check, record: HearingRecord) -> dict[str, object]:
    kept = asdict(record)
    del kept["margins"]
    return {
        **kept,
        "phrases": [
            {**asdict(phrase), "level_dbfs": _rounded(phrase.level_dbfs)}
            for phrase in check.phrases
        ],
        "advice": [asdict(item) for item in advice(check)],
    }


def _show(check: Check, record: HearingRecord) -> None:
    click.echo(f"\nMicrophone      {record.microphone}")
    click.echo(f"Your speech     {_decibels(record.level_dbfs, 'dBFS')}")
    click.echo(f"The room        {_decibels(record.noise_dbfs, 'dBFS')}")
    click.echo(f"Speech to room  {_decibels(record.signal_to_noise_db, 'dB')}")
    click.echo(f"Cut-off tops    {record.clipped_share:.2%} of the speech")
    click.echo(f"Understood      {record.understood} of {record.asked}\n")
    for phrase in check.phrases:
        click.echo(f"  {phrase.say:18} {_outcome(phrase)}")
    click.echo("")
    found = advice(check)
    for item in found:
        click.echo(f"{item.change}\n  {item.because}")
    if not found:
        click.echo(ALL_WELL)


def _outcome(phrase: Phrase) -> str:
    if phrase.heard is None:
        return "not heard"
    mark = "understood" if phrase.understood else "not understood"
    return f'heard "{phrase.heard}": {mark} ({phrase.confidence:.0%} sure)'


def _show_kept(path: Path, before: HearingRecord | None) -> None:
    if before is not None:
        ratio = _decibels(before.signal_to_noise_db, "dB")
        click.echo(
            f"\nLast time, {before.day}, {before.microphone}: {before.understood} of "
            f"{before.asked} understood, speech to room {ratio}."
        )
    click.echo(f"\nOnly these levels are kept, no sound: {path}")


def _decibels(value: float | None, unit: str) -> str:
    return "not measured" if value is None else f"{value:.1f} {unit}"


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 1)
