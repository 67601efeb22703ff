"""How the sample aircraft are laid out and drawn; nothing of the program needs it."""
