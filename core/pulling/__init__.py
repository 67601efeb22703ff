"""A body pulled by hand: where it goes, what follows, and what stops it."""
