"""Kill -9 at random instants while notes flow in: small in the tests, at full size in `bench/chat/kills.py`."""

from __future__ import annotations

import hashlib
import json
import os
import random
import signal
import subprocess
import sys
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from bot_api import BotApi, Phone
from chat_under_test import OWNER, opus, pair

from gloveside.bot.chat.sending import SEPARATOR
from gloveside.storage.store import Store


@dataclass
class Outcome:
    """What the phone and the record hold at the end."""

    notes: int
    kills: int = 0
    kept: int = 0
    lost: list[str] = field(default_factory=list)
    doubled_notes: list[str] = field(default_factory=list)
    doubled_entries: list[str] = field(default_factory=list)
    unanswered: list[str] = field(default_factory=list)
    repeated_sends: int = 0
    poison: int = 0
    killed_in: Counter[str] = field(default_factory=Counter)
    seconds: float = 0.0

    @property
    def clean(self) -> bool:
        return not (self.lost or self.doubled_notes or self.doubled_entries or self.unanswered or self.poison)


def run(
    folder: Path, notes: int, kills: int, seed: int = 1, longest_life: float = 1.5, finish: float = 240.0
) -> Outcome:
    """Let services live and die over one record while a phone sends voice notes, then let the last one finish."""
    dice = random.Random(seed)
    outcome = Outcome(notes)
    began = time.monotonic()
    home = folder / "home"
    sounds: dict[str, bytes] = {}
    words: dict[str, str] = {}
    names = [(hive, frames) for hive in range(1, 61) for frames in range(1, 11)]
    dice.shuffle(names)
    for number, (hive, frames) in enumerate(names[:notes]):
        sound = opus(0.2, 150 + number)
        key = f"hive {hive}, {frames} frames of brood"
        sounds[key] = sound
        words[hashlib.sha256(sound).hexdigest()] = key
    words_file = folder / "words.json"
    words_file.write_text(json.dumps(words))
    with Store.open(home) as store:
        pair(store, OWNER)
    with BotApi() as api:
        phone = Phone(api.world, OWNER)
        program = str(Path(__file__).with_name("nursery.py"))
        nursery = subprocess.Popen(
            [sys.executable, program, str(home), api.base_url, api.token, str(words_file)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=folder,
        )  # fmt: skip
        try:
            assert nursery.stdout is not None
            assert nursery.stdout.readline().strip() == "ready"
            waiting = list(sounds)
            sent: dict[int, str] = {}
            for life in range(kills):
                child = _birth(nursery)
                share = len(waiting) // (kills - life) + dice.choice([0, 0, 1, 2])
                for key in waiting[:share]:
                    sent[phone.voice(sounds[key])] = key
                del waiting[:share]
                # The clock of the dying process decides where it is hit: anywhere from its first breath on.
                _pause(dice.uniform(0.02, longest_life))
                outcome.killed_in[_doing(home)] += 1
                os.kill(child, signal.SIGKILL)
                assert nursery.stdout.readline().strip() == "gone"
                outcome.kills += 1
            for key in waiting:
                sent[phone.voice(sounds[key])] = key
            child = _birth(nursery)
            _wait_until_idle(home, notes, finish, api)
            os.kill(child, signal.SIGTERM)
            assert nursery.stdout.readline().strip() == "gone"
        finally:
            if nursery.stdin is not None:
                nursery.stdin.close()
            nursery.terminate()
            nursery.wait(10)
            if nursery.stdout is not None:
                nursery.stdout.close()
        _judge(home, sent, api, outcome)
    outcome.seconds = time.monotonic() - began
    return outcome


def _birth(nursery: subprocess.Popen[str]) -> int:
    assert nursery.stdin is not None
    assert nursery.stdout is not None
    nursery.stdin.write("go\n")
    nursery.stdin.flush()
    return int(nursery.stdout.readline())


def _pause(seconds: float) -> None:
    """Let a service live for so long. (The kill's instant is the experiment here, not something waited for.)"""
    threading.Event().wait(seconds)


def _doing(home: Path) -> str:
    """Roughly what the service is at, as the record shows it."""
    with Store.open(home) as store:
        states = store.file.row(
            "SELECT (SELECT count(*) FROM intake WHERE state = 'working') AS working, "
            "(SELECT count(*) FROM outbox WHERE state = 'sending') AS sending"
        )
    if states["sending"]:
        return "sending"
    return "working" if states["working"] else "elsewhere"


def _wait_until_idle(home: Path, notes: int, deadline: float, api: BotApi) -> None:
    with Store.open(home) as store:

        def idle() -> bool:
            taken = store.file.row("SELECT count(*) AS n FROM intake")["n"]
            return taken == notes and not store.intake.pending() and store.outbox.waiting() == 0

        api.world.wait(idle, deadline, "the last service to finish")


def _judge(home: Path, sent: dict[int, str], api: BotApi, outcome: Outcome) -> None:
    with Store.open(home) as store:
        outcome.poison = len(store.intake.poison())
        rows = store.file.rows("SELECT id, message_id, audio_sha256 FROM notes")
        by_message = Counter(row["message_id"] for row in rows)
        outcome.doubled_notes = [m for m, n in by_message.items() if n > 1]
        outcome.kept = len(by_message)
        current = store.file.rows("SELECT note_id, place, data FROM entries WHERE ended_at IS NULL")
        by_note = Counter(row["note_id"] for row in current)
        outcome.doubled_entries = [f"note {note}: {n}" for note, n in by_note.items() if n != 1]
        held = Counter(f"{r['place']}, {json.loads(r['data']).get('brood_frames')} frames of brood" for r in current)
        outcome.doubled_entries += [key for key, n in held.items() if n > 1]
        outcome.lost = [key for message, key in sent.items() if not held[key] or not by_message[str(message)]]
        ever = store.file.row("SELECT count(*) AS n FROM entries")["n"]
        if ever != len(current):
            outcome.doubled_entries.append(f"{ever} entries were ever made for {len(current)} that stand")
        answers = store.file.rows(
            "SELECT i.message_id, o.text FROM intake i JOIN outbox o ON o.dedupe_key = 'answer:' || i.id || ':0'"
        )
    told = Counter(part for message in api.world.to(OWNER) for part in message.text.split(SEPARATOR))
    answer_to = {int(row["message_id"]): row["text"] for row in answers}
    assert len(set(answer_to.values())) == len(answer_to), "answers must differ, so that repeats can be counted"
    outcome.unanswered = [key for message, key in sent.items() if not told[answer_to.get(message, "")]]
    outcome.repeated_sends = sum(max(0, told[text] - 1) for text in answer_to.values())
