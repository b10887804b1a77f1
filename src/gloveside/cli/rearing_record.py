"""The operator's record for the rearing commands; an empty one where none was ever kept, without making any file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from gloveside.rearing.records import OwnRecord

if TYPE_CHECKING:
    from gloveside.storage.store import Store


@contextmanager
def store_at_home() -> Iterator[Store | None]:
    """The record of GLOVESIDE_HOME, or None when there is none yet."""
    from gloveside.bot.wiring import Workshop
    from gloveside.storage.names import FILE_NAME

    with Workshop.at_home() as workshop:
        yield workshop.store if (workshop.folder / FILE_NAME).exists() else None


def own_record_at_home() -> OwnRecord:
    """The operator's own figures; empty without a record."""
    from gloveside.bot.rearing_record import own_record

    with store_at_home() as store:
        return own_record(store.rounds.all()) if store else OwnRecord()
