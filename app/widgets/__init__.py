"""Widgets that know nothing of aircraft: fields, buttons, marks."""
