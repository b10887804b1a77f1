"""A conversation over a real record and a real reader, for the tests of the bot."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from yard import SETTINGS, Yard

from gloveside.bot.ear import Ear
from gloveside.storage.store import Store


@pytest.fixture(scope="session")
def shared_ear(tmp_path_factory: pytest.TempPathFactory) -> Ear:
    """One ear for all tests: loading the rules takes half a second."""
    return Ear(SETTINGS, tmp_path_factory.mktemp("ear"))


@pytest.fixture
def yard(tmp_path: Path, shared_ear: Ear) -> Iterator[Yard]:
    """An empty record."""
    with Store.open(tmp_path) as store:
        yard = Yard(store, shared_ear)
        store.file.clock = lambda: yard.now
        yield yard


@pytest.fixture
def registered(yard: Yard) -> Yard:
    """A record that knows hives 1-60 and nucs 1-24."""
    for n in range(1, 61):
        yard.store.places.add(f"hive {n}")
    for n in range(1, 25):
        yard.store.places.add(f"nuc {n}")
    return yard
