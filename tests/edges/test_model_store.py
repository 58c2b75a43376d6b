"""Models are fetched whole or not at all: broken connections, wrong hashes, archives at hand."""

from __future__ import annotations

import hashlib
import io
import stat
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from coach.core.errors import InputError, MissingError
from coach.edges.data_files import data_folder
from coach.edges.model_receipt import RECEIPT
from coach.edges.model_store import (
    DEFAULT_STAYS,
    ModelEntry,
    ModelFile,
    Source,
    State,
    fetch,
    find_model,
    model_path,
    model_state,
    models_folder,
    read_manifest,
    whole_model,
)

CONTENT = {"weights.bin": bytes(range(256)) * 2000, "config.json": b'{"words": 3}'}


def sha256(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def archive_of(content: dict[str, bytes], inner: str = "wrapped/model/") -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as out:
        for name, body in content.items():
            out.writestr(inner + name, body)
    return packed.getvalue()


ARCHIVE = archive_of(CONTENT)


@dataclass
class Site:
    """Files on a local web server and what was asked of it; `broken_after` cuts answers short."""

    files: dict[str, bytes]
    ranges: bool = True
    broken_after: int | None = None
    asked: list[str | None] = field(default_factory=list)
    address: str = ""


@contextmanager
def serving(site: Site) -> Iterator[Site]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            wanted = self.headers.get("Range")
            site.asked.append(wanted)
            body = site.files.get(self.path.lstrip("/"))
            if body is None:
                self.send_error(404)
                return
            start = int(wanted.removeprefix("bytes=").rstrip("-")) if wanted else 0
            if start and site.ranges and start >= len(body):
                self.send_error(416)
                return
            goes_on = bool(start) and site.ranges
            rest = body[start:] if goes_on else body
            self.send_response(206 if goes_on else 200)
            self.send_header("Content-Length", str(len(rest)))
            self.end_headers()
            self.wfile.write(rest[: site.broken_after])

        def log_message(self, format: str, *args: object) -> None:
            """Nothing on the terminal of the tests."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    site.address = f"http://127.0.0.1:{server.server_port}/"
    try:
        yield site
    finally:
        server.shutdown()
        server.server_close()
        thread.join()


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("COACH_MODELS", str(tmp_path / "models"))
    return tmp_path / "models"


def entry(*sources: Source) -> ModelEntry:
    files = tuple(ModelFile(n, len(body), sha256(body)) for n, body in CONTENT.items())
    return ModelEntry("sample", "whisper", "English", "MIT", "For tests.", files, sources)


def archive_at(address: str) -> Source:
    return Source(address, is_archive=True, size=len(ARCHIVE))


def left_over(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name != "sample")


def assert_whole(folder: Path) -> None:
    assert {p.name: p.read_bytes() for p in (folder / "sample").iterdir()} == CONTENT


def test_an_archive_is_fetched_and_only_the_models_files_are_taken(folder: Path) -> None:
    files = {"a.whl": archive_of({**CONTENT, "code.py": b"import os"})}
    with serving(Site(files)) as site:
        source = Source(site.address + "a.whl", is_archive=True, size=len(files["a.whl"]))
        seen: list[int] = []
        path = fetch(entry(source), progress=lambda there, awaited: seen.append(there))
    assert path == folder / "sample"
    assert_whole(folder)
    assert left_over(folder) == []
    assert seen == sorted(seen)
    assert seen[-1] == len(files["a.whl"])
    assert model_state(entry(), thorough=True) is State.FETCHED


@pytest.mark.parametrize("ranges", [True, False])
def test_a_broken_fetch_is_taken_up_again(folder: Path, ranges: bool) -> None:
    with serving(Site({"a.zip": ARCHIVE}, ranges, broken_after=100_000)) as site:
        model = entry(archive_at(site.address + "a.zip"))
        with pytest.raises(MissingError, match=r"127\.0\.0\.1"):
            fetch(model)
        assert not (folder / "sample").exists()
        part = folder / "sample.0.part"
        held = part.stat().st_size
        assert 0 < held <= 100_000
        site.broken_after = None
        fetch(model)
        assert site.asked == [None, f"bytes={held}-"]
    assert_whole(folder)
    assert left_over(folder) == []


def test_a_part_longer_than_the_file_is_begun_anew(folder: Path) -> None:
    with serving(Site({"a.zip": ARCHIVE})) as site:
        folder.mkdir()
        (folder / "sample.0.part").write_bytes(b"x" * (len(ARCHIVE) + 5))
        unsized = Source(site.address + "a.zip", is_archive=True)
        fetch(entry(unsized))
    assert_whole(folder)


def test_a_wrong_hash_is_never_installed_and_not_gone_on_from(folder: Path) -> None:
    bad = archive_of({**CONTENT, "weights.bin": b"y" * len(CONTENT["weights.bin"])})
    with serving(Site({"a.zip": bad})) as site:
        source = Source(site.address + "a.zip", is_archive=True, size=len(bad))
        with pytest.raises(MissingError, match="SHA-256 differs") as failure:
            fetch(entry(source))
    assert DEFAULT_STAYS in str(failure.value)
    assert left_over(folder) == []
    assert not (folder / "sample").exists()


def test_a_wrong_hash_of_the_whole_archive_is_enough(folder: Path) -> None:
    with serving(Site({"a.zip": ARCHIVE})) as site:
        source = replace(archive_at(site.address + "a.zip"), sha256=sha256(b"another"))
        with pytest.raises(MissingError, match="SHA-256 differs"):
            fetch(entry(source))


def test_the_next_source_is_tried(folder: Path) -> None:
    with serving(Site({"m/" + name: body for name, body in CONTENT.items()})) as site:
        gone = archive_at(site.address + "gone.zip")
        fetch(entry(gone, Source(site.address + "m/", is_archive=False)))
    assert_whole(folder)
    assert left_over(folder) == []


def test_without_a_network_the_host_is_named_and_the_default_remains() -> None:
    closed = Source("http://127.0.0.1:9/some_other_package-1.whl", is_archive=True, size=10)
    with pytest.raises(MissingError) as failure:
        fetch(entry(closed))
    message = str(failure.value)
    assert "sample was not fetched: 127.0.0.1 could not be reached" in message
    assert "--from FILE" in message
    assert DEFAULT_STAYS in message
    assert "some_other_package" not in message, "where the files come from is nobody's name"


def test_a_failed_fetch_leaves_the_old_model_alone(folder: Path, tmp_path: Path) -> None:
    good, bad = tmp_path / "good.zip", tmp_path / "bad.zip"
    good.write_bytes(ARCHIVE)
    bad.write_bytes(archive_of({**CONTENT, "config.json": b"{}"}))
    fetch(entry(), good)
    with pytest.raises(MissingError, match=r"config\.json is not the file it should be"):
        fetch(entry(), bad)
    assert_whole(folder)


def test_a_damaged_model_is_seen_and_fetched_again(folder: Path, tmp_path: Path) -> None:
    good = tmp_path / "good.zip"
    good.write_bytes(ARCHIVE)
    fetch(entry(), good)
    (folder / "sample" / "weights.bin").write_bytes(CONTENT["weights.bin"][:-1])
    assert model_state(entry()) is State.DAMAGED
    (folder / "sample" / "weights.bin").write_bytes(b"z" * len(CONTENT["weights.bin"]))
    assert model_state(entry()) is State.FETCHED, "by size alone"
    assert model_state(entry(), thorough=True) is State.DAMAGED
    with serving(Site({"a.zip": ARCHIVE})) as site:
        fetch(entry(archive_at(site.address + "a.zip")))
    assert_whole(folder)


def test_a_model_without_a_list_of_files_is_unpacked_whole(folder: Path, tmp_path: Path) -> None:
    packed = tmp_path / "vosk.zip"
    packed.write_bytes(archive_of({"am/final.mdl": b"1", "conf/mfcc.conf": b"2"}, "vosk-small/"))
    source = Source("http://127.0.0.1:9/v.zip", True, 9, sha256(packed.read_bytes()))
    model = replace(entry(source), files=())
    fetch(model, packed)
    assert (folder / "sample" / "am" / "final.mdl").read_bytes() == b"1"
    assert model_state(model, thorough=True) is State.FETCHED
    wrong = tmp_path / "wrong.zip"
    wrong.write_bytes(ARCHIVE)
    with pytest.raises(MissingError, match=r"wrong\.zip is not the file it should be"):
        fetch(model, wrong)


def test_damage_in_a_model_that_was_unpacked_whole_is_seen(folder: Path, tmp_path: Path) -> None:
    packed = tmp_path / "vosk.zip"
    packed.write_bytes(archive_of({"am/final.mdl": b"1", "conf/mfcc.conf": b"2"}, "vosk-small/"))
    source = Source("http://127.0.0.1:9/v.zip", True, 9, sha256(packed.read_bytes()))
    model = replace(entry(source), files=())
    inside = folder / "sample" / "am" / "final.mdl"
    for change in (lambda: inside.write_bytes(b"2"), inside.unlink):
        fetch(model, packed)
        assert whole_model(model) == folder / "sample"
        change()
        with pytest.raises(MissingError, match=r"sample .*damaged.*coach models fetch sample"):
            whole_model(model)
    fetch(model, packed)
    (folder / "sample" / RECEIPT).write_text("nonsense")
    assert model_state(model) is State.DAMAGED
    (folder / "sample" / RECEIPT).unlink()
    assert model_state(model, thorough=True) is State.FETCHED, "put there by hand: nothing is known"


def test_a_model_that_is_not_here_says_how_to_get_it(folder: Path) -> None:
    with pytest.raises(MissingError, match="sample is not here: coach models fetch sample"):
        whole_model(entry(archive_at("http://127.0.0.1:9/a.zip")))


@pytest.mark.parametrize("content", [b"", b"no archive", ARCHIVE[:5000]])
def test_what_is_no_archive_is_refused(tmp_path: Path, content: bytes) -> None:
    given = tmp_path / "given.zip"
    given.write_bytes(content)
    with pytest.raises(InputError, match=r"given\.zip is no zip archive or is damaged"):
        fetch(entry(), given)


def test_an_archive_of_something_else_is_refused(tmp_path: Path) -> None:
    given = tmp_path / "photos.zip"
    given.write_bytes(archive_of({"a.jpg": b"1"}))
    with pytest.raises(InputError, match=r"photos\.zip holds no weights\.bin"):
        fetch(entry(), given)
    with pytest.raises(InputError, match="does not exist"):
        fetch(entry(), tmp_path / "none.zip")


def test_a_place_that_cannot_be_written_is_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("COACH_MODELS", str(tmp_path / "file" / "models"))
    good = tmp_path / "good.zip"
    good.write_bytes(ARCHIVE)
    with pytest.raises(MissingError, match=r"could not be written.*COACH_MODELS"):
        fetch(entry(), good)


def test_the_manifest_names_the_model_that_comes_with_the_program() -> None:
    own = find_model("commands")
    assert model_state(own, thorough=True) is State.INSIDE
    assert fetch(own) == model_path(own) == data_folder("models") / "recogniser"


def test_every_other_model_has_a_source_and_hashes() -> None:
    for model in read_manifest():
        assert model.licence
        assert model.inside or model.sources
        assert model.files or all(source.sha256 for source in model.sources)
        hashes = [file.sha256 for file in model.files]
        hashes += [source.sha256 for source in model.sources if source.sha256]
        assert all(len(value) == 64 for value in hashes), model.name
        assert model.size > 1_000_000


def test_an_unknown_model_is_told_with_the_known_names() -> None:
    with pytest.raises(InputError, match="no speech model named large: use one of commands"):
        find_model("large")


def test_a_damaged_manifest_is_told_of(tmp_path: Path) -> None:
    path = tmp_path / "manifest.yaml"
    for content in ("models: [", "models: [{name: x}]", "3"):
        path.write_text(content)
        with pytest.raises(MissingError, match=r"manifest\.yaml is missing or damaged"):
            read_manifest(path)


def test_models_lie_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.delenv("COACH_MODELS")
    monkeypatch.setenv("COACH_DATA", str(tmp_path))
    assert models_folder() == tmp_path / "models"


def test_a_data_folder_that_models_are_fetched_into_first_is_for_its_owner_only(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """What is recorded later lies beside them."""
    monkeypatch.delenv("COACH_MODELS")
    monkeypatch.setenv("COACH_DATA", str(tmp_path / "data"))
    given = tmp_path / "model.zip"
    given.write_bytes(ARCHIVE)
    fetch(entry(), given)
    assert stat.S_IMODE((tmp_path / "data").stat().st_mode) == 0o700
