"""The record: one SQLite file with its sound files beside it. Begin at `gloveside.storage.store.Store`."""
