"""YAML text with its places kept."""

import os
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sketcher.model.document import DEPTH_LIMIT, Mapping, Scalar, compose, read_document
from sketcher.model.errors import SketchError
from sketcher.model.fields.kinds import write_text
from sketcher.model.files.scene_file import read_scene


@pytest.mark.example
def test_scalars_stay_as_written() -> None:
    """No value is turned into what YAML takes it for: octal, clock times, yes and no."""
    document = compose("a: 012\nb: 12:30\nc: yes\nd: 1e3\ne: '5'\n", "x")
    assert [value.text for _, value in document.root.entries if isinstance(value, Scalar)] == ["012", "12:30", "yes", "1e3", "5"]


@pytest.mark.property
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_places_hold_the_text_of_each_value(end: str) -> None:
    """A value's marks cut exactly its text out of the document, accents and line ends of either kind before it."""
    text = end.join(["# Höhe über Kiel", "a: {b: é, c: [1, 22]}", "d:", "  e: 'q'  # x", ""])
    document = compose(text, "x")
    inner, outer = document.find("a", "c"), document.find("d", "e")
    assert inner is not None
    assert outer is not None
    assert text[inner.start : inner.end] == "[1, 22]"
    assert text[outer.start : outer.end] == "'q'"
    assert outer.line == 4


@pytest.mark.example
def test_a_block_ends_with_its_last_value() -> None:
    """Comments after a block belong to what follows, so that nothing is added behind them."""
    text = "a:\n  b: 1\n# about c\nc: 2\n"
    block = compose(text, "x").root.get("a")
    assert isinstance(block, Mapping)
    assert text[block.start : block.end] == "b: 1"


@pytest.mark.property
@given(st.text(min_size=1, max_size=40).filter(lambda text: "\r" not in text and "\n" not in text))
def test_any_text_can_be_written_and_read(text: str) -> None:
    """Names with quotes, colons, accents or brackets in them come back as they were."""
    try:
        written = write_text(text)
        written.encode("utf-8")
    except UnicodeEncodeError:
        return
    for line in (f"key: {written}\n", f"key: {{inner: {written}, next: 1}}\n", f"key: [{written}, 1]\n"):
        node = compose(line, "x").root.entries[0][1]
        found = node if isinstance(node, Scalar) else node.entries[0][1] if isinstance(node, Mapping) else node.items[0]
        assert isinstance(found, Scalar)
        assert found.text == text


@pytest.mark.property
@pytest.mark.parametrize("text", ["[" * 100_000, "{a: " * 50_000, "- " * 50_000 + "x", "a: " + "[" * (DEPTH_LIMIT + 1)])
def test_deep_nesting_is_refused_at_once(text: str, calls_made: Callable[[Callable[[], Any]], int]) -> None:
    """Brackets inside brackets without end are refused within a few calls, not followed until memory ends."""

    def read() -> None:
        with pytest.raises(SketchError, match=r"too deep|nesting depth|not YAML"):
            compose(text, "x")

    assert calls_made(read) < 1000


@pytest.mark.example
def test_a_file_of_20_mb_is_refused_at_once(tmp_path: Path) -> None:
    """A file far larger than any boat's is refused by its size, before it is read."""
    big = tmp_path / "big.yaml"
    big.write_bytes(b"scene: x\n" + b"# filler\n" * 2_300_000)
    tracemalloc.start()
    with pytest.raises(SketchError, match=r"20\.7 MB; a boat's file stays below 2 MB"):
        read_document(big)
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert most < 1_000_000


@pytest.mark.example
def test_a_large_file_of_small_things_is_refused_with_work_in_proportion(
    tmp_path: Path, calls_made: Callable[[Callable[[], Any]], int]
) -> None:
    """A file of very many keys is parsed and refused for what it holds: twice as many keys, twice the work."""

    def read(count: int) -> None:
        path = tmp_path / "many.yaml"
        path.write_text("scene: x\nunits: mm\n" + "".join(f"k{i}: {{at: {i}, thickness: 12}}\n" for i in range(count)))
        with pytest.raises(SketchError, match="unknown key"):
            read_scene(path)

    assert calls_made(lambda: read(6000)) < 2.1 * calls_made(lambda: read(3000))


@pytest.mark.example
def test_a_pipe_does_not_wait_for_ever(tmp_path: Path) -> None:
    """What is no ordinary file is refused without waiting for somebody to write into it."""
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    with pytest.raises(SketchError, match="no ordinary file"):
        read_document(pipe)


@pytest.mark.example
def test_a_missing_file_brings_the_nearest_name(tmp_path: Path) -> None:
    """A slip in a file's name is answered with the file that is there."""
    (tmp_path / "forepeak.yaml").write_text("scene: x\n")
    with pytest.raises(SketchError, match="no such file") as refusal:
        read_document(tmp_path / "forepeek.yaml")
    assert "forepeak.yaml" in refusal.value.remedy


@pytest.mark.property
@pytest.mark.parametrize("name", ["", "no/such/folder/x.yaml", "\0bad", "a" * 5000])
def test_an_impossible_name_is_an_error_in_words(name: str) -> None:
    """No name of a file, however odd, ends in a traceback."""
    with pytest.raises(SketchError, match=r"."):
        read_document(name)


@pytest.mark.example
def test_a_path_with_spaces_and_accents_is_read(tmp_path: Path) -> None:
    """Folders and files may be called as people call them."""
    folder = tmp_path / "Bugkoje – größer (2)"
    folder.mkdir()
    (folder / "é à.yaml").write_text("scene: x\n", encoding="utf-8")
    assert read_document(folder / "é à.yaml").root.get("scene") is not None


@pytest.mark.example
def test_an_unreadable_file_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file without the right to read it is named as that."""
    path = tmp_path / "secret.yaml"
    path.write_text("scene: x\n")
    path.chmod(0)
    if os.geteuid() == 0:  # root may read everything: the system's answer to others is put in its place

        def refuse(*_: object) -> int:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(os, "open", refuse)
    with pytest.raises(SketchError, match="may not be read"):
        read_document(path)
