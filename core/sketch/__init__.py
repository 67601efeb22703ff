"""What a hand on the sheet needs to know: shapes from points, shapes pulled about, and what a point snaps to."""
