"""What the window asks and tells in a window of its own; opened, never waited for."""
