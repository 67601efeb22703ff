"""What the hand can do on the sheet, one gesture a file."""
