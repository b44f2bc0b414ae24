"""Keeping photos: once, whole, privately, and under no name but their own."""

import errno
import hashlib
import os
import stat

import pytest
from photo_makers import encoded, quarters

from inspect_app.photos import Store, StoreError, clean


@pytest.fixture
def photo():
    return clean(encoded(quarters(800, 600), "PNG"))


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "data" / "photos")


def files_of(store):
    return sorted(path for path in store.folder.rglob("*") if path.is_file())


def test_a_photo_is_kept_in_three_sizes_under_the_hash_of_the_largest(store, photo):
    stored = store.put(photo)

    assert stored.sha == hashlib.sha256(store.path(stored.sha, "full").read_bytes()).hexdigest()
    assert (stored.bytes, stored.width, stored.height) == (len(photo.full), 800, 600)
    assert store.path(stored.sha, "600").read_bytes() == photo.middle
    assert store.path(stored.sha, "thumb").read_bytes() == photo.thumb


def test_only_the_owner_can_read_what_is_kept(store, photo):
    store.put(photo)

    assert {stat.S_IMODE(path.stat().st_mode) for path in files_of(store)} == {0o600}
    folders = [store.folder, *(path for path in store.folder.rglob("*") if path.is_dir())]
    assert {stat.S_IMODE(path.stat().st_mode) for path in folders} == {0o700}


def test_the_same_photo_twice_is_kept_once(store, photo):
    first = store.put(photo)
    before = [(path, path.stat().st_mtime_ns, path.stat().st_ino) for path in files_of(store)]

    assert store.put(photo) == first
    assert [(path, path.stat().st_mtime_ns, path.stat().st_ino) for path in files_of(store)] == before


def test_a_photo_that_lost_one_size_is_not_there_and_is_mended_by_sending_it_again(store, photo):
    sha = store.put(photo).sha
    store.path(sha, "600").unlink()
    assert not store.has(sha)

    store.put(photo)
    assert store.has(sha)


@pytest.mark.parametrize("sha", ["", "../../etc/passwd", "a" * 63, "A" * 64, "a" * 64 + "\n", "a" * 62 + "/.", None, 7])
def test_a_name_that_is_no_hash_never_becomes_a_path(store, sha):
    with pytest.raises(ValueError, match="'sha' must be 64 digits"):
        store.path(sha, "full")


@pytest.mark.parametrize("size", ["", "2048", "../full", None])
def test_a_size_that_does_not_exist_is_refused(store, size):
    with pytest.raises(ValueError, match="'size' must be full, 600 or thumb"):
        store.path("a" * 64, size)


def test_what_was_never_put_is_not_there(store):
    assert not store.has("0" * 64)


@pytest.mark.parametrize(
    ("call", "at"), [("fsync", 1), ("fsync", 2), ("fsync", 5), ("replace", 1), ("replace", 2), ("replace", 3)]
)
def test_a_full_disk_keeps_nothing_and_says_so(store, photo, monkeypatch, call, at):
    real, calls = getattr(os, call), []

    def failing(*args):
        calls.append(args)
        if len(calls) == at:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(*args)

    monkeypatch.setattr(os, call, failing)
    with pytest.raises(StoreError, match=r"No space left on device.*stays on the tablet"):
        store.put(photo)
    assert not files_of(store)
    assert not store.has(photo.sha)


def test_each_file_is_synced_before_it_gets_its_name_and_its_folder_after(store, photo, monkeypatch):
    order = []
    real_sync, real_replace = os.fsync, os.replace

    def sync(handle):
        order.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        real_sync(handle)

    def replace(old, new):
        order.append("name")
        real_replace(old, new)

    monkeypatch.setattr(os, "fsync", sync)
    monkeypatch.setattr(os, "replace", replace)
    store.put(photo)

    assert order == ["folder"] + ["file", "name", "folder"] * 3


def test_a_store_that_need_not_last_waits_for_no_disk_and_keeps_the_same(tmp_path, photo, monkeypatch):
    quick = Store(tmp_path / "quick", lasting=False)
    (tmp_path / "quick" / photo.sha[:2]).mkdir(mode=0o700)

    def sync(handle):
        raise AssertionError("waited for the disk")

    monkeypatch.setattr(os, "fsync", sync)
    stored = quick.put(photo)

    assert [quick.path(stored.sha, size).read_bytes() for size in ("full", "600", "thumb")] == [
        photo.full, photo.middle, photo.thumb
    ]  # fmt: skip


def test_what_a_crash_left_half_written_is_swept_at_the_next_start(store, photo):
    sha = store.put(photo).sha
    (store.folder / "incoming" / "tmp-half").write_bytes(photo.full[:100])

    assert Store(store.folder).sweep() == 1
    assert store.has(sha)
