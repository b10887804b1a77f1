"""The conversation: replies, questions answered, reminders, charts, the console and the chat service."""
