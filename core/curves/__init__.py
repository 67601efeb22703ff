"""What has a value over time: its name, unit, limits and values over the frames of a study."""
