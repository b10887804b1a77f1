"""Names of what lies in the data folder; alone, so that asking whether a record is there loads no database code."""

FILE_NAME = "gloveside.db"
AUDIO_FOLDER = "audio"
