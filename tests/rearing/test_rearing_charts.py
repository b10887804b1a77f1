"""Charts: PNG, 1080 pixels wide, light and dark, the same bytes for the same data, with what they must show."""

from __future__ import annotations

import struct
from datetime import date, timedelta

import pytest

from gloveside.bot.charts.growth import growth_chart
from gloveside.bot.charts.mites import mite_chart
from gloveside.bot.charts.season import season_chart
from gloveside.bot.charts.style import DARK, LIGHT, WIDTH_PX
from gloveside.bot.charts.take import take_chart
from gloveside.bot.charts.timeline import round_timeline
from gloveside.rearing.calendar import round_calendar
from gloveside.rearing.growth import grow
from gloveside.rearing.growth_settings import GrowthSettings
from gloveside.rearing.records import Tally
from gloveside.rearing.season import plan_season
from gloveside.rearing.take_compare import group
from gloveside.rearing.varroa import mite_count

GRAFT = date(2026, 11, 20)
GROWTH = grow(GrowthSettings(GRAFT, 40), runs=300)
PLAN = plan_season(30, 0.9, date(2026, 10, 10), date(2027, 3, 1))
NO_PLAN = plan_season(
    1, 0.5, date(2026, 10, 10), date(2026, 11, 5), away=frozenset({date(2026, 10, 10), date(2026, 10, 11)})
)

CHARTS = {
    "timeline": lambda dark: round_timeline(round_calendar(GRAFT), today=date(2026, 11, 25), dark=dark),
    "timeline without a board": lambda dark: round_timeline(round_calendar(GRAFT, board=False), dark=dark),
    "take": lambda dark: take_chart(
        {
            "by bar": [group("top", Tally(11, 15)), group("bottom", Tally(8, 15))],
            "by tool": [group("needle", Tally(3, 9))],
        },
        dark=dark,
    ),
    "no take": lambda dark: take_chart({}, dark=dark),
    "season": lambda dark: season_chart(PLAN, today=date(2026, 11, 25), dark=dark),
    "mites": lambda dark: mite_chart(
        [(GRAFT + timedelta(days=30 * i), mite_count(m)) for i, m in enumerate((1, 4, 9))],
        2.0,
        treated=[GRAFT],
        dark=dark,
    ),
    "one wash": lambda dark: mite_chart([(GRAFT, mite_count(0))], dark=dark),
    "no wash": lambda dark: mite_chart([], dark=dark),
    "growth": lambda dark: growth_chart(GROWTH, target=60, dark=dark),
    "money": lambda dark: growth_chart(GROWTH, series="money", dark=dark),
}


def size(png: bytes) -> tuple[int, int]:
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    return struct.unpack(">II", png[16:24])


@pytest.mark.parametrize("name", CHARTS)
@pytest.mark.parametrize("dark", [False, True])
def test_every_chart_is_a_png_for_a_phone(name, dark):
    png = CHARTS[name](dark)
    width, height = size(png)
    assert width == WIDTH_PX
    assert 300 <= height <= 2400


def test_the_ground_is_light_or_dark_and_todays_line_is_drawn():
    pil = pytest.importorskip("PIL.Image")
    from io import BytesIO

    def colours(png: bytes) -> dict[tuple[int, int, int], int]:
        with pil.open(BytesIO(png)) as image:
            return {c: n for n, c in image.convert("RGB").getcolors(1 << 24)}

    def rgb(code: str) -> tuple[int, int, int]:
        return tuple(bytes.fromhex(code[1:]))

    calendar = round_calendar(GRAFT)
    for dark, palette in ((False, LIGHT), (True, DARK)):
        with_line = colours(round_timeline(calendar, today=date(2026, 11, 25), dark=dark))
        without = colours(round_timeline(calendar, today=date(2027, 6, 1), dark=dark))
        assert max(with_line, key=with_line.__getitem__) == rgb(palette.ground)
        assert with_line.get(rgb(palette.alert), 0) > 1000
        assert without.get(rgb(palette.alert), 0) == 0


def test_equal_data_give_equal_bytes_and_other_data_do_not():
    assert CHARTS["timeline"](False) == CHARTS["timeline"](False)
    assert CHARTS["timeline"](False) != CHARTS["timeline"](True)
    moved = round_timeline(round_calendar(GRAFT + timedelta(days=1)), today=date(2026, 11, 25))
    assert moved != CHARTS["timeline"](False)
