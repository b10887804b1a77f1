"""Show how a text is read: `python -m gloveside.extract "hive 12, six frames of brood"`."""

import sys
from datetime import date

from gloveside.extract.annotate import annotate
from gloveside.extract.frames import candidates, understand
from gloveside.extract.reader import Reader
from gloveside.extract.register import Register


def main() -> None:
    """Print the matches that stand, then the reading."""
    on, reader = date(2026, 11, 20), Reader()
    text = " ".join(a for a in sys.argv[1:] if a != "-v")
    note = annotate(text, on, Register())
    if "-v" in sys.argv:
        for match in candidates(note, reader.kinds):
            print(
                "  could be",
                match.rule.kind,
                match.rule.id,
                repr(note.text(match.start, match.end)),
                round(match.score, 2),
                match.sets,
            )
    for match in understand(note, reader.kinds):
        print(
            match.rule.kind, match.rule.id, repr(note.text(match.start, match.end)), round(match.score, 2), match.sets
        )
    print(reader.read(text, on=on).model_dump_json(indent=1, by_alias=True))


main()
