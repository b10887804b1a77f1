"""A chat service on the loopback that speaks the public Bot API as the real one would: the other end of our tests.

Rules and answers follow the public description of the Bot API (core.telegram.org/bots/api); wording of error answers
that the description leaves open is from memory. The bot under test is the real python-telegram-bot client pointed here
by `base_url` and `base_file_url`; `Phone` is the operator's side.
"""

from bot_api.faults import Fault, Faults
from bot_api.phone import Phone
from bot_api.server import BotApi
from bot_api.world import Call, Sent, World

__all__ = ["BotApi", "Call", "Fault", "Faults", "Phone", "Sent", "World"]
