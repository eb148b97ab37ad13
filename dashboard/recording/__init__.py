"""What is not written down, and which answers that costs."""
