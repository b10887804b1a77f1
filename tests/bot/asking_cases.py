"""Questions with what their answers must hold, worked out by SQL over the entries, apart from the program's own code.

Used by the test on a reduced season and by `bench/asking.py` on the full one. The record is cut at `TODAY`, in the
middle of its third season, so that rounds are open, nucs wait and things are due. The dates of a round are those of the
contract for a graft (take check after 2 days, splits after 9, planting after 10, emergence after 12).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

TODAY = date(2026, 1, 13)
NOW = datetime(2026, 1, 13, 10, 0, tzinfo=ZoneInfo("Pacific/Auckland"))
SEASON, LAST_SEASON = "2025-07-01", "2024-07-01"
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

# The last word on the queen of each place up to :day, from the kinds of entry that a made-up season holds.
QUEENS = """WITH told AS (
    SELECT p.place, e.on_date, e.id, CASE e.kind
        WHEN 'inspection' THEN json_extract(e.data, '$.queen')
        WHEN 'mating' THEN CASE json_extract(e.data, '$.result') WHEN 'missing' THEN 'queenless'
            ELSE json_extract(e.data, '$.result') END
        WHEN 'plant' THEN 'cell' WHEN 'split' THEN 'none' WHEN 'queen' THEN 'queenless' WHEN 'loss' THEN 'queenless'
        END AS word
    FROM entries e JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place'
    WHERE e.ended_at IS NULL AND e.on_date <= :day),
last AS (SELECT place, word FROM (
    SELECT place, word, row_number() OVER (PARTITION BY place ORDER BY on_date DESC, id DESC) AS n
    FROM told WHERE word IS NOT NULL) WHERE n = 1),
gone AS (SELECT place FROM (
    SELECT p.place, e.kind, row_number() OVER (PARTITION BY p.place ORDER BY e.on_date DESC, e.id DESC) AS n
    FROM entries e JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place'
    WHERE e.ended_at IS NULL AND e.on_date <= :day AND e.kind IN ('loss', 'inspection', 'mating', 'plant', 'split'))
    WHERE n = 1 AND kind = 'loss')
"""
Db = sqlite3.Connection


def day(on: date) -> str:
    """A date as replies write it, without the year."""
    return f"{_DAYS[on.weekday()]} {on.day} {_MONTHS[on.month - 1]}"


def one(db: Db, sql: str, **values: object) -> float:
    """The single number of a query; 0 for none."""
    found = db.execute(sql, {"day": TODAY.isoformat(), **values}).fetchone()
    return (found[0] if found else 0) or 0


def rows(db: Db, sql: str, **values: object) -> list[tuple[object, ...]]:
    """The rows of a query."""
    return list(db.execute(sql, {"day": TODAY.isoformat(), **values}))


@dataclass(frozen=True)
class Case:
    """One question. holds: pieces of text that the answer must hold, worked out by SQL."""

    ask: str
    holds: Callable[[Db], list[str]]


def _places(found: list[tuple[object, ...]]) -> list[str]:
    """How a short list of places is written, or how many there are where it is long."""
    names = [str(row[0]) for row in found]
    if not names:
        return ["in the record: "]
    return [f": {len(names)}", *([n.capitalize() for n in names] if len(names) <= 9 else [])]


def _queen(db: Db, word: str, sort: str, on: date = TODAY) -> list[tuple[object, ...]]:
    sql = f"{QUEENS} SELECT place FROM last WHERE word = :w AND place LIKE :s AND place NOT IN (SELECT place FROM gone)"
    return rows(db, sql, w=word, s=f"{sort} %", day=on.isoformat())


def _round(db: Db, number: int) -> date:
    found = rows(
        db, "SELECT min(on_date) FROM entries WHERE kind = 'graft' AND round = :r AND ended_at IS NULL", r=number
    )
    return date.fromisoformat(str(found[0][0]))


def _last_round(db: Db) -> int:
    return int(one(db, "SELECT max(round) FROM entries WHERE kind = 'graft' AND ended_at IS NULL"))


def _rate(db: Db, where: str, **values: object) -> str:
    taken, of = rows(
        db,
        "SELECT sum(json_extract(t.data, '$.taken')), sum(json_extract(t.data, '$.of')) FROM entries t JOIN entries g "
        "ON g.kind = 'graft' AND g.round = t.round AND g.ended_at IS NULL "
        f"WHERE t.kind = 'take' AND t.ended_at IS NULL AND {where}",
        **values,
    )[0]
    return f"{taken}/{of}"


def _split_day(number: int) -> Callable[[Db], list[str]]:
    def holds(db: Db) -> list[str]:
        ripe = int(
            one(db, "SELECT json_extract(data, '$.count') FROM entries WHERE kind = 'cells' AND round = :r", r=number)
        )
        return [f"{ripe} splits", day(_round(db, number) + timedelta(days=9))]

    return holds


def _ripe(number: int) -> Callable[[Db], list[str]]:
    def holds(db: Db) -> list[str]:
        g = _round(db, number)
        return [day(g + timedelta(days=10)), day(g + timedelta(days=12)), day(g)]

    return holds


def _last_note(place: str) -> Callable[[Db], list[str]]:
    def holds(db: Db) -> list[str]:
        found = rows(
            db,
            "SELECT max(e.on_date) FROM entries e JOIN entry_places p ON p.entry_id = e.id "
            "WHERE p.place = :p AND e.ended_at IS NULL",
            p=place,
        )
        return [day(date.fromisoformat(str(found[0][0])))]

    return holds


def _mites(db: Db) -> list[str]:
    # 1 % in the southern build-up, 2 % at the peak and in decline: the table that operators start from.
    found = rows(
        db,
        """SELECT place FROM (SELECT place, on_date, json_extract(data, '$.percent') AS percent,
            row_number() OVER (PARTITION BY place ORDER BY on_date DESC, id DESC) AS n
            FROM entries WHERE kind = 'mites' AND ended_at IS NULL)
        WHERE n = 1 AND percent >= CASE WHEN substr(on_date, 6, 2) BETWEEN '05' AND '11' THEN 1 ELSE 2 END""",
    )
    gone = {r[0] for r in rows(db, f"{QUEENS} SELECT place FROM gone")}
    return _places([r for r in found if r[0] not in gone])


def _unseen(days: int) -> Callable[[Db], list[str]]:
    def holds(db: Db) -> list[str]:
        sql = f"""{QUEENS} SELECT place FROM places WHERE kind = 'hive' AND place NOT IN (SELECT place FROM gone)
            AND place NOT IN (SELECT place FROM entries WHERE ended_at IS NULL AND on_date > :since
            AND place IS NOT NULL AND kind IN ('inspection', 'mites', 'mating', 'disease', 'mark'))"""
        return _places(rows(db, sql, since=(TODAY - timedelta(days=days)).isoformat()))

    return holds


def _hungry(db: Db) -> list[str]:
    sql = f"""{QUEENS} SELECT place FROM (SELECT place, on_date, data,
            row_number() OVER (PARTITION BY place ORDER BY on_date DESC, id DESC) AS n
            FROM entries WHERE kind = 'inspection' AND ended_at IS NULL) AS i
        WHERE n = 1 AND data LIKE '%feeder dry%' AND place NOT IN (SELECT place FROM gone) AND NOT EXISTS (
            SELECT 1 FROM entries f WHERE f.kind = 'feed' AND f.place = i.place AND f.on_date >= i.on_date
            AND f.ended_at IS NULL)"""
    return _places(rows(db, sql))


def _swarm(db: Db) -> list[str]:
    sql = f"""{QUEENS} SELECT place FROM (SELECT place, on_date, data,
            row_number() OVER (PARTITION BY place ORDER BY on_date DESC, id DESC) AS n FROM entries
            WHERE kind = 'inspection' AND ended_at IS NULL AND json_extract(data, '$.queen_cells') IS NOT NULL)
        WHERE n = 1 AND on_date > date(:day, '-16 days') AND place NOT IN (SELECT place FROM gone)
        AND json_extract(data, '$.queen_cells.done') <> 'knocked down'"""
    found = rows(db, sql)
    return _places(found) if found else ["No hive in the record: swarm cells"]


def _nucs_to_look_at(db: Db) -> list[str]:
    """Nucs with a cell whose queen emerged at least 12 days ago, without a look since then or 4 days after one."""
    sql = """WITH planted AS (SELECT p.place, max(e.on_date) AS since FROM entries e JOIN entry_places p
            ON p.entry_id = e.id AND p.role = 'place' WHERE e.kind = 'plant' AND e.ended_at IS NULL GROUP BY p.place),
        looked AS (SELECT place, on_date, json_extract(data, '$.result') AS result,
            row_number() OVER (PARTITION BY place ORDER BY on_date DESC, id DESC) AS n FROM entries
            WHERE kind = 'mating' AND ended_at IS NULL)
        SELECT planted.place, since, on_date, result FROM planted LEFT JOIN looked
            ON looked.place = planted.place AND n = 1 AND on_date >= since"""
    found = []
    for place, since, looked, result in rows(db, sql):
        emerged = date.fromisoformat(str(since)) + timedelta(days=2)
        if result in ("laying", "missing", "drone layer"):
            continue
        ready = emerged + timedelta(days=12)
        if looked is not None:
            ready = max(ready, date.fromisoformat(str(looked)) + timedelta(days=4))
        if ready <= TODAY:
            found.append(str(place))
    return [name.capitalize() for name in found] if 0 < len(found) <= 9 else [] if found else ["No nuc is due a look"]


def _tools(db: Db) -> list[str]:
    found = rows(
        db,
        "SELECT json_extract(data, '$.tool'), sum(json_extract(data, '$.larvae')) FROM entries "
        "WHERE kind = 'graft' AND ended_at IS NULL GROUP BY 1",
    )
    return [f"{tool}: {n} larvae" for tool, n in found]


def _sum(kind: str, field: str, since: str, until: str, more: str = "") -> str:
    return (
        f"SELECT sum(coalesce(json_extract(data, '$.{field}'), 1)) FROM entries WHERE kind = '{kind}' "
        f"AND ended_at IS NULL AND on_date BETWEEN '{since}' AND '{until}' {more}"
    )


def _builder(step: str) -> Callable[[Db], list[str]]:
    def holds(db: Db) -> list[str]:
        found = rows(
            db,
            "SELECT max(on_date) FROM entries WHERE kind = 'builder' AND ended_at IS NULL "
            "AND json_extract(data, '$.step') = :s",
            s=step,
        )
        return [day(date.fromisoformat(str(found[0][0])))]

    return holds


def _number(sql: str, form: str, **values: object) -> Callable[[Db], list[str]]:
    """One number, as `form` writes it."""
    return lambda db: [form.format(one(db, sql, **values))]


def _date(sql: str, **values: object) -> Callable[[Db], list[str]]:
    """One date."""
    return lambda db: [day(date.fromisoformat(str(rows(db, sql, **values)[0][0])))]


def _take(number: int) -> Callable[[Db], list[str]]:
    sql = (
        "SELECT json_extract(data, '$.taken'), json_extract(data, '$.of') FROM entries "
        "WHERE kind = 'take' AND round = :r AND ended_at IS NULL"
    )
    return lambda db: ["Round {}: {} of {}".format(number, *rows(db, sql, r=number)[0])]


def _by_mother(db: Db) -> list[str]:
    return [f"{m} {_rate(db, 'json_extract(g.data, :f) = :m', f='$.mother', m=m)}" for m in ("hive 21", "hive 34")]


def _queenless_on(on: date) -> Callable[[Db], list[str]]:
    return lambda db: [name.capitalize() for name in sorted(str(r[0]) for r in _queen(db, "queenless", "hive", on))][:9]


def _syrup_of(place: str) -> Callable[[Db], list[str]]:
    def holds(db: Db) -> list[str]:
        litres = one(db, _sum("feed", "amount", "2025-11-01", "2025-11-30", f"AND place = '{place}'"))
        return [f"{litres:g} l"] if litres else ["No feed"]

    return holds


def _tasks(on: date) -> Callable[[Db], list[str]]:
    sql = "SELECT place FROM entries WHERE kind = 'task' AND ended_at IS NULL AND json_extract(data, '$.due') = :t"
    return lambda db: [f"{row[0]}, look again" for row in rows(db, sql, t=on.isoformat())][:5]


MARKED = f"""{QUEENS} SELECT place FROM last WHERE place IN (
    SELECT m.place FROM entries m WHERE m.kind = 'mark' AND m.ended_at IS NULL
    AND json_extract(m.data, '$.colour') = 'white' AND NOT EXISTS (
        SELECT 1 FROM entries q JOIN entry_places p ON p.entry_id = q.id AND p.role = 'place'
        WHERE p.place = m.place AND q.ended_at IS NULL AND (q.on_date, q.id) > (m.on_date, m.id)
        AND q.kind IN ('queen', 'plant', 'split', 'loss', 'mark')))"""
STRIPS = f"""{QUEENS} SELECT place FROM (SELECT place, json_extract(data, '$.step') AS step,
    row_number() OVER (PARTITION BY place ORDER BY on_date DESC, id DESC) AS n
    FROM entries WHERE kind = 'treatment' AND ended_at IS NULL)
    WHERE n = 1 AND step = 'in' AND place NOT IN (SELECT place FROM gone)"""
LIVING = f"{QUEENS} SELECT count(*) FROM places WHERE kind = 'hive' AND place NOT IN (SELECT place FROM gone)"
INCOME = (
    "SELECT sum(json_extract(data, '$.price') * json_extract(data, '$.count')) FROM entries WHERE kind = 'sale' "
    f"AND ended_at IS NULL AND json_extract(data, '$.goods') = 'queen' AND on_date >= '{SEASON}'"
)
LAST_AT = (
    "SELECT max(e.on_date) FROM entries e JOIN entry_places p ON p.entry_id = e.id "
    "WHERE p.place = :p AND e.ended_at IS NULL AND e.on_date <= :until"
)
LAST_FED = "SELECT max(on_date) FROM entries WHERE kind = 'feed' AND place = :p AND ended_at IS NULL"
BRUSH = "AND json_extract(data, '$.tool') = 'brush'"
QUEENS_SOLD = "AND json_extract(data, '$.goods') = 'queen'"


LAST_BROOD = """SELECT place, brood FROM (
    SELECT p.place, json_extract(e.data, '$.brood_frames') AS brood,
        row_number() OVER (PARTITION BY p.place ORDER BY e.on_date DESC, e.id DESC) AS n
    FROM entries e JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place'
    WHERE e.ended_at IS NULL AND e.kind = 'inspection' AND e.on_date <= :day AND p.place LIKE 'hive %'
        AND json_extract(e.data, '$.brood_frames') IS NOT NULL) WHERE n = 1
"""
FEWEST_MITES = """SELECT min(percent) FROM (
    SELECT json_extract(e.data, '$.percent') AS percent,
        row_number() OVER (PARTITION BY p.place ORDER BY e.on_date DESC, e.id DESC) AS n
    FROM entries e JOIN entry_places p ON p.entry_id = e.id AND p.role = 'place'
    WHERE e.ended_at IS NULL AND e.kind = 'mites' AND e.on_date <= :day) WHERE n = 1
"""
MARKED_SINCE = f"""SELECT count(*) FROM entries
    WHERE kind = 'mark' AND ended_at IS NULL AND on_date BETWEEN '{SEASON}' AND :day"""


def _brood(what: str, where: str) -> Callable[[Db], list[str]]:
    return lambda db: [f"{one(db, f'SELECT {what} FROM ({LAST_BROOD}) WHERE {where}'):g} frames of brood"]


def cases(db: Db) -> list[Case]:
    """The questions of the issue, and what each answer must hold on this record."""
    last = _last_round(db)
    taken = int(one(db, "SELECT max(round) FROM entries WHERE kind = 'take' AND ended_at IS NULL"))
    cut = int(one(db, "SELECT max(round) FROM entries WHERE kind = 'cells' AND ended_at IS NULL"))
    friday = TODAY - timedelta(days=4)
    to, ever = TODAY.isoformat(), "1900-01-01"
    before = f"g.on_date >= '{LAST_SEASON}' AND g.on_date < '{SEASON}'"
    return [
        Case(f"when are cells ripe for round {last}", _ripe(last)),
        Case("when are the cells ripe for round two", _ripe(2)),
        Case("what is due tomorrow", _tasks(TODAY + timedelta(days=1))),
        Case("how did round two take", _take(2)),
        Case(
            f"how did round {taken} take against last year",
            lambda db: [_rate(db, f"t.round = {taken}"), _rate(db, before)],
        ),
        Case(
            "is my take better than last season",
            lambda db: [_rate(db, f"g.on_date >= '{SEASON}'"), _rate(db, before)],
        ),
        Case("take by mother", _by_mother),
        Case("take with the brush", lambda db: [_rate(db, "json_extract(g.data, '$.tool') = 'brush'")]),
        Case(f"how many splits for round {cut}, and when", _split_day(cut)),
        Case("what did I say about hive 12 last", _date(LAST_AT, p="hive 12", until=to)),
        Case("which hives are queenless", lambda db: _places(_queen(db, "queenless", "hive"))),
        Case("as of last Friday, which hives were queenless", _queenless_on(friday)),
        Case("which hives have swarm cells", _swarm),
        Case("which hives need feed", _hungry),
        Case("which hives were not looked at for three weeks", _unseen(21)),
        Case("which hives haven't I looked at for two weeks", _unseen(14)),
        Case("which hives have mites over threshold", _mites),
        Case(
            "how many laying queens do I have for sale",
            lambda db: [f"{len(_queen(db, 'laying', 'nuc'))} laying queen"],
        ),
        Case("which nucs should I look at today", _nucs_to_look_at),
        Case("where are the queens marked white", lambda db: _places(rows(db, MARKED))),
        Case(
            "what did I feed in November",
            _number(_sum("feed", "amount", "2025-11-01", "2025-11-30"), "{:g} l syrup 1:1"),
        ),
        Case("how much syrup did hive seven get in November", _syrup_of("hive 7")),
        Case("how many larvae did I graft with each tool", _tools),
        Case(
            "how many larvae did I graft with the brush",
            _number(_sum("graft", "larvae", ever, to, BRUSH), "{:g} larvae"),
        ),
        Case("how many larvae have I grafted this season", _number(_sum("graft", "larvae", SEASON, to), "{:g} larvae")),
        Case(
            "how many rounds have I grafted",
            _number(
                "SELECT count(DISTINCT round) FROM entries WHERE kind = 'graft' AND ended_at IS NULL", "{:g} rounds"
            ),
        ),
        Case("when was the excluder put in", _builder("excluder in")),
        Case("when did the slide come out", _builder("slide out")),
        Case("how many hives do I have", _number(LIVING, "{:g} hives")),
        Case(
            "how many queens did I sell in November",
            _number(_sum("sale", "count", "2025-11-01", "2025-11-30", QUEENS_SOLD), "{:g} queen"),
        ),
        Case(
            "how many hives have I lost",
            _number("SELECT count(*) FROM entries WHERE kind = 'loss' AND ended_at IS NULL", "{:g} in all"),
        ),
        Case(
            "how much honey did I take last season",
            _number(_sum("harvest", "amount", LAST_SEASON, "2025-06-30"), "{:.10g} kg"),
        ),
        Case("how much did I make on queens this season", _number(INCOME, "{:,.10g} this season")),
        Case("which hives still have strips in", lambda db: _places(rows(db, STRIPS))),
        Case("what state was hive nine in as of last Friday", _date(LAST_AT, p="hive 9", until=friday.isoformat())),
        Case("when did I last feed hive seven", _date(LAST_FED, p="hive 7")),
        Case("which hive has the most brood", _brood("max(brood)", "1")),
        Case("how much brood did hive sixteen have", _brood("brood", "place = 'hive 16'")),
        Case("who's got the fewest mites", _number(FEWEST_MITES, "{:.2g} % mites")),
        Case("how many queens did I mark this season", _number(MARKED_SINCE, "{:g} queens marked")),
    ]
