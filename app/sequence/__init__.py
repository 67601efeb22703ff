"""The sequence: steps as lanes under a time ruler, pairs as ribbons, and the moment that is looked at."""
