"""Published figures against the model."""
