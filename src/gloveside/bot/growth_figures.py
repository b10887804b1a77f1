"""The figures of the growth model as the settings file has them, for the question and the command alike."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

from gloveside.bot.settings import Settings


def growth_figures(settings: Settings, more: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """Keyword arguments of `GrowthSettings`: `[growth]` of the settings, months half a year on in the north.

    more: further figures, which come before those of the settings.
    """
    north = {} if settings.operation.southern else _half_a_year_on()
    given = {**settings.growth, **(more or {})}
    return north | {k: frozenset(v) if isinstance(v, list) else v for k, v in given.items()}


def _half_a_year_on() -> dict[str, Any]:
    from gloveside.rearing.growth_settings import GrowthSettings

    out: dict[str, Any] = {}
    for field in fields(GrowthSettings):
        if field.name.endswith("_month") and "a_month" not in field.name and isinstance(field.default, int):
            out[field.name] = (field.default + 5) % 12 + 1
        elif field.name.endswith("_months") and isinstance(field.default, frozenset):
            out[field.name] = frozenset((month + 5) % 12 + 1 for month in field.default)
    return out
