"""How records, dates and doubts read on a phone: pure functions from models to short lines."""
