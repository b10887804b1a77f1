"""The kept record: one SQLite file and the audio beside it."""
