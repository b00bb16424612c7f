"""Files are written whole or not at all, and never over something by accident."""

import os

import pytest

from sim.show.files import OutputError, check_targets, write_all, write_text


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_writes_all_and_leaves_nothing_else(tmp_path):
    write_all({tmp_path / "a": b"1", tmp_path / "new" / "b": b"2"})
    assert (tmp_path / "a").read_bytes() == b"1"
    assert (tmp_path / "new" / "b").read_bytes() == b"2"
    assert names(tmp_path) == ["a", "new"]


def test_an_existing_file_is_kept_unless_forced(tmp_path):
    target = tmp_path / "a"
    write_text(target, "mine")
    with pytest.raises(OutputError, match=r"exists.*--force"):
        write_text(target, "other")
    assert target.read_text() == "mine"
    write_text(target, "other", force=True)
    assert target.read_text() == "other"


def test_none_is_written_when_one_cannot_be(tmp_path):
    (tmp_path / "b").write_text("mine")
    with pytest.raises(OutputError):
        write_all({tmp_path / "a": b"1", tmp_path / "b": b"2"})
    assert names(tmp_path) == ["b"]


def test_a_failure_in_the_middle_leaves_no_part(tmp_path, monkeypatch):
    def full(path, content):
        path.write_bytes(content[:1])
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr("sim.show.files._write_new", full)
    with pytest.raises(OutputError, match="No space left"):
        write_all({tmp_path / "a": b"123"})
    assert names(tmp_path) == []


def test_an_interruption_leaves_no_part(tmp_path, monkeypatch):
    def stopped(source, target):
        raise KeyboardInterrupt

    monkeypatch.setattr("sim.show.files.os.replace", stopped)
    with pytest.raises(KeyboardInterrupt):
        write_all({tmp_path / "a": b"123"})
    assert names(tmp_path) == []


def test_odd_targets_are_refused(tmp_path):
    with pytest.raises(OutputError, match="is a folder"):
        check_targets([tmp_path], force=True)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(OutputError, match="not a plain file"):
        check_targets([tmp_path / "pipe"], force=True)
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="is not a folder"):
        check_targets([tmp_path / "file" / "a"])


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_takes_no_files(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(OutputError, match="cannot be written to"):
        check_targets([tmp_path / "a"])
    tmp_path.chmod(0o700)


def test_a_file_longer_in_name_than_the_disk_allows(tmp_path):
    with pytest.raises(OutputError, match="cannot be written"):
        write_all({tmp_path / ("a" * 300): b"1"})
    assert names(tmp_path) == []
