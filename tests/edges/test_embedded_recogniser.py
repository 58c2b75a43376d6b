"""Our own recogniser on synthetic and real speech; a damaged or foreign model is told of."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from coach.core.errors import MissingError
from coach.core.meaning import YES_NO
from coach.core.sound import SAMPLE_RATE_HZ, Samples
from coach.core.units import Quantity, Unit
from coach.edges import embedded_recogniser, model_store
from coach.edges.acoustic_model import AcousticModel
from coach.edges.convert import convert
from coach.edges.data_files import data_folder
from coach.edges.embedded_recogniser import (
    EmbeddedRecogniser,
    own_model,
    read_calibration,
    read_lexicon,
)
from coach.edges.wave_file import read_recording
from coach.hearing.hypothesis import Hint
from coach.trade.wording import unit_words


@pytest.fixture(scope="module")
def recogniser() -> EmbeddedRecogniser:
    return EmbeddedRecogniser()


def spoken(text: str) -> Samples:
    """The text by espeak-ng; skips where it is not installed."""
    import soundfile

    program = shutil.which("espeak-ng")
    if program is None:
        pytest.skip("espeak-ng is not installed: no synthetic speech to hear")
    run = [program, "-v", "en-us+m3", "-s", "150", "--stdout", text]
    sound = subprocess.run(run, capture_output=True, check=True).stdout
    frames, rate_hz = soundfile.read(io.BytesIO(sound), dtype="float32")
    return convert(frames, rate_hz)


@pytest.mark.parametrize(
    ("said", "expect", "text"),
    [
        ("yes", YES_NO, "yes"),
        ("no", YES_NO, "no"),
        ("stop", None, "stop"),
        ("say that again", None, "say that again"),
        ("seventeen hundred P S I", Quantity.PRESSURE, "seventeen hundred psi"),
        ("one seven zero zero", Quantity.PRESSURE, "one seven zero zero"),
        ("fifteen liters", Quantity.FLOW, "fifteen liters"),
        *(
            (f"fifty two {unit}", quantity, f"fifty two {unit}")
            for quantity, unit in (
                (Quantity.GLUCOSE, "milligrams per deciliter"),
                (Quantity.AIRWAY_PRESSURE, "centimeters of water"),
            )
        ),
        ("fifty liters", Quantity.FLOW, "fifty liters"),
    ],
)
def test_synthetic_speech_is_heard(
    recogniser: EmbeddedRecogniser, said: str, expect: Quantity | str | None, text: str
) -> None:
    heard = recogniser.hear(spoken(said), Hint(expect))
    assert heard.text == text
    assert heard.confidence > 0.7


@pytest.mark.parametrize("unit", Unit)
def test_the_words_of_every_unit_are_words(unit: Unit) -> None:
    """A unit that is none comes back as it sounded and takes the number along."""
    if unit is Unit.COUNTED:
        return
    said = {*unit_words(unit, 1).lower().split(), *unit_words(unit, 2).lower().split()}
    known = read_lexicon()
    assert {word for word in said if len(word) > 1} <= known.units | known.words


def test_a_sentence_of_another_trade_is_not_taken_for_a_command(
    recogniser: EmbeddedRecogniser,
) -> None:
    heard = recogniser.hear(spoken("grandma bought yellow umbrellas"), Hint(YES_NO))
    assert heard.text not in {"", *read_lexicon().agreeing, *read_lexicon().refusing}
    assert heard.confidence < 0.6


@pytest.mark.parametrize("seconds", [0.0, 0.005, 1.0, 25.0])
def test_silence_of_any_length_is_an_empty_text(
    recogniser: EmbeddedRecogniser, seconds: float
) -> None:
    samples = np.zeros(int(seconds * SAMPLE_RATE_HZ), np.float32)
    heard = recogniser.hear(samples, Hint(Quantity.PRESSURE))
    assert (heard.text, heard.confidence) == ("", 0.0)
    assert heard.lasted_s == pytest.approx(seconds)


def test_hiss_is_an_empty_text(recogniser: EmbeddedRecogniser) -> None:
    rng = np.random.default_rng(2)
    hiss = (rng.standard_normal(2 * SAMPLE_RATE_HZ) * 0.05).astype(np.float32)
    assert recogniser.hear(hiss, Hint(YES_NO)).text == ""


def test_more_than_eleven_seconds_are_heard_in_pieces(recogniser: EmbeddedRecogniser) -> None:
    gap = np.zeros(int(2.5 * SAMPLE_RATE_HZ), np.float32)
    said = ["next step", "say that again", "how long have i got", "stop"]
    sound = np.concatenate([piece for text in said for piece in (gap, spoken(text))])
    assert len(sound) > 11 * SAMPLE_RATE_HZ
    assert recogniser.hear(sound, Hint()).text == " ".join(said)


def test_the_same_sound_gives_the_same_answer(recogniser: EmbeddedRecogniser) -> None:
    sound = spoken("open the valve slowly")
    assert recogniser.hear(sound, Hint()) == recogniser.hear(sound, Hint())


def test_real_people_are_heard() -> None:
    """Ten clips of each word (Speech Commands v0.02 test files, Warden 2018): nine at least."""
    told = os.environ.get("COACH_SPEECH")
    folder = Path(told) if told else Path(__file__).parents[3] / "shared" / "speech"
    if not (folder / "words" / "yes").is_dir():
        pytest.skip(f"no recordings of people in {folder}: set COACH_SPEECH")
    recogniser = EmbeddedRecogniser()
    for word in ("yes", "no", "stop"):
        clips = sorted((folder / "words" / word).glob("*.wav"))[:10]
        heard = [recogniser.hear(read_recording(clip), Hint()).text for clip in clips]
        assert heard.count(word) >= 9, heard


def test_a_damaged_model_is_told_of_with_a_way_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shutil.copytree(data_folder("models"), tmp_path / "models", ignore=shutil.ignore_patterns("t*"))
    model = tmp_path / "models" / "recogniser" / "commands_en.onnx"
    content = bytearray(model.read_bytes())
    content[len(content) // 2] ^= 1
    model.write_bytes(bytes(content))
    for module in (embedded_recogniser, model_store):
        monkeypatch.setattr(module, "data_folder", lambda name: tmp_path / name)
    with pytest.raises(MissingError, match=r"damaged.*install the program again, or type"):
        own_model()
    model.unlink()
    with pytest.raises(MissingError, match="missing or damaged"):
        EmbeddedRecogniser()


def test_a_calibration_of_another_model_is_refused(tmp_path: Path) -> None:
    model = tmp_path / "commands_en.onnx"
    shutil.copy(own_model(), model)
    with pytest.raises(MissingError, match=r"calibration\.yaml.*is missing or damaged"):
        EmbeddedRecogniser(model)
    calibration = own_model().with_name("calibration.yaml").read_text(encoding="utf-8")
    (tmp_path / "calibration.yaml").write_text(calibration, encoding="utf-8")
    EmbeddedRecogniser(model)
    other = calibration.replace(read_calibration(model).model, "a" * 64)
    (tmp_path / "calibration.yaml").write_text(other, encoding="utf-8")
    with pytest.raises(MissingError, match=r"fitted to another speech model.*fit it anew"):
        EmbeddedRecogniser(model)
    (tmp_path / "calibration.yaml").write_text("model: [", encoding="utf-8")
    with pytest.raises(MissingError, match="missing or damaged"):
        EmbeddedRecogniser(model)


def test_a_damaged_lexicon_is_told_of(tmp_path: Path) -> None:
    lexicon = tmp_path / "lexicon.yaml"
    for content in ("digits: [one", "digits: one", "\x00"):
        lexicon.write_text(content, encoding="utf-8")
        with pytest.raises(MissingError, match=r"lexicon\.yaml is missing or damaged"):
            read_lexicon(lexicon)
    with pytest.raises(MissingError, match=r"none\.yaml is missing or damaged"):
        read_lexicon(tmp_path / "none.yaml")


def test_what_is_no_model_is_refused(tmp_path: Path) -> None:
    text = tmp_path / "notes.onnx"
    text.write_text("not a network")
    with pytest.raises(MissingError, match=r"notes\.onnx is no speech model"):
        AcousticModel(text)
    with pytest.raises(MissingError, match="does not exist"):
        AcousticModel(tmp_path / "none.onnx")


def test_too_long_a_window_is_refused() -> None:
    with pytest.raises(ValueError, match=r"at most 11\.0 s"):
        AcousticModel(own_model()).log_probabilities(np.zeros(12 * SAMPLE_RATE_HZ, np.float32))
