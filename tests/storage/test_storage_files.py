"""Sound files by their hash, and backups that are proven before they are trusted."""

from __future__ import annotations

import json
import threading
import time
import zipfile
from datetime import date

import pytest

from gloveside.extract.models import Inspection
from gloveside.storage import backup
from gloveside.storage.audio_files import AudioFiles
from gloveside.storage.errors import NotFound, RecordDamaged, Refused, StoreError
from gloveside.storage.store import FILE_NAME, Store

ON = date(2026, 11, 20)
ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


@pytest.mark.published
def test_a_sound_is_named_by_its_sha_256(store):
    """NIST, FIPS 180-4 example values (csrc.nist.gov, SHA256.pdf): the digest of the three letters abc."""
    assert store.audio.keep(b"abc", ".ogg") == ABC
    assert store.audio.path(ABC).read_bytes() == b"abc"
    assert store.audio.path(ABC).name == f"{ABC}.ogg"


def test_the_same_sound_is_stored_once_and_a_file_is_copied(store, tmp_path):
    source = tmp_path / "Note 7.OGG"
    source.write_bytes(b"abc")
    assert store.audio.keep(source) == store.audio.keep(b"abc", ".oga") == ABC
    assert source.exists()
    assert [path.suffix for _, path in store.audio.all()] == [".ogg"]
    assert not list(store.audio.folder.glob(".part-*"))


@pytest.mark.parametrize("suffix", ["", ".weird suffix", "../../x", ".ogg/../x", "ogg"])
def test_an_odd_suffix_cannot_lead_out_of_the_folder(store, suffix):
    sha256 = store.audio.keep(b"abc", suffix)
    assert store.audio.path(sha256).parent == store.audio.folder / "ba"


def test_a_failed_write_leaves_no_part_and_a_sentence(store, tmp_path):
    with pytest.raises(StoreError, match="could not be kept"):
        store.audio.keep(tmp_path / "absent.ogg")
    assert list(store.audio.folder.iterdir()) == []


def test_a_missing_a_damaged_and_a_misnamed_sound_are_told(store):
    with pytest.raises(NotFound, match="Restore it"):
        store.audio.path(ABC)
    with pytest.raises(Refused):
        store.audio.find("../etc/passwd")
    store.audio.keep(b"abc")
    store.audio.path(ABC).write_bytes(b"abd")
    assert store.audio.damaged() == [store.audio.path(ABC)]


# -- backup ----------------------------------------------------------------------------------------------


@pytest.fixture
def filled(store, say):
    say(Inspection(on=ON, place="hive 1"))
    store.audio.keep(b"abc", ".ogg")
    return store


def test_a_backup_restores_the_record_and_the_sounds(filled, tmp_path, clock):
    made = backup.make_backup(filled, tmp_path / "b.zip")
    assert (made.notes, made.entries, made.audio_files, made.missing_audio) == (1, 1, 1, ())
    assert backup.last_backup(filled) == made.made_at
    backup.restore_backup(made.archive, tmp_path / "new")
    with Store.open(tmp_path / "new", clock) as restored:
        assert [e.entry for e in restored.entries.find()] == [e.entry for e in filled.entries.find()]
        assert restored.audio.path(ABC).read_bytes() == b"abc"
        restored.notes.undo("c")


def test_a_backup_into_a_folder_is_named_by_the_moment(filled, tmp_path):
    made = backup.make_backup(filled, tmp_path)
    assert made.archive.name.startswith("gloveside-2026-11-25T")
    assert backup.verify_backup(made.archive).entries == 1
    with pytest.raises(Refused, match="already"):
        backup.make_backup(filled, made.archive)
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_a_backup_while_notes_are_written_holds_whole_units_of_work(filled, say, tmp_path):
    stop = threading.Event()
    errors: list[BaseException] = []

    def write() -> None:
        try:
            while not stop.is_set():
                with filled.together():
                    say(Inspection(on=ON, place="hive 2"), Inspection(on=ON, place="hive 3"))
        except BaseException as error:
            errors.append(error)

    writer = threading.Thread(target=write)
    writer.start()
    made = []
    try:
        for i in range(4):
            made.append(backup.make_backup(filled, tmp_path / f"{i}.zip"))
            seen, deadline = filled.entries.count(), time.monotonic() + 30
            while filled.entries.count() == seen and time.monotonic() < deadline:
                writer.join(0.01)
    finally:
        stop.set()
        writer.join(30)
    assert errors == []
    assert all(m.entries % 2 == 1 and m.entries == 2 * m.notes - 1 for m in made), "one entry first, then pairs"
    assert [m.entries for m in made] == sorted({m.entries for m in made}), "each holds more than the one before"


def test_a_note_that_comes_during_a_backup_is_kept_at_once_and_is_not_in_it(filled, say, tmp_path, monkeypatch):
    check = backup._check_record

    def write_then_check(path):
        say(Inspection(on=ON, place="hive 2"))
        return check(path)

    monkeypatch.setattr(backup, "_check_record", write_then_check)
    assert backup.make_backup(filled, tmp_path / "b.zip").entries == 1
    assert filled.entries.count() == 2


def test_a_missing_sound_is_named_in_the_backup(filled, tmp_path, clock):
    absent = "f" * 64
    filled.notes.add(chat="c", user="u", source="x.ogg", spoken_at=clock.now, audio_sha256=absent)
    assert backup.make_backup(filled, tmp_path / "b.zip").missing_audio == (absent,)


def _rewrite(archive, change):
    with zipfile.ZipFile(archive) as old:
        files = {name: old.read(name) for name in old.namelist()}
    change(files)
    with zipfile.ZipFile(archive, "w") as new:
        for name, content in files.items():
            new.writestr(name, content)


def _flip_record(files):
    files[FILE_NAME] = files[FILE_NAME][:-1] + bytes([files[FILE_NAME][-1] ^ 1])


def _drop_record(files):
    del files[FILE_NAME]


def _sneak_in(files):
    files["../outside.txt"] = b"x"
    manifest = json.loads(files["manifest.json"])
    manifest["files"]["../outside.txt"] = "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881"
    files["manifest.json"] = json.dumps(manifest).encode()


def _drop_manifest(files):
    del files["manifest.json"]


@pytest.mark.parametrize("change", [_flip_record, _drop_record, _sneak_in, _drop_manifest])
def test_a_damaged_backup_is_refused_and_the_folder_is_left_as_it_was(filled, folder, tmp_path, change):
    made = backup.make_backup(filled, tmp_path / "b.zip")
    _rewrite(made.archive, change)
    with pytest.raises(RecordDamaged, match="another backup"):
        backup.restore_backup(made.archive, tmp_path / "new")
    assert not (tmp_path / "new").exists()
    assert not (tmp_path / "outside.txt").exists()


def test_a_cut_off_backup_and_an_absent_one_are_told_apart(filled, tmp_path):
    made = backup.make_backup(filled, tmp_path / "b.zip")
    made.archive.write_bytes(made.archive.read_bytes()[:-200])
    with pytest.raises(RecordDamaged):
        backup.verify_backup(made.archive)
    with pytest.raises(StoreError, match="no backup"):
        backup.verify_backup(tmp_path / "absent.zip")


def test_a_record_that_is_there_is_put_aside_and_only_when_told(filled, tmp_path, clock, speaker_for):
    made = backup.make_backup(filled, tmp_path / "b.zip")
    with Store.open(tmp_path / "home2", clock) as other:
        speaker_for(other)(Inspection(on=ON, place="hive 50"))
    with pytest.raises(Refused, match="already"):
        backup.restore_backup(made.archive, tmp_path / "home2")
    backup.restore_backup(made.archive, tmp_path / "home2", replace=True)
    with Store.open(tmp_path / "home2", clock) as restored:
        assert [e.place for e in restored.entries.find()] == ["hive 1"]
    (aside,) = (tmp_path / "home2").glob("before-restore-*")
    with Store.open(aside, clock) as old:
        assert [e.place for e in old.entries.find()] == ["hive 50"]


def test_a_damaged_record_is_not_backed_up_as_if_it_were_whole(filled, tmp_path):
    with filled.file.writing() as db:
        db.conn.execute("PRAGMA ignore_check_constraints = ON")
    connection = filled.file._writer.conn
    connection.execute("PRAGMA foreign_keys = OFF")
    connection.execute("INSERT INTO entry_places VALUES (99, 'hive 9', 'place')")
    with pytest.raises(RecordDamaged, match="not there"):
        backup.make_backup(filled, tmp_path / "b.zip")
    assert not (tmp_path / "b.zip").exists()


def test_audio_of_a_store_lies_beside_the_record(store, folder):
    store.audio.keep(b"abc", ".ogg")
    assert isinstance(store.audio, AudioFiles)
    assert (folder / "audio" / "ba" / f"{ABC}.ogg").is_file()
