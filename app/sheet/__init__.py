"""The sheet: the views of an aircraft at the scrubbed moment, and the hand that moves about on them."""
