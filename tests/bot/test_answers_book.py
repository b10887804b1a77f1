"""The season book: what it says, and how a real browser shows it on a phone and on a desk."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from yard import SETTINGS

from gloveside.bot.desk import Desk
from gloveside.bot.season_book.page import season_book
from gloveside.extract.register import Register
from gloveside.storage.store import Store

sys.path[:0] = [str(Path(__file__).parent), str(Path(__file__).parents[1] / "storage")]

import asking_cases  # noqa: E402
from browser import browser, chromium  # noqa: E402
from season_maker import keep_season, make_season  # noqa: E402

SINCE, UNTIL = date(2025, 7, 1), asking_cases.TODAY


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """Nine rounds and some 2,400 entries."""
    made = make_season(rounds=9, entries=2_700)
    made.notes = [note for note in made.notes if note.on <= asking_cases.TODAY]
    with Store.open(tmp_path_factory.mktemp("book"), lambda: asking_cases.NOW) as store:
        keep_season(store, made)
        note_id = store.notes.add(chat="1", user="1", source="text", spoken_at=asking_cases.NOW, text="<script>")
        del note_id
        yield store


@pytest.fixture(scope="module")
def page(store: Store, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book as a file."""
    desk = Desk(store, SETTINGS, asking_cases.NOW, asking_cases.TODAY, "1", "1", Register())
    target = tmp_path_factory.mktemp("page") / "book.html"
    target.write_text(season_book(desk, SINCE, UNTIL), encoding="utf-8")
    return target


def test_the_numbers_are_those_of_sql(store: Store, page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    figures = dict(re.findall(r"<dt>(.*?)</dt><dd>(.*?)</dd>", text))
    with store.file.reading() as db:
        one = lambda sql: db.conn.execute(sql, [SINCE.isoformat(), UNTIL.isoformat()]).fetchone()[0]  # noqa: E731
        span = "ended_at IS NULL AND on_date BETWEEN ? AND ?"
        rounds = one(f"SELECT count(DISTINCT round) FROM entries WHERE kind = 'graft' AND {span}")
        larvae = one(f"SELECT sum(json_extract(data, '$.larvae')) FROM entries WHERE kind = 'graft' AND {span}")
        queens = one(
            "SELECT coalesce(sum(json_extract(data, '$.count')), 0) FROM entries WHERE kind = 'sale' "
            f"AND json_extract(data, '$.goods') = 'queen' AND {span}"
        )
        looks = one(f"SELECT count(*) FROM entries WHERE kind = 'inspection' AND {span}")
    assert figures["Rounds grafted"] == str(rounds)
    assert figures["Larvae grafted"] == str(larvae)
    assert figures["Queens sold"] == f"{queens:g}"
    assert figures["Notes on hives"] == str(looks)
    assert text.count("data:image/png;base64,") >= 4


def test_it_names_nothing_outside_itself(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    without_pictures = re.sub(r"data:image/png;base64,[^\"]+", "", text)
    assert not re.search(r"https?://|<script|@import|url\(|<link", without_pictures)


@pytest.mark.skipif(chromium() is None, reason="no Chromium on this machine")
@pytest.mark.parametrize(("width", "height"), [(390, 844), (1280, 900)])
def test_a_browser_shows_it_at_once_and_asks_for_nothing(page: Path, tmp_path: Path, width: int, height: int) -> None:
    program = chromium()
    assert program is not None
    with browser(program, tmp_path / "profile") as tab:
        seconds = tab.open(page, width, height)
        pictures = tab.evaluate("[...document.images].filter(i => i.complete && i.naturalWidth > 0).length")
        wide = tab.evaluate("document.documentElement.scrollWidth")
        text_size = tab.evaluate("parseFloat(getComputedStyle(document.querySelector('td')).fontSize)")
        tab.printed(tmp_path / "book.pdf")
        outside = [url for url in tab.requested if not url.startswith(("data:", "file:"))]
        files = [url for url in tab.requested if url.startswith("file:")]
    assert outside == []
    assert files == [page.as_uri()]
    assert pictures == tab_pictures(page)
    assert wide <= width, "the page itself never scrolls sideways"
    assert text_size >= 14
    assert (tmp_path / "book.pdf").read_bytes().startswith(b"%PDF")
    assert seconds < 1.0


def tab_pictures(page: Path) -> int:
    """How many pictures the file holds."""
    return page.read_text(encoding="utf-8").count("<img ")
