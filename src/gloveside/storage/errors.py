"""What can go wrong in the store. Every message is a sentence for the operator that says what to do next."""

from __future__ import annotations


class StoreError(Exception):
    """Anything the store refuses or cannot do."""


class NotFound(StoreError):
    """A note, entry, round or row that is not in the record."""


class Refused(StoreError):
    """A change that would leave the record wrong: nothing was written."""


class RecordDamaged(StoreError):
    """The file is no record of ours, is damaged, or was written by a newer version."""


class ImportRefused(Refused):
    """A file to import has bad rows: none was taken. `problems`: (line number, sentence), in order."""

    def __init__(self, problems: list[tuple[int, str]]) -> None:
        self.problems = problems
        shown = "; ".join(f"line {line}: {what}" for line, what in problems[:5])
        more = f"; and {len(problems) - 5} more" if len(problems) > 5 else ""
        super().__init__(f"Nothing was imported. {shown}{more}. Mend these lines and import the file again.")
