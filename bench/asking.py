"""How well questions are answered. Run as ``python bench/asking.py [--failures]``; takes about a minute.

1. A made-up record (60 hives, 12,000 entries) cut in the middle of its third season: every question of the issue is put
   to the conversation, and its answer is held against SQL over the entries (`tests/bot/asking_cases.py`). Latency:
   reading, answering and storing a typed question, as a person would wait for it.
2. The freshly worded questions of every `asking.yaml` in `bench/notes*`, by file, read with repair as the chat reads a
   typed note: the slots of the contract must be the expected ones. The halves are those of `bench/reading.py` (the
   first author's are all for development now); failures are only ever printed for development. `--questions` leaves
   out part 1. A question of which nothing was understood gets an offer of two others and counts as not understood; one
   read as another question counts as read as something else. A question of which words are left over is answered by an
   offer too, so it counts as not understood as well. A note with an empty reading is a follow-up and must be read as
   one. What a question `wants` in words is judged too where it names a round, a place, a date, a tool or one of the
   things of `WANTED`: the slots of the reading must hold it.
"""

from __future__ import annotations

import argparse
import calendar
import itertools
import os
import re
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "tests/storage"), str(HERE.parent / "tests/bot")]

import asking_cases  # noqa: E402
from season_maker import keep_season, make_season  # noqa: E402

from gloveside.bot.console import wrapped  # noqa: E402
from gloveside.bot.conversation import Conversation  # noqa: E402
from gloveside.bot.ear import Ear  # noqa: E402
from gloveside.bot.messages import Incoming  # noqa: E402
from gloveside.bot.settings import Operation, Settings  # noqa: E402
from gloveside.extract.hearing import read_text  # noqa: E402
from gloveside.extract.reader import Reader  # noqa: E402
from gloveside.extract.register import Register  # noqa: E402
from gloveside.storage.store import Store  # noqa: E402
from reading import SEALED, SLOTS, development, plain  # noqa: E402


def season(folder: Path, *, rounds: int = 42, entries: int = 14_100) -> int:
    """Make the record in a folder; returns how many entries it holds."""
    made = make_season(rounds=rounds, entries=entries)
    made.notes = [note for note in made.notes if note.on <= asking_cases.TODAY]
    with Store.open(folder) as store:
        keep_season(store, made)
    return made.entries


def answers(folder: Path, repeats: int = 3) -> bool:
    """Ask every question of the issue; prints what is wrong and how long it took."""
    settings = Settings(operation=Operation(name="Marrow Hill Bees"))
    numbers = itertools.count(1)
    wrong, seconds, worked = [], [], []
    with Store.open(folder, lambda: asking_cases.NOW) as store:
        talk = Conversation(store, Ear(settings, folder), settings, lambda: asking_cases.NOW)

        def ask(text: str) -> str:
            now = asking_cases.NOW
            return talk.hear(Incoming(1, 1, next(numbers), now, now, text=text)).text

        with store.file.reading() as db:
            cases = [(case, case.holds(db.conn)) for case in asking_cases.cases(db.conn)]
        for case, _ in cases:
            ask(case.ask)  # warm: libraries and the memory of states
        for case, holds in cases:
            for _ in range(repeats):
                begun, used = time.perf_counter(), time.process_time()
                said = ask(case.ask)
                seconds.append(time.perf_counter() - begun)
                worked.append(time.process_time() - used)
            missing = [piece for piece in holds if piece not in said]
            lines = wrapped(said).splitlines()
            if missing or len(lines) > 12 or max(map(len, lines)) > 40:
                wrong.append((case.ask, missing, said))
    for asked, missing, said in wrong:
        print(f"WRONG {asked}\n  missing {missing}\n  said {said!r}")
    p95, busy = (statistics.quantiles(values, n=20)[-1] * 1000 for values in (seconds, worked))
    print(f"answered right against SQL: {len(cases) - len(wrong)} of {len(cases)}")
    print(f"latency: median {statistics.median(seconds) * 1000:.0f} ms, p95 {p95:.0f} ms, of {len(seconds)} questions")
    print(f"of which at work on the processor: p95 {busy:.0f} ms; load of the machine {os.getloadavg()[0]:.1f}")
    return not wrong and p95 < 100


WANTED: tuple[tuple[str, Callable[[dict[str, Any]], bool]], ...] = (
    (r"\bsold since|sold in|\bsales\b", lambda q: q.get("kind") == "sale" or bool(q.get("for_sale"))),
    (r"not sold or used|for sale", lambda q: bool(q.get("for_sale"))),
    (r"\bloss(es)?\b", lambda q: q.get("kind") == "loss"),
    (r"swarm cells", lambda q: q.get("state") == "swarm cells"),
    (r"dry feeder", lambda q: "hungry" in (q.get("state"), q.get("check_state")) or q.get("what") == "feeder"),
    (r"threshold", lambda q: q.get("state") == "mites high"),
    (r"no strips out", lambda q: q.get("state") == "treatment in"),
    (r"strength is strong", lambda q: q.get("state") == "strong"),
    (r"strength is weak", lambda q: q.get("state") == "weak"),
    (r"temper is hot", lambda q: q.get("state") == "hot"),
    (r"temper is calm", lambda q: q.get("state") == "calm"),
    (r"result laying", lambda q: "laying" in (q.get("queen"), q.get("state"))),
    (r"result missing", lambda q: q.get("queen") in ("missing", "queenless")),
    (r"excluder in", lambda q: q.get("step") == "excluder in"),
    (r"slide in", lambda q: q.get("step") == "slide in"),
    (r"slide out", lambda q: q.get("step") == "slide out"),
    (r"\btreatments\b", lambda q: q.get("kind") == "treatment"),
    (r"\bfeeds\b|syrup fed", lambda q: q.get("kind") == "feed"),
    (r"nucs in use", lambda q: q.get("what") == "nucs"),
    (r"living hives", lambda q: q.get("what") == "hives"),
    (r"sum of larvae", lambda q: q.get("what") == "larvae" or q.get("kind") == "graft"),
    (r"rounds grafted", lambda q: q.get("what") == "rounds" or q.get("kind") == "graft"),
    (r"by mother", lambda q: q.get("by") == "mother"),
    (r"by tool|each tool", lambda q: q.get("by") == "tool"),
    (r"by bar", lambda q: q.get("by") == "bar"),
    (r"last (year|season)'s takes?", lambda q: bool(q.get("compare"))),
    (r"against splits made", lambda q: bool(q.get("enough"))),
    (r"laying check", lambda q: q.get("ask") in ("due", "list")),
    (r"marked (blue|white|yellow|red|green)", lambda q: "colour" in q),
)
"""What the words of `wants` may name, and what the reading must then hold."""
_DATED = re.compile(r"\b(since|on|until|before) (\d{1,2}) (" + "|".join(calendar.month_name[1:]) + r")\b")


def holds(wants: str, question: dict[str, Any]) -> list[bool]:
    """Whether the full slots of a reading hold each thing that `wants` names; empty where it names none."""
    found = [test(question) for pattern, test in WANTED if re.search(pattern, wants)]
    if named := re.search(r"\bround (\d+)", wants):
        found.append(int(named[1]) in [question.get("round"), *question.get("rounds", [])])
    if named := re.search(r"\b(?:hive|nuc) (?:\d+|[A-Z]\d+)|\byard [A-Z]\w+", wants):
        found.append(question.get("place") == named[0])
    for _, day, month in _DATED.findall(wants):
        ending = f"-{list(calendar.month_name).index(month):02d}-{int(day):02d}"
        found.append(any(str(question.get(name, "")).endswith(ending) for name in ("since", "until")))
    tools = re.findall(r"with the (\w+ tool|\w*brush|needle)", wants)
    if len(tools) > 1:
        found.append(question.get("by") == "tool")  # side by side
    elif tools:
        found.append(tools[0] in (question.get("tool") or ""))
    return found


def slots(question: dict[str, Any]) -> dict[str, Any]:
    """The slots of the contract."""
    return {k: plain(v) for k, v in question.items() if k in SLOTS}


def ordered(order: dict[str, Any]) -> dict[str, Any]:
    """What an order does, as the contract names it."""
    return {k: plain(v) for k, v in order.items() if k in ("do", "field", "to")}


def understood(failures: bool, sealed: bool) -> None:
    """Read the fresh questions, those of the sealed judges too where asked; prints both halves of each file."""
    reader = Reader()
    counts: dict[tuple[str, str], dict[str, int]] = {}
    judged: Counter[tuple[str, str]] = Counter()
    for folder, row in (
        (path.parent.name, row)
        for path in sorted(HERE.glob("notes*/asking.yaml"))
        if sealed or path.parent.name not in SEALED
        for row in yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.CSafeLoader)
    ):
        half = folder, "development" if development(row["say"]) else "held out"
        counts.setdefault(half, {"right": 0, "another": 0, "nothing": 0})
        reading = read_text(row["say"], reader, on=date.fromisoformat(row["on"]), register=Register())
        expected = row["reading"].get("any_of") or [row["reading"]]
        wanted = [[slots(q) for q in one.get("questions", [])] for one in expected]
        got = [slots(q.model_dump(mode="json")) for q in reading.questions]
        told = [[ordered(o) for o in one.get("orders") or ()] for one in expected]
        if any(told):
            right = [ordered(o.model_dump(mode="json")) for o in reading.orders] in told
        elif all(not questions for questions in wanted):
            right = [q["ask"] for q in got] == ["same"]
        else:
            right = got in wanted and all(e.kind == "note" for e in reading.entries)
        judges = bool(reading.questions) and any(any(questions) for questions in wanted)
        named = holds(row.get("wants") or "", reading.questions[0].model_dump(mode="json")) if judges else []
        judged[half] += bool(named)
        right = right and all(named)
        offered = any((q.model_extra or {}).get("unsure") for q in reading.questions)
        kept = any(e.kind != "note" for e in reading.entries)
        made = bool(got or kept or reading.orders)
        verdict = "nothing" if offered and not kept else "right" if right else "another" if made else "nothing"
        counts[half][verdict] += 1
        if failures and verdict != "right" and half[1] == "development":
            print(f"{verdict}: {row['say']}\n  got {[q.model_dump(mode='json') for q in reading.questions]}")
            print(f"  expected {wanted}; wants {row.get('wants')}; kept {[e.kind for e in reading.entries]}")
    for half, count in sorted(counts.items()):
        total = sum(count.values())
        print(
            f"{half[0]} {half[1]}: understood {count['right']} of {total} ({100 * count['right'] / total:.0f} %), "
            f"read as something else {count['another']}, "
            f"offered or not understood {count['nothing']}; "
            f"wants judged in {judged[half]}"
        )


def main() -> int:
    """Run both parts."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--failures", action="store_true", help="print what fails in the development half")
    parser.add_argument("--questions", action="store_true", help="only the fresh questions, without the record")
    parser.add_argument("--sealed", action="store_true", help="judge by the sealed authors as well")
    chosen = parser.parse_args()
    understood(chosen.failures, chosen.sealed)
    if chosen.questions:
        return 0
    with tempfile.TemporaryDirectory() as folder:
        begun = time.monotonic()
        entries = season(Path(folder))
        print(f"record: {entries} entries, made in {time.monotonic() - begun:.0f} s")
        return 0 if answers(Path(folder)) else 1


if __name__ == "__main__":
    raise SystemExit(main())
