"""Long runs: error rates over many shops, and speed next to a bare read, pandas and polars."""
