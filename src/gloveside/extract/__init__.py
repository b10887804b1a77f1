"""From words to records: numbers, dates, places, rules, corrections and doubts."""
