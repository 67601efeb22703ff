"""Where every body is through a sequence, solved for all frames at once."""
