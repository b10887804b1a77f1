"""Sounds put aside on the disk come back the same, from any thread, and leave nothing behind."""

import gc
import threading
from pathlib import Path

import numpy as np

from gloveside.speech.sound_store import SoundStore, pcm


def sounds(count):
    rng = np.random.default_rng(2)
    return [(rng.integers(-32768, 32768, 1000 + i) / 32768).astype(np.float32) for i in range(count)]


def test_what_was_kept_comes_back():
    store = SoundStore()
    kept = [(sound, store.keep(sound)) for sound in sounds(20)]
    for sound, read in reversed(kept):
        np.testing.assert_array_equal(read(), sound)
        np.testing.assert_array_equal(read(), sound)


def test_loud_samples_are_clipped_not_wrapped():
    np.testing.assert_array_equal(np.frombuffer(pcm(np.array([2, -2, 0], np.float32)), np.int16), [32767, -32768, 0])


def test_many_threads_write_and_read():
    store = SoundStore()
    wrong = []

    def work(sound):
        for _ in range(20):
            if not np.array_equal(store.keep(sound)(), sound):
                wrong.append(sound)

    threads = [threading.Thread(target=work, args=(s,)) for s in sounds(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
    assert wrong == []


def test_the_file_goes_with_the_last_reader():
    def open_files():
        gc.collect()
        return len(list(Path("/proc/self/fd").iterdir())) if Path("/proc/self/fd").is_dir() else 0

    before = open_files()
    store = SoundStore()
    read = store.keep(sounds(1)[0])
    del store
    assert len(read()) == 1000
    del read
    assert open_files() == before
