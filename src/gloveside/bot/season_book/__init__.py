"""The season book: the record of a season as one HTML file that works offline and prints."""
