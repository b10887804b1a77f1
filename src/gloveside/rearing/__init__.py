"""Biology and planning as pure functions: dates and figures come in as arguments, nothing is read or written."""
