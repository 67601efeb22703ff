"""What has a value over time: its name, unit, levels and values over a study of a sequence."""
