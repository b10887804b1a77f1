"""Reminders: which moments the phone should ring, what it says, and what was answered."""

from gloveside.bot.reminders.plan import DueStep, PlannedMoment, Rhythm, plan_moments

__all__ = ["DueStep", "PlannedMoment", "Rhythm", "plan_moments"]
