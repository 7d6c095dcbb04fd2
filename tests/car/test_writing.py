"""A file is written whole or not at all, under the name that was given and nowhere else."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from jounce.car.file.writing import make_folder, write_new, write_whole
from jounce.conventions.errors import InputError

SOURCE = Path(__file__).parents[2] / "src" / "jounce"
WRITE = "import sys; from jounce.car.file.writing import write_whole; write_whole(sys.argv[1], 'new\\n')"


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def written_by_a_process(*arguments, **options):
    command = [sys.executable, "-c", WRITE, *map(str, arguments)]
    return subprocess.run(command, check=False, timeout=60, **options)  # noqa: S603


@pytest.mark.parametrize("relative", [True, False])
def test_what_a_link_leads_to_is_written_and_the_link_stays(tmp_path, relative):
    (tmp_path / "kept").mkdir()
    target = tmp_path / "kept" / "out.csv"
    target.write_text("a much longer old content")
    target.chmod(0o640)
    link, second = tmp_path / "link.csv", tmp_path / "second.csv"
    link.symlink_to(Path("kept/out.csv") if relative else target)
    second.symlink_to(link)
    write_whole(second, "new")

    assert second.is_symlink()
    assert link.is_symlink()
    assert target.read_text() == "new"
    assert target.stat().st_mode & 0o777 == 0o640
    assert names(tmp_path) == ["kept", "link.csv", "second.csv"]
    assert names(target.parent) == ["out.csv"]


def test_a_link_to_nothing_makes_its_target(tmp_path):
    link = tmp_path / "link.csv"
    link.symlink_to("there.csv")
    write_whole(link, "new")

    assert link.is_symlink()
    assert (tmp_path / "there.csv").read_text() == "new"


def test_a_link_that_leads_to_itself_is_told(tmp_path):
    (tmp_path / "round").symlink_to("round")
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(tmp_path / "round", "new")
    assert (tmp_path / "round").is_symlink()


def test_a_pipe_takes_what_is_written_and_stays_a_pipe(tmp_path):
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    read = []
    reader = threading.Thread(target=lambda: read.append(pipe.read_bytes()))
    reader.start()
    write_whole(pipe, b"new" * 100_000)
    reader.join(20)

    assert read == [b"new" * 100_000]
    assert pipe.is_fifo()
    assert names(tmp_path) == ["pipe"]


def test_a_device_takes_what_is_written_and_stays_a_device():
    before = os.stat("/dev/null")  # noqa: PTH116
    write_whole("/dev/null", "new")

    assert os.path.samestat(before, os.stat("/dev/null"))  # noqa: PTH116
    with pytest.raises(InputError, match="No space left"):
        write_whole("/dev/full", "new")


def test_output_into_a_pipe_is_written_straight_into():
    assert written_by_a_process("/dev/stdout", stdout=subprocess.PIPE).stdout == b"new\n"
    assert written_by_a_process("/dev/stderr", stderr=subprocess.PIPE).stderr == b"new\n"


@pytest.mark.parametrize("named", ["/dev/stdout", "the file itself"])
def test_output_that_goes_to_a_file_is_added_to_what_was_said_there(tmp_path, named):
    log = tmp_path / "log.txt"
    with log.open("wb") as file:
        file.write(b"before\n")
        file.flush()
        written_by_a_process(named if named.startswith("/") else log, stdout=file)
        file.write(b"after\n")

    assert log.read_text().split() == ["before", "new", "after"]
    assert names(tmp_path) == ["log.txt"]


def test_a_full_disk_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch):
    path = tmp_path / "car.toml"
    path.write_text("old")

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(InputError, match="No space left on device"):
        write_whole(path, "new")

    assert path.read_text() == "old"
    assert names(tmp_path) == ["car.toml"]


def test_an_interruption_leaves_nothing(tmp_path, monkeypatch):
    def interrupted(_):
        raise KeyboardInterrupt

    monkeypatch.setattr("os.fsync", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_whole(tmp_path / "car.toml", "new")
    assert names(tmp_path) == []


def test_a_name_that_was_left_behind_is_in_nobodys_way(tmp_path, monkeypatch):
    left = iter(["used", "free"])
    (tmp_path / ".used.unfinished").mkdir()
    monkeypatch.setattr("jounce.car.file.writing.secrets.token_hex", lambda _: next(left))
    with pytest.raises(InputError, match="File exists"):
        write_whole(tmp_path / "car.toml", "new")
    write_whole(tmp_path / "car.toml", "new")
    assert (tmp_path / ".used.unfinished").is_dir()
    assert (tmp_path / "car.toml").read_text() == "new"


def test_two_that_write_at_once_leave_one_whole_file(tmp_path):
    contents = [str(k) * 300_000 for k in range(8)]
    writers = [threading.Thread(target=write_whole, args=(tmp_path / "out", text)) for text in contents]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()

    assert (tmp_path / "out").read_text() in contents
    assert names(tmp_path) == ["out"]


def test_a_name_as_long_as_names_may_be_is_taken(tmp_path):
    write_whole(tmp_path / ("n" * 255), "new")
    assert names(tmp_path) == ["n" * 255]


def test_folders_are_told(tmp_path):
    with pytest.raises(InputError, match="folder"):
        write_whole(tmp_path / "none" / "car.toml", "new")
    with pytest.raises(InputError, match="cannot be written"):
        write_whole(tmp_path, "new")
    (tmp_path / "file").write_text("")
    with pytest.raises(InputError, match="cannot be made"):
        make_folder(tmp_path / "file" / "below")


def test_permissions_are_kept_and_a_new_file_gets_the_usual_ones(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text("old")
    usual = path.stat().st_mode
    path.chmod(0o604)
    write_whole(path, "new")
    write_whole(tmp_path / "new", "new")
    write_whole(tmp_path / "private", "new", private=True)

    assert path.stat().st_mode & 0o777 == 0o604
    assert path.read_text() == "new"
    assert (tmp_path / "new").stat().st_mode == usual
    assert (tmp_path / "private").stat().st_mode & 0o777 == 0o600


@pytest.mark.skipif(os.geteuid() != 0, reason="only the superuser may give files away")
def test_the_owner_is_kept(tmp_path):
    path = tmp_path / "car.toml"
    path.write_text("old")
    os.chown(path, 65534, 65534)
    write_whole(path, "new")

    assert (path.stat().st_uid, path.stat().st_gid) == (65534, 65534)


def test_a_file_that_may_not_be_written_to_is_left_alone(tmp_path, monkeypatch):
    path = tmp_path / "car.toml"
    path.write_text("old")
    monkeypatch.setattr("os.access", lambda *_: False)  # as for anybody but the superuser
    with pytest.raises(InputError, match="may not be written to"):
        write_whole(path, "new")
    assert path.read_text() == "old"


def test_new_files_are_written_all_or_none(tmp_path):
    with pytest.raises(InputError, match="cannot be written"):
        write_new({tmp_path / "a": "1", tmp_path / "none" / "b": "2"})
    assert names(tmp_path) == []
    (tmp_path / "b").write_text("old")
    with pytest.raises(InputError, match="of this name already"):
        write_new({tmp_path / "a": "1", tmp_path / "b": "2"})
    assert names(tmp_path) == ["b"]
    write_new({Path("/dev/null"): "1", tmp_path / "c": "2"})
    assert names(tmp_path) == ["b", "c"]


def test_one_module_writes_all_files():
    """Whoever opens a file for writing in another way loses links, pipes and what was there before."""
    found = []
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            called = ast.unparse(node) if isinstance(node, ast.Call) else ""
            if re.search(r"\.write_(text|bytes)\(|NamedTemporaryFile\(|\bopen\(.*'[wax+]b?\+?'", called):
                found.append(path.relative_to(SOURCE).as_posix())
    assert set(found) == {"car/file/writing.py"}
