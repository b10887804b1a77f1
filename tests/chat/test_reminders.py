"""Reminders: when they ring, once, in local time, through restarts and both clock changes."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from bot_api import BotApi
from chat_under_test import HELPER, OWNER, pair
from reminder_season import HandClock, Season

from gloveside.bot.reminders import DueStep, Rhythm, plan_moments
from gloveside.bot.reminders.ringing import Ringer
from gloveside.storage.reminders import NewReminder
from gloveside.storage.store import Store

AUCKLAND, LONDON = ZoneInfo("Pacific/Auckland"), ZoneInfo("Europe/London")
RHYTHM = Rhythm(AUCKLAND)
SPLITS = DueStep("round 3", "splits", date(2026, 11, 27), "Round 3: make 18 splits", urgent=True)
CHECK = DueStep("round 4", "take check", date(2026, 11, 27), "Round 4: check the take")


def local(moment: datetime, zone: ZoneInfo = AUCKLAND) -> str:
    return f"{moment.astimezone(zone):%a %d %b %H:%M}"


# -- the plan -----------------------------------------------------------------------------------------------------


def test_a_step_rings_the_evening_before_and_in_the_morning() -> None:
    assert [(p.moment, local(p.at)) for p in plan_moments([CHECK], RHYTHM)] == [
        ("evening before", "Thu 26 Nov 19:00"),
        ("morning", "Fri 27 Nov 06:30"),
    ]


def test_what_cannot_wait_rings_again_every_three_waking_hours_until_the_day_after() -> None:
    times = [local(p.at) for p in plan_moments([SPLITS], RHYTHM)]
    assert times[2:] == [
        *(f"Fri 27 Nov {t}" for t in ("09:30", "12:30", "15:30", "18:30")),
        *(f"Sat 28 Nov {t}" for t in ("06:30", "09:30", "12:30", "15:30", "18:30")),
    ]


@pytest.mark.parametrize(
    ("night", "zone"),
    [
        (date(2026, 9, 27), "Pacific/Auckland"),  # 02:00 becomes 03:00
        (date(2027, 4, 4), "Pacific/Auckland"),  # 03:00 becomes 02:00
        (date(2026, 3, 29), "Europe/London"),
        (date(2026, 10, 25), "Europe/London"),
    ],
)
def test_on_the_nights_when_clocks_change_the_wall_time_stays_and_each_rings_once(night: date, zone: str) -> None:
    rhythm = Rhythm(ZoneInfo(zone))
    for day in (night - timedelta(days=1), night, night + timedelta(days=1)):
        planned = plan_moments([DueStep("round 1", "plant", day, "plant", urgent=True)], rhythm)
        walls = [p.at.astimezone(rhythm.zone) for p in planned]
        assert [w.time() for w in walls[:6]] == [
            time(19, 0), time(6, 30), time(9, 30), time(12, 30), time(15, 30), time(18, 30),
        ]  # fmt: skip
        assert len({p.at for p in planned}) == len(planned)


@pytest.mark.parametrize(
    ("at", "utc"),
    [
        # 02:30 does not exist on this night in Auckland (clocks go from 02:00 to 03:00): it rings at 03:30 on the wall.
        (datetime(2026, 9, 27, 2, 30, tzinfo=AUCKLAND), "2026-09-26T14:30:00+00:00"),
        # 02:30 comes twice on this night: the first one.
        (datetime(2027, 4, 4, 2, 30, tzinfo=AUCKLAND), "2027-04-03T13:30:00+00:00"),
    ],
)
def test_a_time_in_the_hour_that_changes_comes_once(at: datetime, utc: str) -> None:
    rhythm = Rhythm(AUCKLAND, morning=at.time(), quiet_from=time(23), quiet_until=time(1))
    moments = [
        p.at.isoformat() for p in plan_moments([DueStep("r", "s", at.date(), "x")], rhythm) if p.moment == "morning"
    ]
    assert moments == [utc]


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "Europe/London", "America/New_York", "Australia/Lord_Howe"])
@pytest.mark.parametrize(
    ("quiet_from", "quiet_until"),
    [(time(21), time(6)), (time(18), time(9)), (time(23, 30), time(2, 30)), (time(1), time(3)), (time(5), time(5))],
)
def test_nothing_is_planned_in_the_quiet_hours_of_any_day(zone: str, quiet_from: time, quiet_until: time) -> None:
    rhythm = Rhythm(ZoneInfo(zone), quiet_from=quiet_from, quiet_until=quiet_until)
    for day in range(0, 366, 1):
        on = date(2026, 7, 1) + timedelta(days=day)
        planned = plan_moments([DueStep("r", "s", on, "x", urgent=True)], rhythm)
        assert not [p for p in planned if rhythm.quiet(p.at)]
        assert [p.at for p in planned] == sorted({p.at for p in planned})
        assert planned[-1].at.astimezone(rhythm.zone).date() <= on + timedelta(days=1)


# -- ringing ------------------------------------------------------------------------------------------------------


class Bench:
    """A record with an owner, a hand-moved clock and a ringer."""

    def __init__(self, folder: Path, digest: bool = False) -> None:
        self.clock = HandClock(datetime(2026, 11, 24, 0, 0, tzinfo=UTC))
        self.store = Store.open(folder, self.clock)
        self.digest = digest
        self.ringer = Ringer(self.store, RHYTHM, digest=digest)
        pair(self.store, OWNER)

    def plan(self, *steps: DueStep) -> None:
        for subject in sorted({s.subject for s in steps}):
            planned = plan_moments([s for s in steps if s.subject == subject], RHYTHM)
            rows = [
                NewReminder(subject, p.step.step, p.step.on, p.moment, p.at, p.step.text, p.step.chat) for p in planned
            ]
            self.store.reminders.replace(subject, [r for r in rows if r.due_at > self.clock.now])

    def at(self, day: int, hour: int, minute: int = 0) -> list[str]:
        """Move the clock to a local time of November 2026, tick, and return the new messages."""
        self.clock.now = datetime(2026, 11, day, hour, minute, tzinfo=AUCKLAND).astimezone(UTC)
        known = len(self.messages())
        self.ringer.ring()
        return self.messages()[known:]

    def messages(self) -> list[str]:
        return [row["text"] for row in self.store.file.rows("SELECT text FROM outbox ORDER BY id")]


@pytest.fixture
def bench(tmp_path: Path):
    made = Bench(tmp_path)
    yield made
    made.store.close()


@pytest.fixture
def daily(tmp_path: Path):
    made = Bench(tmp_path, digest=True)
    yield made
    made.store.close()


def test_a_reminder_says_when_and_what_and_is_rung_once(bench: Bench) -> None:
    bench.plan(CHECK)
    assert bench.at(26, 18, 59) == []
    assert bench.at(26, 19, 0) == ["Tomorrow, Fri 27 Nov: Round 4: check the take"]
    assert bench.at(26, 19, 1) == []
    assert bench.at(27, 6, 30) == ["Today, Fri 27 Nov: Round 4: check the take"]
    assert bench.at(27, 7, 30) == []


def test_its_buttons_name_its_row(bench: Bench) -> None:
    bench.plan(CHECK)
    bench.at(26, 19)
    (row,) = bench.store.file.rows("SELECT buttons FROM outbox")
    (reminder,) = [r for r in bench.store.reminders.of("round 4") if r.state == "sent"]
    assert row["buttons"] == (
        f'[[{{"label": "Done", "data": "d:{reminder.id}"}}, {{"label": "Later", "data": "z:{reminder.id}"}}]]'
    )


def test_after_a_time_down_what_was_missed_comes_once_and_says_that_it_is_late(bench: Bench) -> None:
    bench.plan(CHECK, SPLITS)
    assert bench.at(27, 10, 0) == [
        "Today, Fri 27 Nov:\n– Round 3: make 18 splits (late: was due Fri 27 Nov 09:30)\n"
        "– Round 4: check the take (late: was due Fri 27 Nov 06:30)"
    ]
    assert bench.at(27, 10, 1) == []


def test_a_day_late_says_since_when_it_is_open(bench: Bench) -> None:
    bench.plan(CHECK)
    assert bench.at(28, 9) == ["Open since Fri 27 Nov: Round 4: check the take (late: was due Fri 27 Nov 06:30)"]


def test_nothing_rings_in_quiet_hours_even_when_overdue(bench: Bench) -> None:
    bench.plan(CHECK)
    assert bench.at(26, 21, 0) == []
    assert bench.at(27, 5, 59) == []
    assert bench.at(27, 6, 0) == ["Today, Fri 27 Nov: Round 4: check the take (late: was due Thu 26 Nov 19:00)"]


def test_what_cannot_wait_rings_until_it_is_done(bench: Bench) -> None:
    bench.plan(SPLITS)
    bench.at(26, 19)
    bench.at(27, 6, 30)
    assert bench.at(27, 9, 30) == ["Still open: Today, Fri 27 Nov: Round 3: make 18 splits"]
    assert bench.at(27, 12, 30) == ["Still open: Today, Fri 27 Nov: Round 3: make 18 splits"]
    bench.store.reminders.mark_done("round 3", "splits")
    assert bench.at(27, 15, 30) == []
    assert bench.at(28, 9, 30) == []


def test_later_rings_once_more_then(bench: Bench) -> None:
    bench.plan(CHECK)
    bench.at(27, 6, 30)
    rung = next(r for r in bench.store.reminders.of("round 4") if r.moment == "morning")
    bench.store.reminders.snooze(rung.id, bench.clock.now + timedelta(hours=3))
    assert bench.at(27, 9, 29) == []
    assert bench.at(27, 9, 30) == ["Still open: Today, Fri 27 Nov: Round 4: check the take"]
    assert bench.at(27, 9, 31) == []


def test_a_round_that_moves_takes_its_reminders_along(bench: Bench) -> None:
    bench.plan(CHECK)
    bench.at(26, 19)
    bench.plan(DueStep("round 4", "take check", date(2026, 11, 29), "Round 4: check the take"))
    assert bench.at(27, 6, 30) == []
    assert bench.at(28, 19) == ["Tomorrow, Sun 29 Nov: Round 4: check the take"]


def test_a_round_that_is_undone_rings_no_more(bench: Bench) -> None:
    bench.plan(CHECK)
    bench.store.reminders.drop("round 4")
    assert bench.at(27, 12) == []


def test_every_owner_is_reminded_helpers_and_others_are_not(bench: Bench) -> None:
    pair(bench.store, HELPER, "helper")
    pair(bench.store, 777, "owner", "Second")
    bench.plan(CHECK)
    bench.at(26, 19)
    assert sorted(r["chat"] for r in bench.store.file.rows("SELECT chat FROM outbox")) == ["501", "777"]


def test_a_reminder_of_one_chat_goes_there_only(bench: Bench) -> None:
    bench.plan(DueStep("task 9", "task", date(2026, 11, 27), "Check round 2", chat="-100777"))
    bench.at(26, 19)
    assert [r["chat"] for r in bench.store.file.rows("SELECT chat FROM outbox")] == ["-100777"]


def test_while_nobody_is_paired_reminders_wait(tmp_path: Path) -> None:
    clock = HandClock(datetime(2026, 11, 27, 0, 0, tzinfo=UTC))
    with Store.open(tmp_path, clock) as store:
        store.reminders.add(NewReminder("round 4", "take check", date(2026, 11, 27), "morning", clock.now, "check"))
        assert not Ringer(store, RHYTHM).ring()
        pair(store, OWNER)
        assert Ringer(store, RHYTHM, digest=False).ring()


def test_a_kill_between_queue_and_mark_leaves_neither(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.plan(CHECK)
    with monkeypatch.context() as patch:
        patch.setattr(bench.store.reminders, "mark_reminded", _killed)
        with pytest.raises(KeyboardInterrupt):
            bench.at(26, 19)
    assert bench.messages() == []
    assert bench.at(26, 19, 1) == ["Tomorrow, Fri 27 Nov: Round 4: check the take"]


def _killed(*_: object) -> bool:
    raise KeyboardInterrupt


# -- the daily list -----------------------------------------------------------------------------------------------


def test_the_morning_list_names_today_and_what_is_still_open(daily: Bench) -> None:
    daily.plan(CHECK, SPLITS, DueStep("round 2", "laying check", date(2026, 11, 25), "Round 2: look for laying queens"))
    daily.at(24, 19)
    daily.at(25, 6, 30)
    assert daily.at(26, 6, 30) == ["Open since Wed 25 Nov: Round 2: look for laying queens"]
    daily.at(26, 19)
    (told,) = daily.at(27, 6, 30)
    assert told.splitlines() == [
        "Open since Wed 25 Nov:",
        "– Round 2: look for laying queens",
        "Today, Fri 27 Nov:",
        "– Round 3: make 18 splits",
        "– Round 4: check the take",
    ]
    assert daily.at(27, 6, 45) == []


def test_a_day_with_nothing_to_say_says_nothing(daily: Bench) -> None:
    assert daily.at(25, 6, 30) == []
    assert daily.at(25, 7, 0) == []


def test_the_list_comes_once_a_day_through_restarts(daily: Bench) -> None:
    daily.plan(CHECK)
    daily.at(26, 19)
    assert len(daily.at(27, 6, 30)) == 1
    for hour in (7, 9, 12):
        daily.ringer = Ringer(daily.store, RHYTHM, digest=True)
        assert daily.at(27, hour) == []


def test_what_the_record_no_longer_wants_is_not_called_open(daily: Bench) -> None:
    daily.plan(CHECK)
    daily.at(26, 19)
    daily.at(27, 6, 30)
    daily.ringer.open_steps = lambda: set()
    assert daily.at(28, 6, 30) == []


def test_further_lines_stand_below(daily: Bench) -> None:
    daily.ringer.more = lambda chat, day: [f"2 open questions for {chat} on {day}"]
    assert daily.at(27, 6, 30) == ["Today, Fri 27 Nov:\n2 open questions for 501 on 2026-11-27"]


# -- a small season -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "first"),
    [("Pacific/Auckland", date(2026, 9, 20)), ("Europe/London", date(2026, 10, 20))],
)
async def test_a_fortnight_with_restarts_outage_and_clock_change(
    api: BotApi, tmp_path: Path, zone: str, first: date
) -> None:
    down = datetime.combine(first + timedelta(days=6), time(15), UTC)
    outage = (down, down + timedelta(hours=20))
    season = Season(tmp_path, ZoneInfo(zone), first, 14, rounds=3, every_days=2, restart_hours=24, outages=(outage,))
    outcome = await season.run(api)
    assert outcome.clean, outcome
    assert outcome.expected > 20
    assert outcome.late > 0
