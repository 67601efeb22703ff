"""Sizes that people quote: tyres, standard parts, fits and what a way of making can hold, each with its source."""
