"""What is wrong, in sentences, worst first."""
