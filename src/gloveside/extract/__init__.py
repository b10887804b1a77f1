"""From words to records: numbers, dates, places, rules, corrections and doubts."""

from gloveside.extract.lean_spacy import defer_command_line

defer_command_line()
