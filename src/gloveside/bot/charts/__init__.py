"""Charts as PNG bytes: pure functions of data, 1080 pixels wide, with type that can be read on a phone."""
