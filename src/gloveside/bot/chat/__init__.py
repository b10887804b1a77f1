"""The chat service: durable intake, one worker, durable outbox, on the Bot API."""
